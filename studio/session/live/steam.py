"""The pot: how long until it steamed, when it rolled, what water is left and who rings for it, when the centre can be
hot.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal

import msgspec

from studio.craft.heat import earliest_centre, minutes_at_or_above
from studio.craft.pot import PotClock, pot_clock, pot_level_ml
from studio.craft.steam import Heating
from studio.methods.set_by.steam_work import TARGET_C, SetWork
from studio.plan.shapes import Figure, Step, Timer, fig
from studio.plan.steps.lay import in_set
from studio.quantity.reading_in import told
from studio.quantity.showing import show
from studio.session.clock import Moment, Reading
from studio.session.kinds.heat import PotRefilled, ReadingTaken
from studio.session.live.given import (
    Told,
    clock_of,
    minute_of,
    minutes_between,
    minutes_gone,
    read_words,
    record_of,
    warning,
)
from studio.session.sheet import heat_now, sheet_now, value_now
from studio.session.state import State, TimerRecord
from studio.session.timers import packets_in, ran_out, view

HEAT_SOURCE = (
    "conduction: Carslaw & Jaeger, Conduction of Heat in Solids (from memory); pauses while the steam is off"
)


def rolling_since(state: State) -> Moment | None:
    """When the steam of the present set began to roll."""
    return record_of(state, "steam rolling", number=state.sets).moment


def stretches(state: State, now: Reading) -> tuple[tuple[float, float], ...]:
    """Minutes of rolling steam since it began, as (from, to); the last ends now if it still rolls.

    After a restart of the machine one stretch, as long as the set's own clock has run; none until that is sure.
    """
    since = rolling_since(state)
    if since is None:
        return ()
    if since.boot != now.boot:
        gone = gone_min(state, now)
        return ((0.0, gone),) if gone else ()
    off = record_of(state, "heat off", number=state.sets).moment
    end = minutes_between(since, off or now)
    begin, found = 0.0, []
    for stopped, again in state.steam_off:
        at = minutes_between(since, stopped)
        if at < begin or at > end:
            continue
        found.append((begin, at))
        # Never before it stopped, whatever a clock that was set while the machine was off may say.
        begin = end if again is None else max(at, minutes_between(since, again))
    if begin < end:
        found.append((begin, end))
    return tuple(found)


def gone_min(state: State, now: Reading) -> float | None:
    """Minutes since the steam began to roll; None before, and while nobody knows."""
    since = rolling_since(state)
    return None if since is None else minutes_gone(since, clock_of(state, "hold"), now)


def steam_is_lost(state: State) -> bool:
    """Whether the steam was said to have stopped and not to roll again, and something waits for it."""
    waits = any(t.needs_steam and t.running and t.paused is not None for t in state.timers.values())
    return waits and bool(state.steam_off) and state.steam_off[-1][1] is None


def time_to_steam(state: State) -> Iterator[Figure]:
    """What the sheet says before it rolls, and how long it really took afterwards."""
    on, rolling = record_of(state, "heat on").moment, rolling_since(state)
    if on is not None and rolling is not None:
        took = minutes_between(on, rolling)
        because = "from pot on to steam rolling, by the clock"
        yield fig("live.set.took", took, "min", "steam came after", because, "measured", "the clock")
    elif (expected := sheet_now(state).figure(in_set("set.to_steam", state.sets))) is not None:
        yield expected


def came_after(state: State) -> str:
    """How long the steam really took, as a sentence; empty before it rolls."""
    if rolling_since(state) is None:
        return ""
    told = (f"The steam came after {show(f.value, 'min')}, {f.because}." for f in time_to_steam(state))
    return "".join(told)


def water_ml(state: State) -> float | None:
    """What was poured into the pot of the present set, else what is to be; None where there is no pot."""
    return value_now(state, in_set("set.pot_water", state.sets))


def filled_ml(state: State) -> float:
    """What the pot was filled up with in all, after the first water."""
    return sum(poured.event.ml for poured in state.kept(PotRefilled))


def pot_now(state: State, now: Reading, poured_ml: float = 0.0) -> PotClock | None:
    """How long the pot boils on with what is poured in now; None while nobody knows how long it has boiled."""
    steam, full = heat_now(state, SetWork), water_ml(state)
    if steam is None or full is None:
        return None
    since, gone, rate = rolling_since(state), gone_min(state, now), steam.most_ml_min
    if since is None:
        return pot_clock(full + poured_ml, full, rate)
    if gone is None:
        return None
    poured = [(minute_of(since, r.at, now, gone), r.event.ml) for r in state.kept(PotRefilled)]
    refills = sorted((minute, ml) for minute, ml in poured if minute is not None and minute >= 0)
    level = pot_level_ml(full, rate, stretches(state, now), gone, refills)
    return pot_clock(level + poured_ml, full, rate)


def level_now_ml(state: State, now: Reading) -> float:
    """Water in the pot by boil-off; 0 where nobody can tell."""
    clock, steam = pot_now(state, now), heat_now(state, SetWork)
    return 0.0 if clock is None or steam is None else clock.dry_min * steam.most_ml_min


def think_centre(state: State, now: Reading) -> Told:
    """When the centre can be hot, through interruptions; minutes at strike from what was read."""
    steam, rolled, gone = heat_now(state, SetWork), stretches(state, now), gone_min(state, now)
    if steam is None or not rolled or gone is None:
        return
    lost = steam_is_lost(state)
    going = rolled if lost else (*rolled[:-1], (rolled[-1][0], math.inf))
    hot = earliest_centre(Heating(steam.fast_min, steam.slow_min), going)
    yield from _centre(hot, gone, in_set("set.heat_through", state.sets))
    yield from _dose(state, now, gone)
    if lost:
        text = "The steam is lost: the set stands still. Say so when it rolls again ({bench.steam})."
        yield warning("steam.lost", text, "house rule")


def _since(state: State) -> Moment:
    since = rolling_since(state)
    assert since is not None, "asked only once the steam has rolled"
    return since


def _centre(hot: Heating, now_min: float, instead_of: str) -> Iterator[Figure]:
    """Nothing while the steam is lost before the slow end: as long as nobody knows when it rolls again, it has none."""
    if not math.isfinite(hot.slow_min):
        return
    fast, slow = hot.fast_min - now_min, hot.slow_min - now_min
    because = f"{hot.fast_min:.3g} to {hot.slow_min:.3g} min of the steam's clock, {now_min:.3g} min gone"
    if slow <= 0:
        label = f"middle at {told(TARGET_C, 'degC')} since, at least"
        figure = fig("live.set.heat_through", -slow, "min", label, because, "estimate", HEAT_SOURCE)
        yield msgspec.structs.replace(figure, instead_of=instead_of)
        return
    low = fast if fast > 0 else None  # it may be hot by now
    label = f"middle at {told(TARGET_C, 'degC')} in" + ("" if low is not None else " at most")
    figure = fig(
        "live.set.heat_through", slow, "min", label, because, "estimate", HEAT_SOURCE, low=low, high=slow
    )
    yield msgspec.structs.replace(figure, instead_of=instead_of)


def _dose(state: State, now: Reading, gone: float) -> Iterator[Figure]:
    """Minutes at or above the strike temperature, for each place that was read at least twice."""
    since = _since(state)
    for where in ("packet", "lid", "bath"):
        read = [
            (minute_of(since, r.at, now, gone), r.event.value)
            for r in state.kept(ReadingTaken)
            if r.event.where == where
        ]
        points = sorted((m, c) for m, c in read if m is not None and m >= 0)
        if len(points) < 2:
            continue
        minutes = minutes_at_or_above(points, TARGET_C)
        points_told = read_words(points)
        label = f"{where} at or above {told(TARGET_C, 'degC')}"
        source = "straight lines between the readings; strike temperature: house rule"
        yield fig(f"live.set.dose.{where}", minutes, "min", label, points_told, "measured", source)


# The pot looked after: how soon, by the water that is really in it, and what rings when it is low or dry.

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


def watched_min(
    state: State, timer: Timer, planned_min: float, now: Reading, poured_ml: float = 0.0
) -> float:
    """Minutes of a clock as it starts: the planned, but for the pot's no later than its refill line.

    Below the line no later than dry. `poured_ml` goes in at that moment. House rule: whole minutes, rounded
    down, at least one.
    """
    if timer.role != "pot look":
        return planned_min
    clock = pot_now(state, now, poured_ml)
    if clock is None or clock.dry_min <= 0:
        return planned_min
    needed = _until_low(state, clock, now, timer.set_number)
    soonest = needed if needed >= WITH_THE_LOOK_MIN else clock.dry_min
    return max(1.0, float(math.floor(min(soonest, planned_min))))


def think_pot(state: State, now: Reading) -> Told:
    """Minutes of water left, and a warning to refill before it can run dry, once its alarm was heard."""
    if rolling_since(state) is None:
        return
    clock, heat = pot_now(state, now), heat_now(state, SetWork)
    if gone_min(state, now) is None:
        yield warning("pot.unsure", UNSURE, "house rule")
        return
    if clock is None or heat is None:
        return
    rate = heat.most_ml_min
    level_ml = clock.dry_min * rate
    label, source = "pot water lasts another", "boil-off, IAPWS R7-97(2012)"
    because = f"{level_ml:.4g} mL in the pot / {rate:.4g} mL boiled off a minute = {clock.dry_min:.3g} min"
    yield fig("live.set.pot", clock.dry_min, "min", label, because, "estimate", source)
    level = _level(state, clock, now)
    if not level or any(a.standing and a.level in POT_LEVELS for a in state.alarms):
        return
    text = (
        f"Fill up the pot now with boiling water ({{bench.refill}}): about {show(level_ml, 'mL', 2)} left."
        if level == "low"
        else "The pot should have boiled dry: let it cool, then fill it up ({bench.refill}) before you go on."
    )
    yield warning("pot.low", text, "house rule: a quarter of the water, or ten minutes")


def pot_alarm(state: State, now: Reading) -> tuple[TimerRecord, Level] | None:
    """The clock and level of the alarm of a pot on the heat whose water is low or gone by what has boiled off; once for
    each filling.
    """
    timer, clock = _on_the_heat(state), pot_now(state, now)
    if timer is None or clock is None:
        return None
    looking = timer.running and ran_out(state, timer.id, now)
    level = _level(state, clock, now, WITH_THE_LOOK_MIN if looking else AT_ONCE_MIN)
    if not level or level in _raised(state, timer):
        return None
    return timer, level


def pot_alarm_in_s(state: State, now: Reading) -> float:
    """Seconds until `pot_alarm` gives the next alarm, as long as the steam rolls; infinite where it will not."""
    timer, clock = _on_the_heat(state), pot_now(state, now)
    if timer is None or clock is None or steam_is_lost(state):
        return math.inf
    raised = _raised(state, timer)
    ahead = [60.0 * _until_low(state, clock, now, timer.set_number)] if "low" not in raised else []
    return min((s for s in [*ahead, 60.0 * clock.dry_min] if s > 0), default=math.inf)


def pot_is_dry(state: State, now: Reading) -> bool:
    """Whether the pot stands on the heat with all its water boiled off."""
    clock = pot_now(state, now)
    return clock is not None and _on_the_heat(state) is not None and clock.dry_min <= 0


def pot_text(state: State, now: Reading, level: Level) -> str:
    """What is to be done about the pot."""
    if level == "dry":
        return "The pot should have boiled dry: heat off, let it cool, fill it up before you go on."
    return f"Fill up the pot with boiling water: about {show(level_now_ml(state, now), 'mL', 2)} left."


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
    return None if off or rolling_since(state) is None else clock_of(state, "pot look")


def _raised(state: State, timer: TimerRecord) -> frozenset[str]:
    """Levels rung for since water last went in; a dry pot was low before."""
    since = max((r.n for r in state.kept(PotRefilled)), default=0)
    found = {a.level for a in state.alarms if a.timer == timer.id and a.n > since}
    return frozenset(found | ({"low"} if "dry" in found else set()))
