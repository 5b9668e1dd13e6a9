"""The pot looked after: how soon, by the water that is really in it, and what rings when it is low or dry."""

from __future__ import annotations

import math
from typing import Literal

import msgspec

from studio.craft.pot import PotClock
from studio.methods.set_by.steam_work import SetWork
from studio.plan.shapes import Figure, Step, Timer
from studio.quantity.showing import show
from studio.session.clock import Reading
from studio.session.live import steam
from studio.session.live.given import NOTHING, Thought, clock_of, record_of, warning
from studio.session.sheet import heat_now
from studio.session.state import State, TimerRecord
from studio.session.timers import packets_in, ran_out, view

POT_LEVELS = ("low", "dry")
"""Levels of an alarm that is raised by the water and not by a clock."""
AT_ONCE_MIN = 0.01
"""A refill line nearer than this is reached. House rule; far below what a look at the pot takes."""
WITH_THE_LOOK_MIN = 1.0
"""A look that comes so soon before the refill line is one with it: one alarm, not two. House rule."""

OUTLASTS_MIN = 5.0
"""Water that lasts so much longer than the set needs no filling up: that would only stop the steam. House rule."""
UNSURE = (
    "The computer lost count and nobody knows how long it has boiled: look at the pot now, and say how long the "
    "set has run ({bench.true_time})."
)

Level = Literal["low", "dry"]


class PotAlarm(msgspec.Struct, frozen=True):
    """What is to be rung for the pot now."""

    timer: TimerRecord
    level: Level
    priority: Literal["high", "medium"]
    text: str


def watched_min(
    state: State, timer: Timer | TimerRecord, planned_min: float, now: Reading, poured_ml: float = 0.0
) -> float:
    """Minutes of a clock as it starts: the planned, but for the pot's no later than its refill line.

    Below the line no later than dry. `poured_ml` goes in at that moment. House rule: whole minutes, rounded
    down, at least one.
    """
    if timer.role != "pot look":
        return planned_min
    clock = steam.pot_now(state, now, poured_ml)
    if clock is None or clock.dry_min <= 0:
        return planned_min
    needed = _until_low(state, clock, now, timer.set_number)
    soonest = needed if needed >= WITH_THE_LOOK_MIN else clock.dry_min
    return max(1.0, float(math.floor(min(soonest, planned_min))))


def think_pot(state: State, now: Reading) -> Thought:
    """Minutes of water left, and a warning to refill before it can run dry, once its alarm was heard."""
    if steam.rolling_since(state) is None:
        return NOTHING
    clock, heat = steam.pot_now(state, now), heat_now(state, SetWork)
    if steam.gone_min(state, now) is None:
        return Thought((), (warning("pot.unsure", UNSURE, "house rule"),))
    if clock is None or heat is None:
        return NOTHING
    rate = heat.most_ml_min
    level_ml = clock.dry_min * rate
    figure = Figure(
        id="live.set.pot",
        value=clock.dry_min,
        unit="min",
        label="pot water lasts another",
        because=f"{level_ml:.4g} mL in the pot / {rate:.4g} mL boiled off a minute = {clock.dry_min:.3g} min",
        origin="estimate",
        source="boil-off, IAPWS R7-97(2012)",
    )
    level = _level(state, clock, now)
    if not level or any(a.standing and a.level in POT_LEVELS for a in state.alarms):
        return Thought((figure,))
    text = (
        f"Fill up the pot now with boiling water ({{bench.refill}}): about {show(level_ml, 'mL', 2)} left."
        if level == "low"
        else "Fill up the pot with boiling water ({bench.refill}) before you go on: it should have boiled dry."
    )
    source = "house rule: a quarter of the water, or ten minutes"
    return Thought((figure,), (warning("pot.low", text, source),))


def pot_alarm(state: State, now: Reading) -> PotAlarm | None:
    """The alarm of a pot on the heat whose water is low or gone by what has boiled off; once for each filling."""
    timer, clock = _on_the_heat(state), steam.pot_now(state, now)
    if timer is None or clock is None:
        return None
    looking = timer.running and ran_out(state, timer.id, now)
    level = _level(state, clock, now, WITH_THE_LOOK_MIN if looking else AT_ONCE_MIN)
    if not level or level in _raised(state, timer):
        return None
    return PotAlarm(timer, level, "high" if level == "dry" else "medium", pot_text(state, now, level))


def pot_alarm_in_s(state: State, now: Reading) -> float:
    """Seconds until `pot_alarm` gives the next alarm, as long as the steam rolls; infinite where it will not."""
    timer, clock = _on_the_heat(state), steam.pot_now(state, now)
    if timer is None or clock is None or steam.steam_is_lost(state):
        return math.inf
    raised = _raised(state, timer)
    ahead = [60.0 * _until_low(state, clock, now, timer.set_number)] if "low" not in raised else []
    return min((s for s in [*ahead, 60.0 * clock.dry_min] if s > 0), default=math.inf)


def pot_is_dry(state: State, now: Reading) -> bool:
    """Whether the pot stands on the heat with all its water boiled off."""
    clock = steam.pot_now(state, now)
    return clock is not None and _on_the_heat(state) is not None and clock.dry_min <= 0


def pot_text(state: State, now: Reading, level: Level) -> str:
    """What is to be done about the pot."""
    if level == "dry":
        return "The pot should have boiled dry: heat off, look, fill it up before you go on."
    return f"Fill up the pot with boiling water: about {show(steam.level_now_ml(state, now), 'mL', 2)} left."


def pot_timers_off(state: State, step: Step) -> frozenset[str]:
    """The pot's clock, if that step takes the pot from the heat."""
    pot = state.worksheet.clock_for("pot look", step.set_number) if step.role == "heat off" else None
    return frozenset() if pot is None else frozenset({pot.id})


def _level(state: State, clock: PotClock, now: Reading, near_min: float = AT_ONCE_MIN) -> Level | Literal[""]:
    if clock.dry_min <= 0:
        return "dry"
    return "low" if _until_low(state, clock, now, state.sets) < near_min else ""


def _until_low(state: State, clock: PotClock, now: Reading, number: int) -> float:
    """Minutes until the pot of a set is low; infinite where its water outlasts all that is still to be steamed."""
    to_steam = _still_to_steam_min(state, number, now)
    enough = to_steam <= 0 or clock.dry_min >= to_steam + OUTLASTS_MIN
    return math.inf if enough else clock.refill_min


def _still_to_steam_min(state: State, number: int, now: Reading) -> float:
    """Minutes the last of the packets still needs; the planned ones before the set begins."""
    mine = clock_of(state, "hold", number)
    if mine is None:
        planned = state.worksheet.clock_for("hold", number)
        return 0.0 if planned is None else planned.minutes
    steaming = [t for t in (mine, *packets_in(state)) if t.running]
    return max((view(t, now).left_s / 60 for t in steaming), default=0.0)


def _on_the_heat(state: State) -> TimerRecord | None:
    """The clock of a pot that steams, also once that clock has been stopped; None when the heat is off."""
    off = record_of(state, "heat off", number=state.sets).closed
    return None if off or steam.rolling_since(state) is None else clock_of(state, "pot look")


def _raised(state: State, timer: TimerRecord) -> frozenset[str]:
    """Levels rung for since water last went in; a dry pot was low before."""
    since = max((r.n for r in state.refills), default=0)
    found = {a.level for a in state.alarms if a.timer == timer.id and a.n > since}
    return frozenset(found | ({"low"} if "dry" in found else set()))
