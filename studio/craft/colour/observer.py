"""The standard observer and daylight, and a colour as XYZ, CIELAB, sRGB and the six digits a screen takes."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import NamedTuple

from studio.craft.limits import REFLECTANCE, within
from studio.craft.solve import root_between

# The standard observer and daylight, read from the table beside this file.

FIRST_NM = 380
LAST_NM = 780
STEP_NM = 5
"""nm; coarser steps shift saturated edges by several colour differences (20 nm moves a red by 9 in Lab, computed)."""
WAVELENGTHS_NM = tuple(float(nm) for nm in range(FIRST_NM, LAST_NM + 1, STEP_NM))
"""nm; the 81 wavelengths every spectrum of this package is given at."""

Spectrum = tuple[float, ...]
Triple = tuple[float, float, float]
Matrix = tuple[Triple, Triple, Triple]


class Weights(NamedTuple):
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

    >>> round(sum(weights().y), 12)
    1.0

    **Source:** CIE 15, Colorimetry: tristimulus values by summation, CIE 1931 2 degree, D65, without the
    ends below 380 and above 780 nm, which hold less than 0.01 % of Y.
    Breaks under other light: wool that is bright by optical brightener, or a shop's lamps.
    """
    rows = json.loads(Path(__file__).with_name("daylight.json").read_bytes())["rows"]
    white = math.fsum(daylight * y for _, _, y, _, daylight in rows)
    x, y, z = (tuple(row[4] * row[bar] / white for row in rows) for bar in (1, 2, 3))
    return Weights(x, y, z)


# Between the ways to write a colour: XYZ, CIELAB, sRGB and the six digits a screen takes. Lab is always
# CIELAB under D65. The Lab of style sheets is under D50 and another number for the same colour.

_HEX = re.compile(r"#[0-9A-Fa-f]{6}", re.ASCII)
_ROUNDING = 0.5 / 255
"""A channel this far outside rounds to the screen's own edge and is not called outside."""
_WHITE = (0.3127 / 0.3290, 1.0, (1.0 - 0.3127 - 0.3290) / 0.3290)
"""XYZ of D65, from xy (0.3127, 0.3290)."""
_BEND = 6 / 29
"""CIELAB is a cube root above it and a straight line below."""
_SCREEN_OF_XYZ: Matrix = (
    (12831 / 3959, -329 / 214, -1974 / 3959),
    (-851781 / 878810, 1648619 / 878810, 36519 / 878810),
    (705 / 12673, -2585 / 12673, 705 / 667),
)
_XYZ_OF_SCREEN: Matrix = (
    (506752 / 1228815, 87881 / 245763, 12673 / 70218),
    (87098 / 409605, 175762 / 245763, 12673 / 175545),
    (7918 / 409605, 87881 / 737289, 1001167 / 1053270),
)


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

    **Source:** CIE 15, Colorimetry; white is xy (0.3127, 0.3290).
    Breaks for light sources: a colour here is a surface.
    """
    if len(xyz) != 3 or not all(math.isfinite(part) for part in xyz):
        raise ValueError("A colour has three finite numbers.")
    x, y, z = (_bent(part / white) for part, white in zip(xyz, _WHITE, strict=True))
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def _bent(part: float) -> float:
    return math.cbrt(part) if part > _BEND**3 else part / (3 * _BEND**2) + 4 / 29


def xyz_of_lab(lab: Sequence[float]) -> Triple:
    """XYZ with Y of white = 1 from CIELAB (D65); the inverse of `lab_of_xyz`.

    `lab`: L 0 to 100, a and b -200 to 200.
    Returns X, Y, Z.
    Refused (ValueError): outside those ranges.

    >>> xyz_of_lab((100, 0, 0))
    (0.950456, 1.0, 1.089058)

    **Source:** CIE 15, Colorimetry.
    Breaks as `lab_of_xyz` does.
    """
    lightness, a, b = checked_lab(lab)
    bent = (lightness + 16) / 116
    x, y, z = (_unbent(part) for part in (bent + a / 500, bent, bent - b / 200))
    return x * _WHITE[0], y * _WHITE[1], z * _WHITE[2]


def _unbent(part: float) -> float:
    return part**3 if part > _BEND else 3 * _BEND**2 * (part - 4 / 29)


def srgb_of_xyz(xyz: Sequence[float]) -> Triple:
    """Red, green and blue of a screen, encoded, from XYZ; not clipped, so that one sees what lies outside.

    `xyz`: three numbers, Y of white = 1.
    Returns red, green, blue; 0 to 1 where the screen can show it.

    >>> srgb_of_xyz((0.171082, 0.18, 0.19603))
    (0.461, 0.461, 0.461)

    **Source:** IEC 61966-2-1 (sRGB), its matrix as CSS Color Module Level 4 has it.
    Breaks on a screen that is not sRGB or stands in coloured light.
    """
    red, green, blue = (_encoded(light) for light in by(_SCREEN_OF_XYZ, xyz))
    return red, green, blue


def _encoded(light: float) -> float:
    size = abs(light)
    return math.copysign(1.055 * size ** (1 / 2.4) - 0.055, light) if size > 0.0031308 else 12.92 * light


def by(matrix: Matrix, numbers: Sequence[float]) -> Triple:
    """Three numbers by a matrix. **Source:** linear algebra.

    >>> by(((1, 0, 0), (0, 2, 0), (1, 1, 1)), (1, 2, 3))
    (1, 4, 6)
    """
    a, b, c = numbers
    x, y, z = (first * a + second * b + third * c for first, second, third in matrix)
    return x, y, z


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

    **Source:** IEC 61966-2-1 (sRGB); CSS Color Module Level 4 (chroma reduction).
    Breaks as `srgb_of_xyz` does.
    """
    return "#" + "".join(f"{round(255 * _encoded(light)):02x}" for light in _nearest_lights(xyz_of_lab(lab)))


def lights_of_hex(text: str) -> Triple:
    """Red, green and blue light of a screen colour, 0 to 1 each, not encoded.

    `text`: `#` and six hexadecimal digits.
    Refused (ValueError): anything else.

    >>> lights_of_hex("#ff8000")
    (1.0, 0.21586, 0.0)

    **Source:** IEC 61966-2-1 (sRGB); CSS Color Module Level 4 (hex notation).
    """
    if not _HEX.fullmatch(text):
        raise ValueError(f"A screen colour is written #rrggbb, for example #b23a1f, not {text[:20]!r}.")
    red, green, blue = (_light(int(text[at : at + 2], 16) / 255) for at in (1, 3, 5))
    return red, green, blue


def _light(channel: float) -> float:
    return ((channel + 0.055) / 1.055) ** 2.4 if channel > 0.04045 else channel / 12.92


def lab_of_lights(lights: Sequence[float]) -> Triple:
    """CIELAB (D65) of the three lights of a screen.

    >>> lab_of_lights((1, 0, 0))
    (53.237, 80.090, 67.203)

    **Source:** IEC 61966-2-1 (sRGB) and CIE 15.
    """
    return lab_of_xyz(by(_XYZ_OF_SCREEN, lights))


def lab_of_hex(text: str) -> Triple:
    """CIELAB (D65) of a screen colour; parameter and refusals as `lights_of_hex`.

    >>> lab_of_hex("#ff0000")
    (53.237, 80.090, 67.203)

    **Source:** IEC 61966-2-1 (sRGB) and CIE 15.
    Breaks for a photograph: what the camera wrote is not what the yarn reflects.
    """
    return lab_of_lights(lights_of_hex(text))


# What a screen cannot show gives up chroma in OKLab until the eye does not see what its edges cut off. OKLab: B.
# Ottosson 2020; its matrices, and how far is seen, as CSS Color Module Level 4 has them.

_CONES_OF_XYZ: Matrix = (
    (0.8190224379967030, 0.3619062600528904, -0.1288737815209879),
    (0.0329836539323885, 0.9292868615863434, 0.0361446663506424),
    (0.0481771893596242, 0.2642395317527308, 0.6335478284694309),
)
_XYZ_OF_CONES: Matrix = (
    (1.2268798758459243, -0.5578149944602171, 0.2813910456659647),
    (-0.0405757452148008, 1.1122868032803170, -0.0717110580655164),
    (-0.0763729366746601, -0.4214933324022432, 1.5869240198367816),
)
_OK_OF_ROOTS: Matrix = (
    (0.2104542683093140, 0.7936177747023054, -0.0040720430116193),
    (1.9779985324311684, -2.4285922420485799, 0.4505937096174110),
    (0.0259040424655478, 0.7827717124575296, -0.8086757549230774),
)
_ROOTS_OF_OK: Matrix = (
    (1.0, 0.3963377773761749, 0.2158037573099136),
    (1.0, -0.1055613458156586, -0.0638541728258133),
    (1.0, -0.0894841775298119, -1.2914855480194092),
)
_JUST_SEEN = 0.02
"""Between two colours in OKLab."""


def _ok_of_xyz(xyz: Triple) -> Triple:
    x, y, z = by(_CONES_OF_XYZ, xyz)
    return by(_OK_OF_ROOTS, (math.cbrt(x), math.cbrt(y), math.cbrt(z)))


def _cut_off(ok: Triple) -> tuple[Triple, float]:
    """The lights of a colour of OKLab with what is outside cut off, and how far that moves it."""
    x, y, z = by(_ROOTS_OF_OK, ok)
    red, green, blue = by(_SCREEN_OF_XYZ, by(_XYZ_OF_CONES, (x**3, y**3, z**3)))
    lights = (min(1.0, max(0.0, red)), min(1.0, max(0.0, green)), min(1.0, max(0.0, blue)))
    return lights, math.dist(ok, _ok_of_xyz(by(_XYZ_OF_SCREEN, lights)))


def _nearest_lights(xyz: Triple) -> Triple:
    lightness, a, b = _ok_of_xyz(xyz)

    def paler(share: float) -> tuple[Triple, float]:
        return _cut_off((min(1.0, max(0.0, lightness)), share * a, share * b))

    lights, moved = paler(1.0)
    if moved <= _JUST_SEEN:
        return lights
    return paler(root_between(lambda share: paler(share)[1] - _JUST_SEEN, 0.0, 1.0))[0]


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
