"""How soon the pot is looked after, by the water that was really poured."""

from __future__ import annotations

import math

from studio.craft.pot import pot_clock
from studio.plan.shapes import Timer
from studio.session.live.given import facts_of, measured, set_suffix
from studio.session.state import State


def looked_after_min(state: State, timer: Timer) -> float:
    """Minutes of a clock as it starts: the plan's, but for the pot no later than its refill line.

    House rule: whole minutes, rounded down, at least one.
    """
    known = facts_of(state)
    if known is None or not timer.id.startswith("pot-water"):
        return timer.minutes
    facts, live = known
    poured = measured(state, f"steam{set_suffix(state)}.water") or facts.pot_water_ml
    if poured <= 0 or live.boil_off_ml_min <= 0:
        return timer.minutes
    try:
        refill = pot_clock(poured, poured, live.boil_off_ml_min).refill_min
    except ValueError:
        return timer.minutes
    return max(1.0, min(timer.minutes, math.floor(refill)))
