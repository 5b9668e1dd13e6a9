"""What a finished session teaches about the studio: its measurements of each habit, and how long hands
were busy.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable

from studio.craft.cooling import fit_cooling
from studio.craft.liquor import held_percent
from studio.craft.packet import times_as_fast
from studio.craft.pot import COLD_TAP_C, minutes_to_steam
from studio.craft.shade import dropper_drops_per_ml
from studio.craft.steam import boil_off_ml_min
from studio.plan.habits import HABITS, HabitId
from studio.plan.settled import measure
from studio.plan.shapes import Role
from studio.plan.steps.lay import paint_path
from studio.plan.work.costs import work_hands_on
from studio.plan.work.worked import work_all
from studio.session.after.review import ticks
from studio.session.bands import all_painted, bands_of
from studio.session.clock import Moment, elapsed_since
from studio.session.kinds.heat import PotRead, PotRefilled, ReadingTaken
from studio.session.kinds.notes import DropsCounted, SwatchCounted
from studio.session.kinds.paint import LeftoverKept
from studio.session.live.given import measured, record_of
from studio.session.live.painting import in_jar_ml
from studio.session.sheet import measured_now, value_now
from studio.session.state import State, StepRecord

# How long hands were at work: the time between ticks, without the waits and without what was a break.


def hands_on_min(state: State) -> float:
    """Hands-on minutes of a session; 0 where no step was closed.

    The time from one closed step to the next belongs to the later one, at most 20 min of it; nothing before a
    step that waits for a clock, for the boil, for cooling or drying. What is done while a clock runs counts as
    work, once.
    **Source:** arithmetic on the times of the ticks; what is a wait and what a break are house rules.
    """
    return sum(tick.gone_s / 60.0 for tick in ticks(state) if not tick.waited)


# What a finished session teaches about the studio: its measurements of each habit, where it holds them.
# Only what was really measured counts, and only in a session that was finished and no rehearsal. Of a
# session that was set twice the first set is looked at.

Observed = tuple[HabitId, float]
"""A habit and what was measured of it, in the habit's unit."""
LEAST_BOILED_MIN = 5.0
"""Of rolling steam; a jug tells too little after less. House rule."""


def observe(state: State) -> tuple[Observed, ...]:
    """Every measurement of a habit in a session, in the order of the habits; none while it is not finished.

    **Source:** arithmetic on measurements; heat balance, boil-off and cooling as in the craft pages.
    """
    if state.outcome != "finished" or state.rehearsal_speed is not None:
        return ()
    found: list[Observed] = []
    for kind in HABITS:
        for value in _tried(_OBSERVERS[kind.id], state):
            if math.isfinite(value) and kind.low <= value <= kind.high:
                found.append((kind.id, round(value, 6)))
    return tuple(found)


def _tried(observer: Callable[[State], Iterable[float]], state: State) -> tuple[float, ...]:
    try:
        return tuple(observer(state))
    except (ArithmeticError, ValueError):
        return ()  # Numbers that cannot be teach nothing; the record shows them all the same.


def _held(state: State) -> Iterable[float]:
    dry, squeezed = measured(state, "dry weight"), measured(state, "squeeze")
    if dry is not None and squeezed is not None:
        yield held_percent(squeezed, dry)


def _painted(state: State) -> Iterable[float]:
    """Water held, and the paint that went into each g that was painted, of the colours whose rest was read."""
    if not all_painted(state) or any(band.again and band.strange for band in bands_of(state)):
        return  # Nobody knows on how much fibre the paint went, or that of two jars went onto the same.
    used_ml = fibre_g = 0.0
    for slug in (colour.plan.slug for colour in state.choices.colours):
        left = [kept.event.ml for kept in state.kept(LeftoverKept) if kept.event.colour == slug]
        mixed, under_g = in_jar_ml(state, slug), value_now(state, paint_path(slug, "fibre"))
        if mixed is not None and left and under_g:
            used_ml += mixed - sum(left)
            fibre_g += under_g
    if used_ml > 0 and fibre_g > 0:
        yield from (held + 100.0 * used_ml / fibre_g for held in _held(state))


def _of_first(state: State, role: Role) -> StepRecord:
    return record_of(state, role, number=1)


def _to_steam(state: State) -> Iterable[float]:
    boils_c, water = value_now(state, "set.boiling_point"), measured(state, "pot water", number=1)
    took = _minutes(_of_first(state, "heat on").moment, _of_first(state, "steam rolling").moment)
    if boils_c is not None and water and took:
        yield 100.0 * took / minutes_to_steam(water, COLD_TAP_C, boils_c, state.choices.hob_w.value, 1.0)


def _boil_off(state: State) -> Iterable[float]:
    boils_c, water = value_now(state, "set.boiling_point"), measured(state, "pot water", number=1)
    second = record_of(state, "pot water", number=2).n or math.inf
    left = [pot for pot in state.kept(PotRead) if pot.n < second]
    if boils_c is None or water is None or not left:
        return
    pot = left[-1]
    minutes = rolled_min(state, pot.at)
    boiled_ml = water + sum(p.event.ml for p in state.kept(PotRefilled) if p.n < pot.n) - pot.event.ml
    if minutes is not None and minutes >= LEAST_BOILED_MIN:
        yield 100.0 * boiled_ml / minutes / boil_off_ml_min(state.choices.hob_w.value, boils_c, 1.0)


def rolled_min(state: State, until: Moment) -> float | None:
    """Minutes of rolling steam in the first set, up to heat off or an earlier moment; None where unsure."""
    since, off = _of_first(state, "steam rolling").moment, _of_first(state, "heat off").moment
    end = until if off is None or off.boot_ns > until.boot_ns else off
    total = _minutes(since, end)
    if since is None or total is None:
        return None
    for stopped, again in state.steam_off:
        begin, gone = _minutes(since, stopped), _minutes(stopped, again or end)
        if begin is None or gone is None:
            return None
        if begin < total:
            total -= min(max(0.0, gone), max(0.0, (_minutes(stopped, end) or 0.0)))
    return total


def _minutes(start: Moment | None, end: Moment | None) -> float | None:
    """Minutes between two moments of one start of the machine; None where the wall clock alone could tell."""
    if start is None or end is None:
        return None
    gone = elapsed_since(start, end)
    return gone.seconds / 60.0 if gone.sure else None


def _cooling(state: State) -> Iterable[float]:
    """How fast the packet cooled by its readings, beside what still air makes of its middle."""
    out, cool = _of_first(state, "out").moment, work_all(measure(state.choices, measured_now(state))).cool
    if cool.body is None or out is None or state.choices.pieces > 1:
        return  # Readings of several packets are no curve of one.
    room = next(
        (r.event.value for r in reversed(state.kept(ReadingTaken)) if r.event.where == "room"),
        state.choices.room.value,
    )
    points = _packet_points(state, out)
    fit = fit_cooling(points, room)
    if not fit.poor and fit.k_per_min > 0:
        minutes = [minute for minute, _ in points]
        yield 100.0 * times_as_fast(cool.body, minutes, fit.k_per_min)


def _packet_points(state: State, out: Moment) -> list[tuple[float, float]]:
    """Minutes from the pot and degC of the packet, until it was opened."""
    opened, begun = _of_first(state, "unwrap").n or math.inf, _of_first(state, "out").n
    read = [
        (r.at, r.event.value)
        for r in state.kept(ReadingTaken)
        if r.event.where == "packet" and begun < r.n < opened
    ]
    last = _of_first(state, "goods temperature")
    if last.value is not None and last.moment is not None and last.state == "measured":
        read.append((last.moment, last.value))
    timed = [(_minutes(out, at), value) for at, value in read]
    return sorted((minute, value) for minute, value in timed if minute is not None)


def _hands_on(state: State) -> Iterable[float]:
    """Of a session that was set once: the minutes that are counted know of no second set."""
    minutes, own = hands_on_min(state), state.choices.own("hands-on")
    if minutes > 0 and state.sets == 1:
        counted = work_hands_on(state.choices, work_all(state.choices).stocks)
        yield (own.value if own is not None else 100.0) * minutes / counted.value


_OBSERVERS: dict[HabitId, Callable[[State], Iterable[float]]] = {
    "held": _held,
    "painted": _painted,
    "drops": lambda state: [
        dropper_drops_per_ml(c.event.drops, c.event.ml) for c in state.kept(DropsCounted)
    ],
    "to-steam": _to_steam,
    "boil-off": _boil_off,
    "cooling": _cooling,
    "spread": lambda state: [swatch.event.spread for swatch in state.kept(SwatchCounted)],
    "hands-on": _hands_on,
}
