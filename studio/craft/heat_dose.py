"""Heat a packet really had: minutes at the strike, the middle hot, and the hold through lost steam."""

from __future__ import annotations

import math
from collections.abc import Sequence

from studio.craft.limits import within
from studio.craft.steam import Heating

# Stretches of time, each (from, to) in minutes on one clock; the last may go on (to = infinity).

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


LOSS_WITHOUT_REHEATING_MIN = 5.0
"""min steam may be lost before the packet counts as cooled (house rule)."""
REHEATING_MIN = 5.0
"""min added to the hold for each longer loss (house rule)."""


def earliest_centre(heating: Heating, rolling: Sequence[Stretch]) -> Heating:
    """Clock minutes at which the middle of a packet can be hot, through interruptions of the steam.

    the minute at which the steam has rolled for heating.fast_min, and for heating.slow_min, in all

    `heating`: minutes of rolling steam it takes, from `steam.heat_through` for this packet. `rolling`: (from,
    to) minutes of rolling steam, in order; let the last end at infinity to ask when, if the steam goes on.
    Returns `Heating` in minutes of that clock; infinite where the steam so far is not enough.
    Refused (ValueError): times out of order, heating minutes below 0.

    >>> earliest_centre(Heating(16.0, 26.0), [(10, 20), (25, math.inf)])
    Heating(fast_min=31.0, slow_min=41.0)

    **Source:** estimate: heating is taken to pause while the steam is off (house rule).
    Breaks both ways. In a short stop the middle goes on warming from the layers around it, so it is hot a
    little sooner; in a long one the outside cools and the middle is hot later, which `hold_after_loss`
    answers with minutes for reheating.
    """
    in_order("steam", rolling)
    within("time to heat through", heating.fast_min, 0, math.inf, "min")
    within("time to heat through", heating.slow_min, heating.fast_min, math.inf, "min")
    return Heating(
        _minute_when_rolled(rolling, heating.fast_min), _minute_when_rolled(rolling, heating.slow_min)
    )


def _minute_when_rolled(rolling: Sequence[Stretch], wanted_min: float) -> float:
    rolled_min = 0.0
    for start_min, stop_min in rolling:
        if rolled_min + (stop_min - start_min) >= wanted_min:
            return start_min + (wanted_min - rolled_min)
        rolled_min += stop_min - start_min
    return math.inf
