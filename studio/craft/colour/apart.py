"""How far apart two colours are to the eye, and to eyes that lack one kind of cone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import Literal, get_args

import msgspec

from studio.craft.colour.observer import Triple, checked_lab, hex_of_lab, screen_colour
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
    2005, 21-30, by the library coloraide.
    Breaks for large differences, which it was not fitted to, and for colours that do not lie side by side.
    """
    from coloraide import Color

    one, other = (Color("lab-d65", list(checked_lab(lab))) for lab in (first, second))
    return float(one.delta_e(other, method="2000", space="lab-d65"))


# How a colour may look to a person whose eyes lack one kind of cone.

Kind = Literal["red-blind", "green-blind", "blue-blind"]
"""Protanopia, deuteranopia, tritanopia."""
KINDS: tuple[Kind, ...] = get_args(Kind)
_FILTERS: dict[Kind, tuple[str, str]] = {
    "red-blind": ("protan", "vienot"),
    "green-blind": ("deutan", "vienot"),
    "blue-blind": ("tritan", "brettel"),
}


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
    memory); by the library coloraide.
    Breaks for the many whose eyes only lean that way: this is the whole lack, the worst case.
    """
    if kind not in _FILTERS:
        raise ValueError(f"A kind of colour blindness is {', '.join(KINDS)}; not {str(kind)[:20]!r}.")
    name, model = _FILTERS[kind]
    seen = screen_colour(hex_of_lab(lab)).filter(name, method=model)
    seen = seen.convert("srgb").clip("srgb").convert("lab-d65")
    lightness, a, b = seen.coords(nans=False)
    return float(lightness), float(a), float(b)


# Colours of one piece that people may not tell apart.

TOLD_APART = 5.0
"""CIEDE2000; less is too close for two bands in a knitted stripe, seen apart and in room light (house rule)."""


class ClosePair(msgspec.Struct, frozen=True):
    """Two colours of a list, by their places in it, that lie too close.

    `first` < `second`: places from 0. `difference`: CIEDE2000 to usual eyes, or to those that `seen_by` names, which
    may not tell apart what usual eyes do.

    **Source:** see `too_close` and `confused`.
    """

    first: int
    second: int
    difference: float
    seen_by: Kind | None = None


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


def confused(colours: Sequence[Sequence[float]], limit: float = TOLD_APART) -> tuple[ClosePair, ...]:
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
            ClosePair(first, second, difference, kind)
            for first, second, difference in _differences(seen)
            if difference < limit <= usual[first, second]
        ]
        found += sorted(left, key=lambda pair: pair.difference)
    return tuple(found)


def _differences(colours: Sequence[Sequence[float]]) -> Iterator[tuple[int, int, float]]:
    for (first, one), (second, other) in combinations(enumerate(colours), 2):
        yield first, second, ciede2000(one, other)
