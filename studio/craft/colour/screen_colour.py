"""Between the ways to write a colour: XYZ, CIELAB, sRGB and the six digits a screen takes.

Lab is always CIELAB under D65. The Lab of style sheets is under D50 and another number for the same colour.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

from studio.craft.colour.observer import Triple
from studio.craft.limits import within

if TYPE_CHECKING:
    from coloraide import Color

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
