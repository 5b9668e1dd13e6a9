"""The fibre before it is dyed: its own white, which every dye lies over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from studio.craft.colour.observer import Spectrum
from studio.craft.colour.three_bands import heights_for, reflectance_of

WOOL_WHITE_LAB = (87.0, -1.0, 11.0)
"""L, a, b of scoured undyed wool (estimate): Y about 0.70 and a cream cast; bleached or superwash yarn is whiter."""
_ROUNDING = 0.005
"""A perfect white read to one decimal may come out this much above 1."""


@dataclass(frozen=True)
class Undyed:
    """Reflectance of undyed fibre at the 81 wavelengths, and a sentence on where it comes from.

    **Source:** in `note`.
    """

    reflectance: Spectrum
    note: str


@cache
def undyed_wool() -> Undyed:
    """Scoured undyed wool, for a dyer who has not measured the base.

    >>> len(undyed_wool().reflectance)
    81

    **Source:** estimate, see `WOOL_WHITE_LAB`.
    Breaks for coloured, bleached or brightened yarn: give its own Lab.
    """
    return Undyed(
        undyed_from_lab(WOOL_WHITE_LAB).reflectance,
        "The white of the undyed yarn is an estimate for scoured wool.",
    )


def undyed_from_lab(lab: Sequence[float]) -> Undyed:
    """Undyed fibre from its colour.

    `lab`: CIELAB (D65) as measured, or from `lab_of_hex`.
    Returns a smooth reflectance of exactly that colour.
    Refused (ValueError): outside the ranges of Lab; a colour no surface has.

    >>> round(undyed_from_lab((100, 0, 0)).reflectance[40], 2)
    1.0

    **Source:** the colour is the dyer's; the reflectance is three smooth steps (house rule).
    Breaks with optical brightener, and for strongly coloured bases, whose spectrum matters.
    """
    heights = heights_for(lab)
    if not all(0.0 < height <= 1.0 + _ROUNDING for height in heights):
        raise ValueError(
            f"No undyed yarn has the colour L {lab[0]:.3g}, a {lab[1]:.3g}, b {lab[2]:.3g}; "
            "measure it again beside white paper in daylight."
        )
    return Undyed(reflectance_of(heights), "The white of the undyed yarn is yours, as a colour.")
