"""The pot: how long until it steamed, when it rolled, what water is left, when the centre can be hot."""

from __future__ import annotations

import math

import msgspec

from studio.craft.heat import earliest_centre, minutes_at_or_above
from studio.craft.pot import PotClock, pot_clock, pot_level_ml
from studio.craft.steam import Heating
from studio.methods.set_by.steam_work import TARGET_C, SetWork
from studio.plan.shapes import Figure, fig
from studio.plan.steps.lay import figure_id
from studio.quantity.reading_in import told
from studio.quantity.showing import show
from studio.session.clock import Moment, Reading
from studio.session.live.given import (
    NOTHING,
    Thought,
    clock_of,
    minute_of,
    minutes_between,
    minutes_gone,
    read_words,
    record_of,
    warning,
)
from studio.session.sheet import heat_now, sheet_now, value_now
from studio.session.state import State

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


def time_to_steam(state: State) -> Thought:
    """What the sheet says before it rolls, and how long it really took afterwards."""
    on, rolling = record_of(state, "heat on").moment, rolling_since(state)
    if on is not None and rolling is not None:
        took = minutes_between(on, rolling)
        because = "from pot on to steam rolling, by the clock"
        return Thought(
            (fig("live.set.took", took, "min", "steam came after", because, "measured", "the clock"),)
        )
    expected = sheet_now(state).figure(figure_id("set.to_steam", state.sets))
    return NOTHING if expected is None else Thought((expected,))


def came_after(state: State) -> str:
    """How long the steam really took, as a sentence; empty before it rolls."""
    if rolling_since(state) is None:
        return ""
    figures = time_to_steam(state).figures
    return "".join(f"The steam came after {show(f.value, 'min')}, {f.because}." for f in figures)


def water_ml(state: State) -> float | None:
    """What was poured into the pot of the present set, else what is to be; None where there is no pot."""
    return value_now(state, figure_id("set.pot_water", state.sets))


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
    poured = [(minute_of(since, r.at, now, gone), r.event.ml) for r in state.refills]
    refills = sorted((minute, ml) for minute, ml in poured if minute is not None and minute >= 0)
    level = pot_level_ml(full, rate, stretches(state, now), gone, refills)
    return pot_clock(level + poured_ml, full, rate)


def level_now_ml(state: State, now: Reading) -> float:
    """Water in the pot by boil-off; 0 where nobody can tell."""
    clock, steam = pot_now(state, now), heat_now(state, SetWork)
    return 0.0 if clock is None or steam is None else clock.dry_min * steam.most_ml_min


def think_centre(state: State, now: Reading) -> Thought:
    """When the centre can be hot, through interruptions; minutes at strike from what was read."""
    steam, rolled, gone = heat_now(state, SetWork), stretches(state, now), gone_min(state, now)
    if steam is None or not rolled or gone is None:
        return NOTHING
    going = rolled if steam_is_lost(state) else (*rolled[:-1], (rolled[-1][0], math.inf))
    hot = earliest_centre(Heating(steam.fast_min, steam.slow_min), going)
    figures = list(_centre(hot, gone, figure_id("set.heat_through", state.sets)))
    figures.extend(_dose(state, now, gone))
    lost = steam_is_lost(state)
    text = "The steam is lost: the set stands still. Say so when it rolls again ({bench.steam})."
    return Thought(tuple(figures), (warning("steam.lost", text, "house rule"),) if lost else ())


def _since(state: State) -> Moment:
    since = rolling_since(state)
    assert since is not None, "asked only once the steam has rolled"
    return since


def _centre(hot: Heating, now_min: float, instead_of: str) -> tuple[Figure, ...]:
    """Nothing while the steam is lost before the slow end: as long as nobody knows when it rolls again, it has none."""
    if not math.isfinite(hot.slow_min):
        return ()
    fast, slow = hot.fast_min - now_min, hot.slow_min - now_min
    because = f"{hot.fast_min:.3g} to {hot.slow_min:.3g} min of the steam's clock, {now_min:.3g} min gone"
    if slow <= 0:
        label = f"middle at {told(TARGET_C, 'degC')} since, at least"
        figure = fig("live.set.heat_through", -slow, "min", label, because, "estimate", HEAT_SOURCE)
        return (msgspec.structs.replace(figure, instead_of=instead_of),)
    low = fast if fast > 0 else None  # it may be hot by now
    label = f"middle at {told(TARGET_C, 'degC')} in" + ("" if low is not None else " at most")
    figure = fig(
        "live.set.heat_through", slow, "min", label, because, "estimate", HEAT_SOURCE, low=low, high=slow
    )
    return (msgspec.structs.replace(figure, instead_of=instead_of),)


def _dose(state: State, now: Reading, gone: float) -> tuple[Figure, ...]:
    """Minutes at or above the strike temperature, for each place that was read at least twice."""
    since = _since(state)
    found = []
    for where in ("packet", "lid", "bath"):
        read = [
            (minute_of(since, r.at, now, gone), r.event.value)
            for r in state.readings
            if r.event.where == where
        ]
        points = sorted((m, c) for m, c in read if m is not None and m >= 0)
        if len(points) < 2:
            continue
        minutes = minutes_at_or_above(points, TARGET_C)
        points_told = read_words(points)
        label = f"{where} at or above {told(TARGET_C, 'degC')}"
        source = "straight lines between the readings; strike temperature: house rule"
        found.append(fig(f"live.set.dose.{where}", minutes, "min", label, points_told, "measured", source))
    return tuple(found)
