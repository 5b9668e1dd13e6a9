"""Heat a packet really had: minutes at the strike, the middle hot, and the hold through lost steam."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from studio.craft.heat import minutes_at_or_above
from studio.craft.limits import within
from studio.craft.packet import Heating
from studio.craft.stretches import Stretch, in_order

__all__ = [
    "LOSS_WITHOUT_REHEATING_MIN",
    "REHEATING_MIN",
    "HoldLeft",
    "earliest_centre",
    "hold_after_loss",
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


@dataclass(frozen=True)
class HoldLeft:
    """A hold in steam that may have been interrupted.

    `left_min`: minutes of rolling steam still to come, 0 when done. `rolled_min`: that counted. `lost_min`:
    without steam, between its first roll and now (or the end). `reheating_min`: added for losses longer than
    5 min. `done_min`: clock minute the hold was done, or will be if the steam rolls from now on.

    **Source:** house rule; see `hold_after_loss`.
    """

    left_min: float
    rolled_min: float
    lost_min: float
    reheating_min: float
    done_min: float


def hold_after_loss(hold_min: float, rolling: Sequence[Stretch], now_min: float) -> HoldLeft:
    """Minutes still to hold, where steam may have been lost on the way.

    left = hold + 5 min for each loss longer than 5 min - minutes the steam rolled

    Only rolling steam counts, so lost time is added by itself. Steam stopped after the hold was done is no
    loss.
    `hold_min`: from `steam.hold_min`, 0 to 10 000 min. `rolling`: (from, to) minutes of rolling steam, in
    order; the last may end at infinity while the steam is on. `now_min`: on the same clock; what comes later
    does not count yet.
    Returns `HoldLeft`.
    Refused (ValueError): outside those ranges, times out of order.

    >>> hold_after_loss(30, [(0, 12), (20, math.inf)], now_min=25)
    HoldLeft(left_min=18.0, rolled_min=17.0, lost_min=8.0, reheating_min=5.0, done_min=43.0)

    **Source:** house rule: lost time is added, and five minutes more after a loss longer than five.
    Breaks for a thick roll off the steam for long: half an hour without steam cools more than five minutes
    heat; begin the hold again.
    """
    within("hold", hold_min, 0, 10_000, "min")
    in_order("steam", rolling)
    if not math.isfinite(now_min):
        raise ValueError("The time to tell the hold for must be a number of minutes.")
    rolled_min = lost_min = reheating_min = 0.0
    off_since_min: float | None = None
    for start_min, stop_min in (s for s in rolling if s[0] <= now_min):
        if off_since_min is not None:
            lost_min += start_min - off_since_min
            reheating_min += _reheating(start_min - off_since_min)
        lacking_min = hold_min + reheating_min - rolled_min
        until_min = min(stop_min, now_min)
        if until_min - start_min >= lacking_min - 1e-9:
            return HoldLeft(0.0, rolled_min + lacking_min, lost_min, reheating_min, start_min + lacking_min)
        rolled_min += until_min - start_min
        off_since_min = until_min
    if off_since_min is not None:
        lost_min += now_min - off_since_min
        reheating_min += _reheating(now_min - off_since_min)
    left_min = hold_min + reheating_min - rolled_min
    return HoldLeft(left_min, rolled_min, lost_min, reheating_min, now_min + left_min)


def _reheating(loss_min: float) -> float:
    return REHEATING_MIN if loss_min > LOSS_WITHOUT_REHEATING_MIN else 0.0


def _minute_when_rolled(rolling: Sequence[Stretch], wanted_min: float) -> float:
    rolled_min = 0.0
    for start_min, stop_min in rolling:
        if rolled_min + (stop_min - start_min) >= wanted_min:
            return start_min + (wanted_min - rolled_min)
        rolled_min += stop_min - start_min
    return math.inf
