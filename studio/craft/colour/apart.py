"""Colours of one piece that people may not tell apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from studio.craft.colour.colour_blind import KINDS, Kind, as_seen
from studio.craft.colour.difference import ciede2000
from studio.craft.limits import above

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
    person. `usual_difference`: to usual eyes.

    **Source:** see `confused`.
    """

    first: int
    second: int
    seen_by: Kind
    difference: float
    usual_difference: float


def too_close(colours: Sequence[Sequence[float]], limit: float = TOLD_APART) -> tuple[ClosePair, ...]:
    """The pairs of a list of colours that differ by less than a limit, the closest first.

    `colours`: CIELAB (D65) each. `limit`: CIEDE2000, above 0 to 100.
    Returns the pairs; empty where all can be told apart.
    Refused (ValueError): outside those ranges.

    >>> [(pair.first, pair.second) for pair in too_close([(50, 0, 0), (52, 0, 0), (90, 0, 0)])]
    [(0, 1)]

    **Source:** CIEDE2000 (see `difference`); the limit is a house rule.
    Breaks with texture: a shiny yarn beside a matt one tells more than the colour does.
    """
    above("limit of colours that can be told apart", limit, 0, 100)
    pairs = [ClosePair(*pair) for pair in _differences(colours) if pair[2] < limit]
    return tuple(sorted(pairs, key=lambda pair: pair.difference))


def confused(colours: Sequence[Sequence[float]], limit: float = TOLD_APART) -> tuple[ConfusedPair, ...]:
    """The pairs usual eyes tell apart and a red-, green- or blue-blind person may not, by person and closeness.

    `colours`, `limit`: as `too_close`; a pair that is too close for everyone is not named again.
    Returns the pairs, one for each kind of colour blindness they concern.
    Refused (ValueError): outside those ranges.

    >>> [pair.seen_by for pair in confused([(50, 30, 30), (52, -6, 33)])]
    ['green-blind']

    **Source:** simulation as `colour_blind.as_seen` says, CIEDE2000 of what is left; the limit is a house rule.
    Breaks for the many whose eyes only lean that way, and CIEDE2000 itself was made for usual eyes.
    """
    above("limit of colours that can be told apart", limit, 0, 100)
    usual = {(first, second): difference for first, second, difference in _differences(colours)}
    found = []
    for kind in KINDS:
        seen = [as_seen(lab, kind) for lab in colours]
        left = [
            ConfusedPair(first, second, kind, difference, usual[first, second])
            for first, second, difference in _differences(seen)
            if difference < limit <= usual[first, second]
        ]
        found += sorted(left, key=lambda pair: pair.difference)
    return tuple(found)


def _differences(colours: Sequence[Sequence[float]]) -> Iterator[tuple[int, int, float]]:
    for (first, one), (second, other) in combinations(enumerate(colours), 2):
        yield first, second, ciede2000(one, other)
