"""Heat a packet really had: minutes at the strike, the middle hot, and the hold through lost steam."""

from __future__ import annotations

import math
from collections.abc import Sequence

from studio.craft.heat import minutes_at_or_above
from studio.craft.limits import within
from studio.craft.steam import Heating
from studio.craft.stretches import Stretch, in_order

__all__ = [
    "LOSS_WITHOUT_REHEATING_MIN",
    "REHEATING_MIN",
    "earliest_centre",
    "minutes_at_or_above",
]

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
