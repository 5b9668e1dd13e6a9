"""A reflectance for a colour of which only the colour is known: three smooth steps, blue, green and red."""

from __future__ import annotations

import math
from collections.abc import Sequence

from studio.craft.colour.observer import WAVELENGTHS_NM, Spectrum, Triple
from studio.craft.colour.screen_colour import xyz_of_lab
from studio.craft.colour.spectrum import xyz_of_reflectance

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
