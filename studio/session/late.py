"""What is told later than it happened: a remark, a step done, a clock begun, steam lost or back at that time.

A time of day is laid on the boot clock only where every event since then was written in this start of the machine and
by a wall clock that nobody set meanwhile. Where that is not so, its moment belongs to no start of the machine: a clock
that hangs on it is unsure of its time, and asks.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

import msgspec

from studio.session import commands as c
from studio.session.asked import Refused, words
from studio.session.clock import (
    NS,
    Moment,
    Reading,
    before,
    elapsed_since,
    time_of_day,
    wall_ns_of,
)
from studio.session.events import Event, joined
from studio.session.folding import foreseen
from studio.session.heat_rules import may_lose_steam, reheating, steam_may_turn, steam_turned
from studio.session.kinds.clocks import Happened, TimerConfirmed
from studio.session.kinds.heat import SteamStopped
from studio.session.kinds.notes import BEGAN, NotedLate
from studio.session.live.given import allowed, record_of
from studio.session.live.steam import rolling_since, steam_is_lost
from studio.session.path import current_step, stage_of
from studio.session.state import State, TimerRecord
from studio.session.step_rules import close
from studio.session.time_rules import JUMP_S, end_alarms
from studio.session.timers import clocks_ended_by, elapsed_s

NOWHERE = ""
"""The start of the machine that a moment belongs to where nobody knows, with wall time for its clock; no machine has
this name."""
BOTH = "14:20 to 14:31 steam lost"
_TIME = r"(?:[01]?\d|2[0-3])[:.][0-5]\d"
_TOLD = re.compile(
    rf"(?P<time>{_TIME})(?:\s+(?:to\s+(?P<until>{_TIME})\s+)?(?P<what>.*))?",
    re.ASCII | re.DOTALL | re.IGNORECASE,
)
_STEAM = re.compile(r"(?:the )?steam (?:(?P<lost>lost|gone|went)|back|again)", re.IGNORECASE)
LEAST_LETTERS = 3
"""A shorter piece of a clock's name names nothing. House rule."""
_DAY_NS = 24 * 60 * 60 * NS


@c.rule(c.NoteLate)
def note_late(state: State, command: c.NoteLate, now: Reading) -> list[Event]:
    """`14:05 lid lifted`; `14:00 started`, `14:00 done`, `14:20 steam lost` and the like move clocks.

    **Source:** house rule.
    """
    told = _TOLD.fullmatch(command.text.strip())
    if told is None:
        raise Refused("Write the time of day first, from 0:00 to 23:59, for example 14:05 lid lifted.")
    typed, until, what = told["time"].replace(".", ":"), told["until"], (told["what"] or "").strip()
    steam, began = _STEAM.fullmatch(what), re.fullmatch(BEGAN, what)
    if until is not None and steam is not None and steam["lost"]:
        return _without_steam(
            state, _laid(state, typed, now), _laid(state, until.replace(".", ":"), now), now
        )
    if until is None and steam is not None:
        return _steam(state, _laid(state, typed, now), now, lost=bool(steam["lost"]))
    if until is None and what.casefold() == "done":
        return _done(state, _laid(state, typed, now), now, meant=command.meant)
    clock = _named(state, began["clock"]) if until is None and began is not None else None
    if clock is not None:
        return _began(state, clock, _laid(state, typed, now), now)
    text = words(f"to {until} {what}" if until else what)
    return [NotedLate(text, _laid(state, typed, now).time)]


# -- the time ------------------------------------------------------------------------------------


def _laid(state: State, typed: str, now: Reading) -> Happened:
    """The newest such time of day, between the opening and now."""
    ahead_ns = state.utc_offset_min * 60 * NS
    hour, _, minute = typed.partition(":")
    local_ns = now.wall_ns + ahead_ns
    wall_ns = local_ns - local_ns % _DAY_NS + (int(hour) * 60 + int(minute)) * 60 * NS
    wall_ns -= ahead_ns + (_DAY_NS if wall_ns > local_ns else 0)
    opened = state.opened.wall_ns
    if wall_ns < opened - (opened + ahead_ns) % (60 * NS):
        began, is_now = (time_of_day(ns, state.utc_offset_min) for ns in (opened, now.wall_ns))
        raise Refused(f"The session began at {began} and it is {is_now} now; write a time between the two.")
    wall_ns = max(wall_ns, opened)
    gone_ns = now.wall_ns - wall_ns
    if not _clocks_agree(state, wall_ns, now):
        return Happened(typed, wall_ns, wall_ns, NOWHERE)
    return Happened(typed, wall_ns, now.boot_ns - gone_ns, now.boot)


def _clocks_at(then: Happened) -> Reading:
    """What the clocks showed then; how long the machine had been awake no rule for it asks."""
    return Reading(then.wall_ns, then.boot_ns, then.boot_ns, then.boot)


def _clocks_agree(state: State, wall_ns: int, now: Reading) -> bool:
    """Whether wall clock and boot clock have gone side by side since then."""
    for event in reversed(state.log):
        at_ns = wall_ns_of(event.at)
        apart_ns = (now.wall_ns - at_ns) - (now.boot_ns - event.boot_ns)
        if event.boot != now.boot or abs(apart_ns) > JUMP_S * NS:
            return False
        if at_ns <= wall_ns:
            break
    return True


def _after(state: State, then: Happened, needed: Moment | None, what: str) -> Happened:
    """That time, and within its minute no earlier than what it depends on; Refused where it lies before that."""
    if needed is None or not before(then.moment, needed):
        return then
    when = time_of_day(needed.wall_ns, state.utc_offset_min)
    if when != time_of_day(then.wall_ns, state.utc_offset_min):
        raise Refused(f"{what} at {when}; write a time from then on.")
    return Happened(then.time, needed.wall_ns, needed.boot_ns, needed.boot)


def _after_steps(state: State, then: Happened, step_id: str) -> Happened:
    """After the steps that had to be closed before that one."""
    step = state.find_step(step_id)
    if step is None:
        return then
    ids = [one.id for one in stage_of(state, step).steps]
    for needed in (*step.after, *ids[: ids.index(step_id)][-1:]):
        found, record = state.find_step(needed), state.step(needed)
        if found is not None and record.closed:
            then = _after(state, then, record.moment, f"'{found.done}' was")
    return then


def _kept(state: State, told: Iterable[Event], then: Happened, now: Reading) -> list[Event]:
    """One event that tells when it happened; an alarm whose clock is not over after all ends with it."""
    (whole,) = joined(told)
    whole = msgspec.structs.replace(whole, happened=then)
    seen = foreseen(state, whole, now)
    running = {t.id for t in seen.timers.values() if t.running and elapsed_s(t, now)[0] < t.minutes * 60}
    return joined([whole, *end_alarms(seen, running, "true time", now)])


# -- what happened -------------------------------------------------------------------------------


def _done(state: State, then: Happened, now: Reading, *, meant: bool) -> list[Event]:
    """The step of now was done at that time; its clocks stop and start then."""
    step = current_step(state, now)
    if step is None:
        raise Refused("No step is open, so none was done.")
    then = _after_steps(state, then, step.id)
    for name in clocks_ended_by(state.worksheet, step):
        timer = state.timers.get(name)
        if timer is not None and timer.running:
            then = _after(state, then, timer.started, f"The clock '{timer.label}' began")
    return _kept(state, close(state, c.Close(step.id, meant=meant), _clocks_at(then)), then, now)


def _named(state: State, name: str | None) -> TimerRecord | None:
    """The clock of that label or id, or the only one whose label or id lies in the name, or the name in it.

    Without a name the one begun last, beside none. None where it names no clock, or several.
    """
    if name is None:
        own = [t for t in state.timers.values() if t.running and not t.with_timer]
        if not own:
            raise Refused("No clock is running; write done for a step that starts one, 14:00 done.")
        return max(own, key=lambda t: t.n)
    said = name.strip().casefold()
    called = [(t, (t.id, t.label.casefold())) for t in state.timers.values()]
    exact = [t for t, names in called if said in names]
    near = [t for t, names in called if any(_lies_in(said, own) or _lies_in(own, said) for own in names)]
    return exact[0] if exact else near[0] if len(near) == 1 else None


def _lies_in(part: str, whole: str) -> bool:
    return len(part) >= LEAST_LETTERS and part in whole


def _began(state: State, timer: TimerRecord, then: Happened, now: Reading) -> list[Event]:
    """A clock was started at that time, with those that began with it."""
    if state.step(timer.by).n == timer.n:
        then = _after_steps(state, then, timer.by)
    main = state.timers.get(timer.with_timer)
    if main is not None and main.n != timer.n:
        then = _after(state, then, main.started, f"The clock '{main.label}' began")
    if timer.needs_steam and not timer.by:
        then = _after(state, then, rolling_since(state), "The steam began to roll")
    if timer.stopped is not None and before(timer.stopped, then.moment):
        ended = time_of_day(timer.stopped.wall_ns, state.utc_offset_min)
        raise Refused(f"The clock '{timer.label}' was stopped at {ended}; write a time before that.")
    said_s = round(elapsed_s(timer, now)[0], 3)
    told = TimerConfirmed(timer.id, 0.0, said_s, happened=then)
    moved = foreseen(state, told, now).timers[timer.id]
    ran_s = round(max(0.0, elapsed_s(moved, now)[0]), 3)
    return _kept(state, [TimerConfirmed(timer.id, ran_s, said_s)], then, now)


def _steam(state: State, then: Happened, now: Reading, *, lost: bool) -> list[Event]:
    """The steam was lost at that time and still is, or has rolled again since then."""
    is_lost = steam_is_lost(state)
    if lost and is_lost:
        since = time_of_day(state.steam_off[-1][0].wall_ns, state.utc_offset_min)
        raise Refused(f"The steam is lost since {since} already; undo takes that back.")
    if not lost and not is_lost:
        raise Refused(f"The steam is not lost; write both times of a loss that is over, {BOTH}.")
    if lost and not may_lose_steam(state) and rolling_since(state) is not None:
        raise Refused(f"Nothing is in the steam any more; write both times, {BOTH}.")
    steam_may_turn(state, now)
    if lost and then.boot == NOWHERE:
        # No clock that stands still and is unsure of its time could ask.
        raise Refused(
            f"The computer lost count since {then.time}; write both times once it rolls again, {BOTH}."
        )
    then = _after(state, then, rolling_since(state), "The steam began to roll")
    if not lost:
        then = _after(state, then, state.steam_off[-1][0], "The steam was lost")
    for _, again in state.steam_off:
        then = _after(state, then, again, "The steam rolled again")
    return _kept(state, steam_turned(state, _clocks_at(then)), then, now)


def _without_steam(state: State, then: Happened, until: Happened, now: Reading) -> list[Event]:
    """A loss that is over when it is told."""
    if not allowed(state, "lose steam") or rolling_since(state) is None:
        raise Refused("The steam has not rolled yet, so it cannot have been lost.")
    then = _after(state, then, rolling_since(state), "The steam began to roll")
    heat_off = record_of(state, "heat off", number=state.sets).moment
    if not before(then.moment, until.moment) or before(heat_off or until.moment, until.moment):
        raise Refused(f"Write when it was lost, then when it rolled again before the heat was off: {BOTH}.")
    for lost, again in state.steam_off:
        if before(then.moment, again or until.moment) and before(lost, until.moment):
            known = time_of_day(lost.wall_ns, state.utc_offset_min)
            raise Refused(f"The record has a loss of steam at {known} already; undo takes that back.")
    lost_then = SteamStopped(again=until, happened=then)
    seen = foreseen(state, lost_then, now)
    longer = reheating(seen, elapsed_since(then.moment, until.moment), now)
    return _kept(state, [lost_then, *longer], then, now)
