"""Stretches of time, each (from, to) in minutes on one clock; the last may go on (to = infinity)."""

from __future__ import annotations

import math
from collections.abc import Sequence

Stretch = tuple[float, float]


def in_order(what: str, stretches: Sequence[Stretch]) -> Sequence[Stretch]:
    """Give `stretches` back if each ends at or after its start and begins at or after the end before.

    `what` names them for a person (`steam`). Each start is finite; only the last may end at infinity.
    Refused (ValueError): anything else, and nan.
    **Source:** house rule.

    >>> in_order("steam", [(0, 12), (20, 30)])
    [(0, 12), (20, 30)]
    >>> in_order("steam", [(0, 12), (10, 30)])
    Traceback (most recent call last):
    ValueError: The times of the steam overlap or run backwards near minute 10; give them in order.
    """
    end = -math.inf
    for start, stop in stretches:
        if not (math.isfinite(start) and end <= start <= stop):
            raise ValueError(
                f"The times of the {what} overlap or run backwards near minute {start:g}; give them in order."
            )
        end = stop
    return stretches


def minutes_within(stretches: Sequence[Stretch], begin_min: float, end_min: float) -> float:
    """Minutes of the stretches that fall between two times.

    sum(max(0, min(to, end) - max(from, begin)))

    `stretches`: as `in_order` accepts them. `begin_min`, `end_min`: minutes on the same clock.
    Returns min; 0 where the end is before the beginning.
    Refused (ValueError): nothing here; callers check their stretches with `in_order`.

    >>> minutes_within([(0, 12), (20, 30)], 10, 25)
    7.0

    **Source:** arithmetic.
    """
    return math.fsum(max(0.0, min(stop, end_min) - max(start, begin_min)) for start, stop in stretches)
