"""The standard observer and daylight, the only place that reads the colour library's spectral tables.

The tables are not part of the library's advertised interface, so they are checked against known values
when they are read: a version that moved or changed them is refused, never used silently.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

FIRST_NM = 380
LAST_NM = 780
STEP_NM = 5
"""nm; coarser steps shift saturated edges by several colour differences (20 nm moves a red by 9 in Lab, computed)."""
WAVELENGTHS_NM = tuple(float(nm) for nm in range(FIRST_NM, LAST_NM + 1, STEP_NM))
"""nm; the 81 wavelengths every spectrum of this package is given at."""

Spectrum = tuple[float, ...]
Triple = tuple[float, float, float]

_OBSERVER_SPOTS = {
    450: (0.3362, 0.0380, 1.77211),
    555: (0.51205, 1.0, 0.00575),
    600: (1.0622, 0.6310, 0.0008),
}
_DAYLIGHT_SPOTS = {450: 117.008, 500: 109.354, 600: 90.0062}


@dataclass(frozen=True)
class Weights:
    """What each wavelength adds to X, Y and Z of a surface; Y of a perfect white is 1.

    `x`, `y`, `z`: one weight for each wavelength from 380 to 780 nm, no unit.

    **Source:** CIE 15, Colorimetry, sum form, CIE 1931 2 degree observer and CIE standard illuminant D65.
    """

    x: Spectrum
    y: Spectrum
    z: Spectrum


@cache
def weights(step_nm: int = STEP_NM) -> Weights:
    """The weights of every wavelength under daylight, at a step.

    weight = S(nm) x bar(nm) / sum of S y-bar over 380 to 780 nm, and the same for y and z

    `step_nm`: 5, 10 or 20 nm; use 5, the others are there to show what a coarse step costs.
    Returns the weights, (400 / step + 1) of each.
    Refused (ValueError): another step; a colour library whose tables are not the CIE ones.

    >>> round(sum(weights().y), 12)
    1.0

    **Source:** CIE 15, Colorimetry: tristimulus values by summation, CIE 1931 2 degree, D65, without the
    ends below 380 and above 780 nm, which hold less than 0.01 % of Y.
    Breaks under other light: wool that is bright by optical brightener, or a shop's lamps.
    """
    if step_nm not in (5, 10, 20):
        raise ValueError(f"The step of a spectrum must be 5, 10 or 20 nm, not {step_nm}.")
    observer, daylight = _tables()
    grid = range(FIRST_NM, LAST_NM + 1, step_nm)
    white = math.fsum(daylight[nm] * observer[nm][1] for nm in grid)
    columns = [tuple(daylight[nm] * observer[nm][axis] / white for nm in grid) for axis in range(3)]
    return Weights(*columns)


def _tables() -> tuple[dict[int, Triple], dict[int, float]]:
    """Observer and daylight at 5 nm from the colour library, checked."""
    from coloraide.cmfs import CIE_1931_2DEG
    from coloraide.illuminants import D65

    observed, lit = dict(CIE_1931_2DEG.items()), dict(D65.items())
    grid = range(FIRST_NM, LAST_NM + 1, STEP_NM)
    try:
        observer = {nm: (observed[nm][0], observed[nm][1], observed[nm][2]) for nm in grid}
        daylight = {nm: float(lit[nm]) for nm in grid}
    except (KeyError, IndexError, TypeError):
        observer, daylight = {}, {}
    if not _are_the_cie_tables(observer, daylight):
        raise ValueError(
            "The colour tables of the installed coloraide are not the CIE ones; install coloraide 8.13."
        )
    return observer, daylight


def _are_the_cie_tables(observer: dict[int, Triple], daylight: dict[int, float]) -> bool:
    """Whether known values stand where they should: CIE 1931 2 degree and D65, and the sum of y-bar at 5 nm."""
    if not observer:
        return False
    spots = all(
        math.isclose(seen, wanted, abs_tol=5e-5)
        for nm, row in _OBSERVER_SPOTS.items()
        for seen, wanted in zip(observer[nm], row, strict=True)
    )
    light = all(math.isclose(daylight[nm], wanted, abs_tol=5e-4) for nm, wanted in _DAYLIGHT_SPOTS.items())
    total = STEP_NM * math.fsum(row[1] for row in observer.values())
    return spots and light and math.isclose(total, 106.8566, abs_tol=5e-4)
