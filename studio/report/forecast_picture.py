"""The blank, the yarn and the fabric of a forecast as small grids of colours or letters."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from studio.plan.colour_looks import Look

if TYPE_CHECKING:
    from studio.craft.stripe.picture import Cloth, Picture

MIXED = 0.05
"""A stitch with more than this of a second band is shown as mixed. House rule."""


@dataclass(frozen=True, slots=True)
class Dot:
    """One point of a picture."""

    hex: str
    sign: str


def grid(
    picture: Picture,
    cloth: Cloth,
    palette: dict[str, Look],
    width: int,
    height: int,
    *,
    lying: bool = False,
) -> list[list[Dot]]:
    """A cloth as `height` rows of `width` dots, the nearest stitch for each.

    `lying`: turned on its side, so that rows of stitches run from left to right. One row of stitches (the
    yarn) is laid along the width in every row of dots.
    """
    lead, second, share = cloth.lead, cloth.second, cloth.share
    if lead.ndim == 1:
        lead, second, share = lead[None, :], second[None, :], share[None, :]
    elif lying:
        lead, second, share = lead.T, second.T, share.T
    looks_of = [palette[band.colour] for band in picture.bands]
    down, across = lead.shape
    found = []
    for y in range(height):
        r = min(down - 1, int((y + 0.5) * down / height))
        line = []
        for x in range(width):
            s = min(across - 1, int((x + 0.5) * across / width))
            line.append(_dot(looks_of[int(lead[r, s])], looks_of[int(second[r, s])], float(share[r, s])))
        found.append(line)
    return found


def _dot(one: Look, two: Look, share: float) -> Dot:
    if one is two or 1 - share <= MIXED:
        return Dot(one.hex, one.sign)
    return Dot(blend(one.hex, two.hex, share), "~")


def blend(one: str, other: str, share: float) -> str:
    """`share` of one colour with the rest of the other, mixed as light is: in linear sRGB.

    >>> blend("#ffffff", "#000000", 0.5)
    '#bcbcbc'

    **Source:** IEC 61966-2-1 transfer function. An approximation of two yarns seen side by side.
    """
    mixed = []
    for i in (1, 3, 5):
        a, b = (_linear(int(c[i : i + 2], 16) / 255) for c in (one, other))
        mixed.append(round(255 * _encoded(share * a + (1 - share) * b)))
    return "#" + "".join(f"{v:02x}" for v in mixed)


def _linear(value: float) -> float:
    return value / 12.92 if value <= 0.04045 else float(((value + 0.055) / 1.055) ** 2.4)


def _encoded(value: float) -> float:
    return 12.92 * value if value <= 0.0031308 else float(1.055 * value ** (1 / 2.4) - 0.055)
