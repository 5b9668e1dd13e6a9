"""What a colour will look like: dyes at their depths over the yarn's own white, as an approximation."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from studio.craft.colour.dye_curve import DyeCurve
from studio.craft.colour.kubelka_munk import dyed_reflectance
from studio.craft.colour.observer import Spectrum, Triple
from studio.craft.colour.screen_colour import hex_of_lab, is_on_screen
from studio.craft.colour.spectrum import lab_of_reflectance
from studio.craft.colour.undyed import Undyed, undyed_wool
from studio.craft.limits import within
from studio.craft.shade import checked_depth

APPROXIMATION = "An approximation, not a colour match: dye a swatch before you rely on it."
FROM_MAXIMUM = (
    "Peaks are as published; band widths are from solution or estimates, and how deep 1 % looks on wool is "
    "an estimate: a swatch of your own replaces it."
)
DEEP_REFLECTANCE = 0.02
"""Real dyed yarn seldom reflects less than about this, by the shine of its surface (estimate)."""


@dataclass(frozen=True)
class Preview:
    """A colour as it may come out.

    `hex`: nearest sRGB colour, `#rrggbb`. `lab`: CIELAB (D65), before the screen's limits.
    `reflectance`: at the 81 wavelengths. `on_screen`: False where the screen shows it duller.
    `note`: what a person must know with it. `origin`: always `estimate`.

    **Source:** Kubelka-Munk over the curves given; see `preview`.
    """

    hex: str
    lab: Triple
    reflectance: Spectrum
    on_screen: bool
    note: str
    origin: Literal["estimate"] = "estimate"


def preview(dyes: Sequence[tuple[DyeCurve, float]], undyed: Undyed | None = None) -> Preview:
    """The colour of yarn with one or more dyes on it.

    K/S at each wavelength = K/S of the undyed yarn + sum over the dyes of depth x K/S of 1 %

    `dyes`: a curve and its depth on the fibre it covers, 0 to 20 %; several make a mixture, none is bare yarn.
    `undyed`: the yarn's own white; without it, scoured wool.
    Returns the colour with its note.
    Refused (ValueError): a depth outside that range, more than 20 % together.

    >>> preview([]).hex
    '#e1dac5'

    **Source:** P. Kubelka and F. Munk 1931, additivity on a substrate (see `kubelka_munk`); `estimate`.
    Breaks for deep shades, for dye that stays in the bath, for dyes that drive one another off the fibre.
    """
    base = undyed or undyed_wool()
    depths = [checked_depth(depth) for _, depth in dyes]
    checked_depth(math.fsum(depths))
    curves = [(curve.ks_per_percent, depth) for (curve, _), depth in zip(dyes, depths, strict=True)]
    reflectance = tuple(
        dyed_reflectance(bare, math.fsum(depth * ks[i] for ks, depth in curves))
        for i, bare in enumerate(base.reflectance)
    )
    lab = lab_of_reflectance(reflectance)
    on_screen = is_on_screen(lab)
    note = _note([curve for curve, depth in dyes if depth > 0], base, min(reflectance), on_screen)
    return Preview(hex_of_lab(lab), lab, reflectance, on_screen, note)


def mixture(
    parts: Sequence[tuple[DyeCurve, float]], depth_percent: float
) -> tuple[tuple[DyeCurve, float], ...]:
    """The dyes of a mixture at a depth, ready for `preview`.

    depth of a dye = depth of the whole x its part / sum of the parts

    `parts`: a curve and its part by weight of dye, 0 or more, any scale. `depth_percent`: 0 to 20 %.
    Returns curves with their depths.
    Refused (ValueError): no part above 0, a negative part, a depth outside that range.

    >>> from studio.craft.colour.dye_curve import curve_from_maximum
    >>> yellow, blue = curve_from_maximum(426, 53), curve_from_maximum(630, 163, ci_number="42090")
    >>> [depth for _, depth in mixture([(yellow, 3), (blue, 1)], 2.0)]
    [1.5, 0.5]

    **Source:** arithmetic.
    Breaks where one dye of the mixture strikes faster than the other and takes the outside of the yarn.
    """
    checked_depth(depth_percent)
    shares = [within("part of a mixture", part, 0, 1e6) for _, part in parts]
    total = math.fsum(shares)
    if total <= 0:
        raise ValueError("A mixture needs at least one dye with a part above 0.")
    return tuple((curve, depth_percent * part / total) for curve, part in parts)


def _note(curves: Sequence[DyeCurve], base: Undyed, darkest: float, on_screen: bool) -> str:
    """One sentence for each thing that is not certain, the general one first."""
    of_curves = (curve.note if curve.basis == "swatch" else FROM_MAXIMUM for curve in curves)
    said = [APPROXIMATION, *dict.fromkeys(of_curves), base.note]
    if darkest < DEEP_REFLECTANCE:
        said.append("A deep shade: real yarn looks greyer than this, its surface shines.")
    if not on_screen:
        said.append("More vivid than this screen can show.")
    return " ".join(said)
