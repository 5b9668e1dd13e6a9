"""The pot of water under the steam: what is left in it, when to fill it up (one door to `pot_heating`)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from studio.craft.limits import liquid_volume, within
from studio.craft.pot_heating import minutes_to_steam
from studio.craft.steam import pot_minutes
from studio.craft.stretches import Stretch, in_order, minutes_within

__all__ = [
    "REFILL_LEFT_MIN",
    "REFILL_SHARE",
    "PotClock",
    "minutes_to_steam",
    "pot_clock",
    "pot_level_ml",
]

REFILL_SHARE = 0.25
"""Of the water at the start, left when the pot is to be filled up (house rule)."""
REFILL_LEFT_MIN = 10.0
"""min of boiling left when the pot is to be filled up, where that comes first (house rule)."""


def pot_level_ml(
    start_ml: float,
    rate_ml_min: float,
    boiling: Sequence[Stretch],
    at_min: float,
    refills: Sequence[tuple[float, float]] = (),
) -> float:
    """Pot water left at a time, through stops and refills (estimate).

    level = start + refills - rate x minutes of boiling, never below an empty pot on the way

    `start_ml`: 0 to 1 000 000 mL. `rate_ml_min`: boil-off, 0 to 10 000 mL/min. `boiling`: (from, to) minutes,
    in order; the last may end at infinity. `at_min`: on the same clock. `refills`: (minute, mL) in order of
    time; those after `at_min` do not count yet.
    Returns mL, never negative.
    Refused (ValueError): outside those ranges, times out of order.

    >>> pot_level_ml(1500, 25, [(0, 20), (30, 60)], at_min=40)
    750.0

    **Source:** conservation of mass on an estimated boil-off.
    Breaks on the safe side: a lid sends steam back, and a cold refill stops the boiling for a while. Not
    when the hob is turned up: give the higher rate.
    """
    level_ml = liquid_volume("pot water", start_ml)
    within("boil-off", rate_ml_min, 0, 10_000, "mL/min")
    in_order("boiling", boiling)
    in_order("refills", [(minute, minute) for minute, _ in refills])
    if not math.isfinite(at_min):
        raise ValueError("The time to tell the pot water for must be a number of minutes.")
    since_min = -math.inf
    for minute, added_ml in refills:
        if minute > at_min:
            break
        boiled_ml = rate_ml_min * minutes_within(boiling, since_min, minute)
        level_ml = max(0.0, level_ml - boiled_ml) + liquid_volume("water poured in", added_ml)
        since_min = minute
    return max(0.0, level_ml - rate_ml_min * minutes_within(boiling, since_min, at_min))


@dataclass(frozen=True)
class PotClock:
    """Minutes of boiling until the refill line and until dry; `line_ml`: the level of the refill line.

    `line_is`: which rule draws the line, `share` (a quarter left) or `time` (ten minutes left).

    **Source:** estimate; see `pot_clock`.
    """

    line_ml: float
    line_is: str
    refill_min: float
    dry_min: float


def pot_clock(level_ml: float, full_ml: float, rate_ml_min: float) -> PotClock:
    """How long the pot still boils: until it is to be filled up, and until it is dry.

    line = max(0.25 x full, 10 min x rate); minutes = (level - line) / rate, and level / rate

    `level_ml`: now, 0 to 1 000 000 mL. `full_ml`: at the start or after the last refill, 0 to 1 000 000 mL.
    `rate_ml_min`: boil-off, 0 to 10 000 mL/min.
    Returns `PotClock`; 0 where the line is passed, infinite where nothing boils off.
    Refused (ValueError): outside those ranges.

    >>> pot_clock(1000, 1500, 25)
    PotClock(line_ml=375.0, line_is='share', refill_min=25.0, dry_min=40.0)

    **Source:** arithmetic on an estimated boil-off; a quarter or ten minutes, whichever comes first, is a
    house rule. A look at the water every 30 min is common practice.
    Breaks on the safe side: a lid sends steam back.
    """
    liquid_volume("pot water", level_ml)
    liquid_volume("pot water at the start", full_ml)
    dry_min = pot_minutes(level_ml, rate_ml_min)
    share_ml, time_ml = REFILL_SHARE * full_ml, REFILL_LEFT_MIN * rate_ml_min
    line_ml = max(share_ml, time_ml)
    return PotClock(
        line_ml=line_ml,
        line_is="share" if share_ml >= time_ml else "time",
        refill_min=pot_minutes(max(0.0, level_ml - line_ml), rate_ml_min) if level_ml > line_ml else 0.0,
        dry_min=dry_min,
    )
