"""The colours between two bands where one runs into the other."""

from __future__ import annotations

from studio.craft.colour.screen_colour import screen_colour, written
from studio.craft.limits import within

MOST_COLOURS = 1000
"""More steps than a screen has columns (house rule)."""


def gradient(hex_a: str, hex_b: str, count: int) -> tuple[str, ...]:
    """Colours in even steps from one to another, both ends among them.

    `hex_a`, `hex_b`: `#rrggbb`. `count`: 2 to 1000.
    Returns `count` colours, `#rrggbb`.
    Refused (ValueError): another count, another way to write a colour.

    >>> gradient("#000000", "#ffffff", 3)
    ('#000000', '#636363', '#ffffff')

    **Source:** straight line in OKLab (B. Ottosson, A perceptual color space for image processing, 2020),
    by the library coloraide.
    Breaks as a forecast: dyes that run together darken one another; for the true middle preview the mixture.
    """
    within("count of colours", count, 2, MOST_COLOURS)
    from coloraide import Color

    steps = Color.interpolate([screen_colour(hex_a), screen_colour(hex_b)], space="oklab")
    return tuple(written(steps(i / (count - 1))) for i in range(int(count)))
