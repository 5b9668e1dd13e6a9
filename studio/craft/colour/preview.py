"""What a colour will look like: dyes at their depths over the yarn's own white, as an approximation."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache
from typing import Literal

import msgspec

from studio.craft.colour.apart import ciede2000
from studio.craft.colour.dye_curve import LEAST_REFLECTANCE, DyeCurve, below_surface, dyed_reflectance, ks
from studio.craft.colour.observer import (
    WAVELENGTHS_NM,
    Spectrum,
    Triple,
    checked_lab,
    hex_of_lab,
    is_on_screen,
    lab_of_reflectance,
    xyz_of_lab,
    xyz_of_reflectance,
)
from studio.craft.limits import above, within
from studio.craft.shade import MOST_DEPTH_PERCENT, checked_depth

# A reflectance for a colour of which only the colour is known: three smooth steps, blue, green and red.

BLUE_TO_GREEN_NM = 490.0
GREEN_TO_RED_NM = 580.0
"""nm; where one step passes into the next (house rule: it covers nearly all colours a screen can show)."""
SOFTNESS_NM = 8.0
"""nm; a step goes from 27 to 73 % of its height over twice this (house rule)."""


def band_shapes() -> tuple[Spectrum, Spectrum, Spectrum]:
    """Blue, green and red step at the 81 wavelengths; together 1 everywhere.

    **Source:** house rule; the simplest smooth reflectance that gives any colour back.

    >>> blue, green, red = band_shapes()
    >>> round(blue[0] + green[0] + red[0], 12)
    1.0
    """
    to_green = [_rise(nm - BLUE_TO_GREEN_NM) for nm in WAVELENGTHS_NM]
    to_red = [_rise(nm - GREEN_TO_RED_NM) for nm in WAVELENGTHS_NM]
    blue = tuple(1.0 - g for g in to_green)
    green = tuple(g - r for g, r in zip(to_green, to_red, strict=True))
    return blue, green, tuple(to_red)


def heights_for(lab: Sequence[float]) -> Triple:
    """How high the blue, green and red step must be for a surface to have a colour in daylight.

    Solves X, Y, Z = sum of height x (X, Y, Z of the step), three equations.

    `lab`: CIELAB (D65).
    Returns three heights; below 0 or above 1 where no such surface has the colour.
    Refused (ValueError): as `checked_lab`.

    >>> heights_for((100, 0, 0))
    (1.00, 1.00, 1.00)

    **Source:** linear algebra (Cramer's rule) on the sum form of CIE 15.
    Breaks as every guess at a spectrum from a colour does: many spectra share one colour.
    """
    columns = [xyz_of_reflectance(shape) for shape in band_shapes()]
    wanted = xyz_of_lab(lab)
    whole = _determinant(columns)
    heights = [_determinant([*columns[:i], wanted, *columns[i + 1 :]]) / whole for i in range(3)]
    return heights[0], heights[1], heights[2]


def reflectance_of(heights: Sequence[float]) -> Spectrum:
    """The reflectance at the 81 wavelengths of three step heights, 0 to 1 each.

    **Source:** as `band_shapes`.

    >>> reflectance_of((0.5, 0.5, 0.5))[40]
    0.5
    """
    blue, green, red = heights
    return tuple(
        min(1.0, max(0.0, blue * b + green * g + red * r)) for b, g, r in zip(*band_shapes(), strict=True)
    )


def _rise(from_nm: float) -> float:
    return 1.0 / (1.0 + math.exp(-from_nm / SOFTNESS_NM))


def _determinant(columns: Sequence[Triple]) -> float:
    (a, b, c), (d, e, f), (g, h, i) = columns
    return a * (e * i - f * h) - d * (b * i - c * h) + g * (b * f - c * e)


# The fibre before it is dyed: its own white, which every dye lies over.

WOOL_WHITE_LAB = (85.5, 0.0, 6.6)
"""L, a, b of scoured undyed wool (estimate): Y 67, the middle of merino (from memory), and Y - Z 3.0, the mean of
five groups of scoured Corriedale (K. Neimaur et al., Int. J. Adv. Res. 6(8), 2018, 1163-1169); bleached is whiter."""
_ROUNDING = 0.005
"""A perfect white read to one decimal may come out this much above 1."""


class Undyed(msgspec.Struct, frozen=True):
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


# A dye's curve from the dyer's own swatch: its colour at a depth that is known.

LARGEST_MISS = 5.0
"""CIEDE2000 by which dye on the yarn may miss its swatch (house rule: the limit of colours that can be told apart)."""


def curve_from_swatch(lab: Sequence[float], depth_percent: float, undyed: Undyed | None = None) -> DyeCurve:
    """The curve of a dye that gives a swatch its colour; it replaces the estimate from a published maximum.

    Three smooth steps of reflectance that have the colour of the swatch; K/S of 1 % at each wavelength
    = (K/S of the swatch - K/S of the undyed yarn) / depth, both below the surface, never below 0.

    `lab`: CIELAB (D65) of the dry swatch. `depth_percent`: above 0 to 20 % on the weight of fibre.
    `undyed`: the yarn it was dyed on; without it, scoured wool.
    Returns the curve. Dyed again at that depth on that yarn it misses the swatch by at most 5 CIEDE2000, by nothing
    where three steps can do it, and by more where the swatch is darker than the shine of wool lets it be; the note
    says so.
    Refused (ValueError): outside those ranges; a swatch lighter than the yarn or purer than any dye on it.

    >>> curve = curve_from_swatch((45, 55, 30), 1.0)
    >>> len(curve.ks_per_percent)
    81

    **Source:** Kubelka-Munk and Saunderson (see `dye_curve`); colour and depth are the dyer's, the steps a house rule.
    Breaks away from the depth of the swatch and in mixtures: the true spectrum is finer than three steps.
    """
    above("depth of the swatch", depth_percent, 0, MOST_DEPTH_PERCENT, "%")
    wanted = checked_lab(lab)
    base = (undyed or undyed_wool()).reflectance
    heights = [min(1.0, max(LEAST_REFLECTANCE, height)) for height in heights_for(wanted)]
    dyed = [min(pair) for pair in zip(reflectance_of(heights), base, strict=True)]
    if ciede2000(lab_of_reflectance(dyed), wanted) > LARGEST_MISS:
        raise ValueError(
            f"No dye on this yarn gives L {wanted[0]:.3g}, a {wanted[1]:.3g}, b {wanted[2]:.3g}; "
            "read the swatch and the undyed yarn again, both dry and in the same light."
        )
    added = [ks(below_surface(one)) - ks(below_surface(bare)) for one, bare in zip(dyed, base, strict=True)]
    again = [dyed_reflectance(bare, more) for bare, more in zip(base, added, strict=True)]
    miss = ciede2000(lab_of_reflectance(again), wanted)
    fit = "meets your swatch" if miss < 0.5 else f"misses your swatch by {miss:.1f} (CIEDE2000)"
    note = f"From your own swatch at {depth_percent:g} %; the curve {fit}, its shape is three broad steps."
    return DyeCurve(tuple(more / depth_percent for more in added), note)


APPROXIMATION = "An approximation, not a colour match: dye a swatch before you rely on it."


class Preview(msgspec.Struct, frozen=True):
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
    '#dbd5c9'

    **Source:** P. Kubelka and F. Munk 1931, additivity on a substrate below the surface (see
    `dye_curve.dyed_reflectance`); `estimate`.
    Breaks for dye that stays in the bath, for dyes that drive one another off the fibre, for dye that shines.
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
    note = _note([curve for curve, depth in dyes if depth > 0], base, on_screen)
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


def _note(curves: Sequence[DyeCurve], base: Undyed, on_screen: bool) -> str:
    """One sentence for each thing that is not certain, the general one first."""
    said = [APPROXIMATION, *dict.fromkeys(curve.note for curve in curves), base.note]
    if not on_screen:
        said.append("More vivid than this screen can show.")
    return " ".join(said)
