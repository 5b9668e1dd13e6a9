"""The standard observer and daylight, and a colour as XYZ, CIELAB, sRGB and the six digits a screen takes."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from functools import cache
from typing import TYPE_CHECKING

import msgspec

from studio.craft.limits import REFLECTANCE, within

if TYPE_CHECKING:
    from coloraide import Color


# The standard observer and daylight, the only place that reads the colour library's spectral tables. The
# tables are not part of the library's advertised interface, so they are checked against known values
# when they are read: a version that moved or changed them is refused, never used silently.

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


class Weights(msgspec.Struct, frozen=True):
    """What each wavelength adds to X, Y and Z of a surface; Y of a perfect white is 1.

    `x`, `y`, `z`: one weight for each wavelength from 380 to 780 nm, no unit.

    **Source:** CIE 15, Colorimetry, sum form, CIE 1931 2 degree observer and CIE standard illuminant D65.
    """

    x: Spectrum
    y: Spectrum
    z: Spectrum


@cache
def weights() -> Weights:
    """The weights of every wavelength under daylight, at a step.

    weight = S(nm) x bar(nm) / sum of S y-bar over 380 to 780 nm, and the same for y and z

    Returns the weights, 81 of each at 5 nm.
    Refused (ValueError): a colour library whose tables are not the CIE ones.

    >>> round(sum(weights().y), 12)
    1.0

    **Source:** CIE 15, Colorimetry: tristimulus values by summation, CIE 1931 2 degree, D65, without the
    ends below 380 and above 780 nm, which hold less than 0.01 % of Y.
    Breaks under other light: wool that is bright by optical brightener, or a shop's lamps.
    """
    observer, daylight = _tables()
    grid = range(FIRST_NM, LAST_NM + 1, STEP_NM)
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


# Between the ways to write a colour: XYZ, CIELAB, sRGB and the six digits a screen takes. Lab is always
# CIELAB under D65. The Lab of style sheets is under D50 and another number for the same colour.

_HEX = re.compile(r"#[0-9A-Fa-f]{6}", re.ASCII)
_ROUNDING = 0.5 / 255
"""A channel this far outside rounds to the screen's own edge and is not called outside."""


def checked_lab(lab: Sequence[float]) -> Triple:
    """Three numbers that can be a CIELAB colour: L 0 to 100 (a hair over), a and b -200 to 200.

    Refused (ValueError): another count, a value outside. **Source:** house rule, catches a slipped column.

    >>> checked_lab([50, 10, -20])
    (50.0, 10.0, -20.0)
    """
    if len(lab) != 3:
        raise ValueError(f"A Lab colour has three numbers, L, a and b, not {len(lab)}.")
    within("lightness L", lab[0], 0, 100.5)
    within("red-green value a", lab[1], -200, 200)
    within("yellow-blue value b", lab[2], -200, 200)
    return float(lab[0]), float(lab[1]), float(lab[2])


def lab_of_xyz(xyz: Sequence[float]) -> Triple:
    """CIELAB (D65) from XYZ with Y of white = 1.

    `xyz`: three numbers, about 0 to 1.1.
    Returns L, a, b.
    Refused (ValueError): another count, not finite.

    >>> lab_of_xyz((0.950456, 1.0, 1.089058))
    (100.0, 0.0, 0.0)

    **Source:** CIE 15, Colorimetry, by the library coloraide; white is xy (0.3127, 0.3290).
    Breaks for light sources: a colour here is a surface.
    """
    return _triple(_colour("xyz-d65", xyz).convert("lab-d65"))


def xyz_of_lab(lab: Sequence[float]) -> Triple:
    """XYZ with Y of white = 1 from CIELAB (D65); the inverse of `lab_of_xyz`.

    `lab`: L 0 to 100, a and b -200 to 200.
    Returns X, Y, Z.
    Refused (ValueError): outside those ranges.

    >>> xyz_of_lab((100, 0, 0))
    (0.950456, 1.0, 1.089058)

    **Source:** CIE 15, Colorimetry, by the library coloraide.
    Breaks as `lab_of_xyz` does.
    """
    return _triple(_colour("lab-d65", checked_lab(lab)).convert("xyz-d65"))


def srgb_of_xyz(xyz: Sequence[float]) -> Triple:
    """Red, green and blue of a screen, encoded, from XYZ; not clipped, so that one sees what lies outside.

    `xyz`: three numbers, Y of white = 1.
    Returns red, green, blue; 0 to 1 where the screen can show it.
    Refused (ValueError): another count, not finite.

    >>> srgb_of_xyz((0.171082, 0.18, 0.19603))
    (0.461, 0.461, 0.461)

    **Source:** IEC 61966-2-1 (sRGB), by the library coloraide.
    Breaks on a screen that is not sRGB or stands in coloured light.
    """
    return _triple(_colour("xyz-d65", xyz).convert("srgb"))


def is_on_screen(lab: Sequence[float]) -> bool:
    """Whether an sRGB screen can show a colour without changing it (to half an eight-bit step).

    `lab`: CIELAB (D65). Refused (ValueError): as `checked_lab`.

    >>> is_on_screen((60, 20, 20)), is_on_screen((60, -120, 20))
    (True, False)

    **Source:** IEC 61966-2-1 (sRGB); half a step is a house rule.
    """
    channels = srgb_of_xyz(xyz_of_lab(lab))
    return all(-_ROUNDING <= channel <= 1 + _ROUNDING for channel in channels)


def hex_of_lab(lab: Sequence[float]) -> str:
    """The six digits of a screen colour, the nearest the screen has.

    What lies outside the screen's colours keeps lightness and hue and gives up chroma, in OKLCh.

    `lab`: CIELAB (D65).
    Returns text like `#b23a1f`.
    Refused (ValueError): as `checked_lab`.

    >>> hex_of_lab((53.585, 0, 0))
    '#808080'

    **Source:** IEC 61966-2-1 (sRGB); CSS Color Module Level 4 (chroma reduction), by the library coloraide.
    Breaks as `srgb_of_xyz` does.
    """
    return written(_colour("lab-d65", checked_lab(lab)))


def lab_of_hex(text: str) -> Triple:
    """CIELAB (D65) of a screen colour.

    `text`: `#` and six hexadecimal digits.
    Returns L, a, b.
    Refused (ValueError): anything else.

    >>> lab_of_hex("#ff0000")
    (53.237, 80.090, 67.203)

    **Source:** IEC 61966-2-1 (sRGB) and CIE 15, by the library coloraide.
    Breaks for a photograph: what the camera wrote is not what the yarn reflects.
    """
    return _triple(screen_colour(text).convert("lab-d65"))


def screen_colour(text: str) -> Color:
    """The library's colour for six hexadecimal digits; `text` as in `lab_of_hex`.

    Refused (ValueError): anything else. **Source:** CSS Color Module Level 4 (hex notation).

    >>> screen_colour("#ff0000").space()
    'srgb'
    """
    from coloraide import Color

    if not _HEX.fullmatch(text):
        raise ValueError(f"A screen colour is written #rrggbb, for example #b23a1f, not {text[:20]!r}.")
    return Color(text)


def written(colour: Color) -> str:
    """Six hexadecimal digits of the nearest screen colour; chroma gives way. **Source:** as `hex_of_lab`.

    >>> written(screen_colour("#123456"))
    '#123456'
    """
    fitted = colour.convert("srgb").fit("srgb", method="oklch-chroma")
    channels = [round(255 * min(max(channel, 0.0), 1.0)) for channel in _triple(fitted)]
    return "#" + "".join(f"{channel:02x}" for channel in channels)


def _colour(space: str, numbers: Sequence[float]) -> Color:
    from coloraide import Color

    if len(numbers) != 3 or not all(math.isfinite(number) for number in numbers):
        raise ValueError("A colour has three finite numbers.")
    return Color(space, list(numbers))


def _triple(colour: Color) -> Triple:
    first, second, third = colour.coords(nans=False)
    return float(first), float(second), float(third)


# From the reflectance of a surface at each wavelength to the colour it has in daylight.


def xyz_of_reflectance(values: Sequence[float]) -> Triple:
    """XYZ of a surface in daylight, Y of a perfect white = 1.

    X = sum over the wavelengths of R x weight

    `values`: reflectance from 380 to 780 nm, 0 to 1 each; 81 of them at 5 nm.
    Returns X, Y, Z.
    Refused (ValueError): another count, a value outside 0 to 1.

    >>> xyz_of_reflectance([0.5] * 81)
    (0.475, 0.500, 0.544)

    **Source:** CIE 15, Colorimetry, sum form, CIE 1931 2 degree observer, D65.
    Breaks for a surface that glows: optical brighteners and a few pinks send out more than they get.
    """
    table = weights()
    checked_reflectance(values)
    x, y, z = (
        math.fsum(r * weight for r, weight in zip(values, axis, strict=True))
        for axis in (table.x, table.y, table.z)
    )
    return x, y, z


def lab_of_reflectance(values: Sequence[float]) -> Triple:
    """CIELAB (D65) of a surface in daylight; parameters and refusals as `xyz_of_reflectance`.

    >>> lab_of_reflectance([0.5] * 81)
    (76.07, -0.00, 0.01)

    **Source:** CIE 15, Colorimetry. Breaks as `xyz_of_reflectance` does.
    """
    return lab_of_xyz(xyz_of_reflectance(values))


def checked_reflectance(values: Sequence[float]) -> None:
    """Refuse (ValueError) a reflectance of the wrong length or with a value outside 0 to 1.

    **Source:** house rule.

    >>> checked_reflectance([0.5] * 80)
    Traceback (most recent call last):
    ValueError: A reflectance from 380 to 780 nm in steps of 5 nm has 81 values, not 80.
    """
    wanted = len(WAVELENGTHS_NM)
    if len(values) != wanted:
        raise ValueError(
            f"A reflectance from {FIRST_NM} to {LAST_NM} nm in steps of {STEP_NM} nm has {wanted} values, "
            f"not {len(values)}."
        )
    for value in values:
        REFLECTANCE(value)
