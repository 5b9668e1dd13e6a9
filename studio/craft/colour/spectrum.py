"""From the reflectance of a surface at each wavelength to the colour it has in daylight."""

from __future__ import annotations

import math
from collections.abc import Sequence

from studio.craft.colour.observer import FIRST_NM, LAST_NM, STEP_NM, Triple, weights
from studio.craft.colour.screen_colour import lab_of_xyz
from studio.craft.limits import within


def xyz_of_reflectance(values: Sequence[float], step_nm: int = STEP_NM) -> Triple:
    """XYZ of a surface in daylight, Y of a perfect white = 1.

    X = sum over the wavelengths of R x weight

    `values`: reflectance from 380 to 780 nm, 0 to 1 each; 81 of them at 5 nm.
    `step_nm`: 5, 10 or 20; only 5 is good for saturated colours.
    Returns X, Y, Z.
    Refused (ValueError): another count, a value outside 0 to 1.

    >>> xyz_of_reflectance([0.5] * 81)
    (0.475, 0.500, 0.544)

    **Source:** CIE 15, Colorimetry, sum form, CIE 1931 2 degree observer, D65.
    Breaks for a surface that glows: optical brighteners and a few pinks send out more than they get.
    """
    table = weights(step_nm)
    checked_reflectance(values, step_nm)
    x, y, z = (
        math.fsum(r * weight for r, weight in zip(values, axis, strict=True))
        for axis in (table.x, table.y, table.z)
    )
    return x, y, z


def lab_of_reflectance(values: Sequence[float], step_nm: int = STEP_NM) -> Triple:
    """CIELAB (D65) of a surface in daylight; parameters and refusals as `xyz_of_reflectance`.

    >>> lab_of_reflectance([0.5] * 81)
    (76.07, -0.00, 0.01)

    **Source:** CIE 15, Colorimetry. Breaks as `xyz_of_reflectance` does.
    """
    return lab_of_xyz(xyz_of_reflectance(values, step_nm))


def checked_reflectance(values: Sequence[float], step_nm: int = STEP_NM) -> None:
    """Refuse (ValueError) a reflectance of the wrong length or with a value outside 0 to 1.

    **Source:** house rule.

    >>> checked_reflectance([0.5] * 80)
    Traceback (most recent call last):
    ValueError: A reflectance from 380 to 780 nm in steps of 5 nm has 81 values, not 80.
    """
    wanted = (LAST_NM - FIRST_NM) // step_nm + 1
    if len(values) != wanted:
        raise ValueError(
            f"A reflectance from {FIRST_NM} to {LAST_NM} nm in steps of {step_nm} nm has {wanted} values, "
            f"not {len(values)}."
        )
    for value in values:
        within("reflectance", value, 0, 1)
