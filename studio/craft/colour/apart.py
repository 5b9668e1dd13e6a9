"""How far apart two colours are to the eye, and to eyes that lack one kind of cone."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Literal, get_args

from studio.craft.colour.observer import (
    Matrix,
    Triple,
    by,
    checked_lab,
    hex_of_lab,
    lab_of_lights,
    lights_of_hex,
)
from studio.craft.limits import Range

APART_LIMIT = Range("limit of colours that can be told apart", 0, 100, positive=True)

# How far apart two colours are to the eye.


def ciede2000(first: Sequence[float], second: Sequence[float]) -> float:
    """Colour difference CIEDE2000 of two CIELAB colours, kL = kC = kH = 1.

    `first`, `second`: L, a, b under D65.
    Returns the difference, 0 or more; about 1 can just be seen side by side, 100 is black against white.
    Refused (ValueError): not three numbers, L outside 0 to 100, a or b outside -200 to 200.

    >>> ciede2000((50, 2.5, 0), (73, 25, -18))
    27.1492

    **Source:** ISO/CIE 11664-6; G. Sharma, W. Wu and E. N. Dalal, Color Research and Application 30(1),
    2005, 21-30, in the order of its equations.
    Breaks for large differences, which it was not fitted to, and for colours that do not lie side by side.
    """
    (l1, a1, b1), (l2, a2, b2) = checked_lab(first), checked_lab(second)
    stretch = 1.5 - 0.5 * _vivid((math.hypot(a1, b1) + math.hypot(a2, b2)) / 2)
    c1, c2 = math.hypot(stretch * a1, b1), math.hypot(stretch * a2, b2)
    h1, h2 = (math.degrees(math.atan2(b, stretch * a)) % 360 for a, b in ((a1, b1), (a2, b2)))
    turn = h2 - h1 if c1 and c2 else 0.0
    turn -= 360 * (turn > 180) - 360 * (turn < -180)
    hue = (h1 + turn / 2) % 360 if c1 and c2 else h1 + h2
    lightness, chroma = (l1 + l2) / 2, (c1 + c2) / 2
    uneven = (
        1
        - 0.17 * _cos(hue - 30)
        + 0.24 * _cos(2 * hue)
        + 0.32 * _cos(3 * hue + 6)
        - 0.20 * _cos(4 * hue - 63)
    )
    off = (lightness - 50) ** 2
    lighter = (l2 - l1) / (1 + 0.015 * off / math.sqrt(20 + off))
    fuller = (c2 - c1) / (1 + 0.045 * chroma)
    turned = 2 * math.sqrt(c1 * c2) * math.sin(math.radians(turn / 2)) / (1 + 0.015 * chroma * uneven)
    blues = math.radians(60 * math.exp(-(((hue - 275) / 25) ** 2)))
    crossed = -2 * _vivid(chroma) * math.sin(blues)
    return math.sqrt(lighter**2 + fuller**2 + turned**2 + crossed * fuller * turned)


def _vivid(chroma: float) -> float:
    return math.sqrt(chroma**7 / (chroma**7 + 25**7))


def _cos(degrees: float) -> float:
    return math.cos(math.radians(degrees))


# How a colour may look to a person whose eyes lack one kind of cone.

Kind = Literal["red-blind", "green-blind", "blue-blind"]
"""Protanopia, deuteranopia, tritanopia."""
KINDS: tuple[Kind, ...] = get_args(Kind)
# From the lights of a screen to those a person sees the same; of blue-blind eyes two, one on each side of the plane
# through the greys.
_RED_BLIND: Matrix = (
    (0.1123828, 0.8876172, 0.0),
    (0.1123828, 0.8876172, 0.0),
    (0.0040058, -0.0040058, 1.0),
)
_GREEN_BLIND: Matrix = (
    (0.2927501, 0.7072499, 0.0),
    (0.2927501, 0.7072499, 0.0),
    (-0.0223366, 0.0223366, 1.0),
)
_BLUE_BLIND: tuple[Matrix, Matrix] = (
    ((0.936784, 0.189788, -0.126572), (0.061534, 0.815262, 0.123204), (-0.375608, 1.127654, 0.247954)),
    ((1.012773, 0.135484, -0.148257), (-0.012433, 0.868121, 0.144312), (0.075895, 0.805000, 0.119106)),
)
_PLANE = (0.0390146, -0.0278808, -0.0111338)


def as_seen(lab: Sequence[float], kind: Kind) -> Triple:
    """A colour as a person with one kind of cone missing may see it.

    `lab`: CIELAB (D65); taken to the nearest screen colour first, since the models are for screens.
    `kind`: `red-blind`, `green-blind` or `blue-blind`.
    Returns CIELAB (D65).
    Refused (ValueError): another kind, numbers that are no Lab colour.

    >>> grey = as_seen((53.585, 0, 0), "red-blind")
    >>> round(grey[0], 1)
    53.6

    **Source:** red and green: F. Viénot, H. Brettel and J. D. Mollon, Color Research and Application 24(4), 1999,
    243-252; blue: H. Brettel, F. Viénot and J. D. Mollon, J. Opt. Soc. Am. A 14(10), 1997, 2647-2655 (both from
    memory); matrices made of them as the library coloraide 8.13 has them.
    Breaks for the many whose eyes only lean that way: this is the whole lack, the worst case.
    """
    if kind not in KINDS:
        raise ValueError(f"A kind of colour blindness is {', '.join(KINDS)}; not {str(kind)[:20]!r}.")
    lights = lights_of_hex(hex_of_lab(lab))
    beyond = math.fsum(part * light for part, light in zip(_PLANE, lights, strict=True)) > 0
    seen = {"red-blind": _RED_BLIND, "green-blind": _GREEN_BLIND, "blue-blind": _BLUE_BLIND[beyond]}[kind]
    return lab_of_lights([min(1.0, max(0.0, light)) for light in by(seen, lights)])


# Colours of one piece that people may not tell apart.

TOLD_APART = 5.0
"""CIEDE2000; less is too close for two bands in a knitted stripe, seen apart and in room light (house rule)."""


@dataclass(frozen=True)
class ClosePair:
    """Two colours of a list, by their places in it, that lie too close.

    `first` < `second`: places from 0. `difference`: CIEDE2000 to usual eyes.

    **Source:** see `too_close`.
    """

    first: int
    second: int
    difference: float


@dataclass(frozen=True)
class ConfusedPair:
    """Two colours that usual eyes tell apart and a colour-blind person may not.

    `first` < `second`: places from 0. `seen_by`: kind of colour blindness. `difference`: CIEDE2000 to that
    person.

    **Source:** see `confused`.
    """

    first: int
    second: int
    seen_by: Kind
    difference: float


def too_close(colours: Sequence[Sequence[float]], limit: float = TOLD_APART) -> tuple[ClosePair, ...]:
    """The pairs of a list of colours that differ by less than a limit, the closest first.

    `colours`: CIELAB (D65) each. `limit`: CIEDE2000, above 0 to 100.
    Returns the pairs; empty where all can be told apart.
    Refused (ValueError): outside those ranges.

    >>> [(pair.first, pair.second) for pair in too_close([(50, 0, 0), (52, 0, 0), (90, 0, 0)])]
    [(0, 1)]

    **Source:** CIEDE2000 (see `ciede2000`); the limit is a house rule.
    Breaks with texture: a shiny yarn beside a matt one tells more than the colour does.
    """
    APART_LIMIT(limit)
    pairs = [ClosePair(*pair) for pair in _differences(colours) if pair[2] < limit]
    return tuple(sorted(pairs, key=lambda pair: pair.difference))


def confused(colours: Sequence[Sequence[float]], limit: float = TOLD_APART) -> tuple[ConfusedPair, ...]:
    """The pairs usual eyes tell apart and a red-, green- or blue-blind person may not, by person and closeness.

    `colours`, `limit`: as `too_close`; a pair that is too close for everyone is not named again.
    Returns the pairs, one for each kind of colour blindness they concern.
    Refused (ValueError): outside those ranges.

    >>> [pair.seen_by for pair in confused([(50, 30, 30), (52, -6, 33)])]
    ['green-blind']

    **Source:** simulation as `as_seen` says, CIEDE2000 of what is left; the limit is a house rule.
    Breaks for the many whose eyes only lean that way, and CIEDE2000 itself was made for usual eyes.
    """
    APART_LIMIT(limit)
    usual = {(first, second): difference for first, second, difference in _differences(colours)}
    found = []
    for kind in KINDS:
        seen = [as_seen(lab, kind) for lab in colours]
        left = [
            ConfusedPair(first, second, kind, difference)
            for first, second, difference in _differences(seen)
            if difference < limit <= usual[first, second]
        ]
        found += sorted(left, key=lambda pair: pair.difference)
    return tuple(found)


def _differences(colours: Sequence[Sequence[float]]) -> Iterator[tuple[int, int, float]]:
    for (first, one), (second, other) in combinations(enumerate(colours), 2):
        yield first, second, ciede2000(one, other)
