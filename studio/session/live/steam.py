"""The pot: how long until it steamed, when it rolled, what water is left, when the centre can be hot."""

from __future__ import annotations

import math

import msgspec

from studio.craft.heat import minutes_at_or_above
from studio.craft.heat_dose import earliest_centre
from studio.craft.pot import COLD_TAP_C, PotClock, minutes_to_steam, pot_clock, pot_level_ml
from studio.craft.steam import Heating
from studio.plan.shapes import Figure, Origin
from studio.plan.steps.lay import figure_id
from studio.quantity.showing import show
from studio.session.clock import Moment, Reading
from studio.session.live.given import (
    NOTHING,
    Thought,
    allowed,
    clock_of,
    facts_of,
    measured,
    minute_of,
    minutes_between,
    minutes_gone,
    record_of,
    warning,
)
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
    """An estimate before it rolls, and how long it really took afterwards."""
    known = facts_of(state)
    on, rolling = record_of(state, "heat on").moment, rolling_since(state)
    if known is None or not allowed(state, "lose steam"):
        return NOTHING
    facts, live = known
    if on is not None and rolling is not None:
        took = minutes_between(on, rolling)
        because = "from pot on to steam rolling, by the clock"
        return Thought((_figure("took", took, "min", "steam came after", because, "measured", "the clock"),))
    water = measured(state, "pot water", number=state.sets) or facts.pot_water_ml
    own = live.to_steam_percent
    share = min(1.0, live.hob_efficiency) if own is None else 1.0
    minutes = minutes_to_steam(water, COLD_TAP_C, live.steam_c, live.hob_w, share)
    because = (
        f"{water:g} mL x 4.19 J/gK x ({live.steam_c:.1f} - {COLD_TAP_C:g}) K / ({live.hob_w:g} W x {share:g}) "
        f"= {minutes:.3g} min at least, from cold"
    )
    if own is not None:
        because += f"; x {own:.4g} % = {minutes * own / 100:.3g} min"
        wait = _figure(
            "wait",
            minutes * own / 100,
            "min",
            "steam comes after about",
            because,
            "yours",
            live.to_steam_source,
        )
        return Thought((wait,))
    source = "heat balance; the pot itself and losses come on top"
    return Thought((_figure("wait", minutes, "min", "steam can come after", because, "estimate", source),))


def came_after(state: State) -> str:
    """How long the steam really took, as a sentence; empty before it rolls."""
    if rolling_since(state) is None:
        return ""
    figures = time_to_steam(state).figures
    return "".join(f"The steam came after {show(f.value, 'min')}, {f.because}." for f in figures)


def pot_now(state: State, now: Reading) -> PotClock | None:
    """Level and clocks of the pot; None before it boils, and while nobody knows how long it has."""
    known, since, gone = facts_of(state), rolling_since(state), gone_min(state, now)
    if known is None or since is None or gone is None:
        return None
    facts, live = known
    full = measured(state, "pot water", number=state.sets) or facts.pot_water_ml
    poured = [(minute_of(since, r.at, now, gone), r.event.ml) for r in state.refills]
    refills = sorted((minute, ml) for minute, ml in poured if minute is not None and minute >= 0)
    level = pot_level_ml(full, live.boil_off_ml_min, stretches(state, now), gone, refills)
    return pot_clock(level, full, live.boil_off_ml_min)


def level_now_ml(state: State, now: Reading) -> float:
    """Water in the pot by boil-off; 0 before it boils."""
    clock = pot_now(state, now)
    known = facts_of(state)
    return clock.dry_min * known[1].boil_off_ml_min if clock is not None and known is not None else 0.0


def think_centre(state: State, now: Reading) -> Thought:
    """When the centre can be hot, through interruptions; minutes at strike from what was read."""
    known, rolled, gone = facts_of(state), stretches(state, now), gone_min(state, now)
    if known is None or not rolled or gone is None:
        return NOTHING
    live = known[1]
    going = rolled if steam_is_lost(state) else (*rolled[:-1], (rolled[-1][0], math.inf))
    hot = earliest_centre(Heating(live.fast_min, live.slow_min), going)
    figures = list(_centre(hot, gone, live.target_c, figure_id("set.heat_through", state.sets)))
    figures.extend(_dose(state, live.target_c, now, gone))
    lost = steam_is_lost(state)
    text = "The steam is lost: the set stands still. Say so when it rolls again (G)."
    return Thought(tuple(figures), (warning("steam.lost", text, "house rule"),) if lost else ())


def _since(state: State) -> Moment:
    since = rolling_since(state)
    assert since is not None, "asked only once the steam has rolled"
    return since


def _centre(hot: Heating, now_min: float, target_c: float, instead_of: str) -> tuple[Figure, ...]:
    if not math.isfinite(hot.fast_min):
        return ()
    fast, slow = hot.fast_min - now_min, hot.slow_min - now_min
    because = f"{hot.fast_min:.3g} to {hot.slow_min:.3g} min of the steam's clock, {now_min:.3g} min gone"
    value, low, high = max(0.0, fast), max(0.0, fast), max(0.0, slow)
    if slow <= 0:
        label = f"centre at {show(target_c, 'degC')} since, at least"
        figure = _figure("heat_through", -slow, "min", label, because, "estimate", HEAT_SOURCE)
        return (msgspec.structs.replace(figure, instead_of=instead_of),)
    label = f"centre at {show(target_c, 'degC')} in"
    figure = _figure("heat_through", value, "min", label, because, "estimate", HEAT_SOURCE, low, high)
    return (msgspec.structs.replace(figure, instead_of=instead_of),)


def _dose(state: State, strike_c: float, now: Reading, gone: float) -> tuple[Figure, ...]:
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
        minutes = minutes_at_or_above(points, strike_c)
        told = ", ".join(f"{show(c, 'degC')} at {m:.0f} min" for m, c in points[-4:])
        label = f"{where} at or above {show(strike_c, 'degC')}"
        source = "straight lines between the readings; strike temperature: house rule"
        found.append(_figure(f"dose.{where}", minutes, "min", label, told, "measured", source))
    return tuple(found)


def _figure(
    name: str,
    value: float,
    unit: str,
    label: str,
    because: str,
    origin: Origin,
    source: str,
    low: float | None = None,
    high: float | None = None,
) -> Figure:
    return Figure(
        id=f"live.set.{name}",
        value=value,
        unit=unit,
        label=label,
        because=because,
        origin=origin,
        source=source,
        low=low,
        high=high,
    )
