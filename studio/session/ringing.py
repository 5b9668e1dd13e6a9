"""Whether to ring now, and with what: decided from the state, the time, and what rang before.

One sound at a time: the most urgent alarm, then a failure to save, then the words of warning before a clock
runs out. Widgets and sound devices are no concern of this page.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from studio.session import alarms
from studio.session.clock import Moment, Reading, elapsed_since, moment_of
from studio.session.records import AlarmRecord
from studio.session.state import State

NOT_SAVED_EVERY_S = 60
LEAST_GAP_S = 4.0
"""Real seconds between two rings of one alarm: no pattern runs into its own repeat, however fast a rehearsal."""
FRESH_S = 5.0
"""A word of warning older than this, read back from the file, is no longer news. House rule."""

NOT_SAVED_TEXT = "Not saved: the session file cannot be written. Look at the screen."


class Ring(msgspec.Struct, frozen=True):
    """One ring to make now."""

    sound: Literal["high", "medium", "low", "not saved"]
    text: str
    escalated: bool = False
    alarm: int = 0
    """Number of the alarm it is for; 0 for a warning ahead or a failure to save."""
    warnings: frozenset[tuple[str, int]] = frozenset()
    """The warnings ahead it speaks for, by clock and time raised."""


class Rung(msgspec.Struct, frozen=True):
    """What rang before."""

    alarm: int = 0
    alarm_at: Moment | None = None
    not_saved_at: Moment | None = None
    warnings: frozenset[tuple[str, int]] = frozenset()


def next_ring(state: State, now: Reading, last: Rung, *, not_saved: bool = False) -> Ring | None:
    """The ring that is due now, or None. Hand `last` on through `after` when it was made."""
    speed = state.rehearsal_speed or 1.0
    alarm = None if state.closed else alarms.sounding(state, now)
    if alarm is not None and _alarm_is_due(alarm, now, last, LEAST_GAP_S * speed):
        return Ring(alarm.priority, alarm.text, alarms.escalated(alarm, now), alarm.n)
    if not_saved and _not_saved_is_due(now, last, speed):
        return Ring("not saved", NOT_SAVED_TEXT)
    return _warning(state, now, last, speed) if alarm is None else None


def after(last: Rung, ring: Ring, now: Reading) -> Rung:
    """What rang before, once this ring was made."""
    at = moment_of(now)
    if ring.alarm:
        return msgspec.structs.replace(last, alarm=ring.alarm, alarm_at=at)
    if ring.sound == "not saved":
        return msgspec.structs.replace(last, not_saved_at=at)
    return msgspec.structs.replace(last, warnings=last.warnings | ring.warnings)


def answered(state: State, now: Reading, last: Rung) -> bool:
    """Whether the alarm that rang last must be silent now: acknowledged, snoozed, or its session closed."""
    if not last.alarm:
        return False
    loud = None if state.closed else alarms.sounding(state, now)
    return loud is None or loud.n != last.alarm


def slot(age_s: float) -> int:
    """How many rings an alarm left alone has had before the one that is due at this age.

    Counted from when it was raised, so that late ticks do not add up.

    >>> [slot(age) for age in (0, 4.9, 5, 59.9, 60, 74.9, 75, 599, 600, 660)]
    [0, 0, 1, 11, 12, 12, 13, 47, 48, 49]

    **Source:** house rule, as in `alarms.repeat_every_s`.
    """
    first = min(age_s, alarms.ESCALATE_AFTER_S) // alarms.REPEAT_FIRST_S
    if age_s < alarms.ESCALATE_AFTER_S:
        return int(max(0, first))
    middle = min(age_s, alarms.ESCALATED_UNTIL_S) - alarms.ESCALATE_AFTER_S
    long = max(0.0, age_s - alarms.ESCALATED_UNTIL_S)
    return int(first + middle // alarms.REPEAT_ESCALATED_S + long // alarms.REPEAT_LONG_S)


def _alarm_is_due(alarm: AlarmRecord, now: Reading, last: Rung, least_gap_s: float) -> bool:
    if last.alarm != alarm.n or last.alarm_at is None:
        return True
    since = elapsed_since(last.alarm_at, now).seconds
    if since < 0 or _snoozed_since(alarm, last.alarm_at):
        return True
    age = elapsed_since(alarm.raised, now).seconds
    return since >= least_gap_s and slot(age) > slot(age - since)


def _snoozed_since(alarm: AlarmRecord, rung: Moment) -> bool:
    """It was put off after it last rang; as it sounds again now, that time is over."""
    return alarm.snoozed_at is not None and elapsed_since(rung, alarm.snoozed_at).seconds >= 0


def _not_saved_is_due(now: Reading, last: Rung, speed: float) -> bool:
    """Once a minute, and not into the pattern of an alarm."""
    if last.alarm_at is not None and 0 <= elapsed_since(last.alarm_at, now).seconds < LEAST_GAP_S * speed:
        return False
    if last.not_saved_at is None:
        return True
    since = elapsed_since(last.not_saved_at, now).seconds
    return since < 0 or since >= NOT_SAVED_EVERY_S * speed


def _warning(state: State, now: Reading, last: Rung, speed: float) -> Ring | None:
    if state.closed:
        return None
    fresh = [a for a in state.alarms if a.ahead and _is_news(a, state, now, last, speed)]
    if not fresh:
        return None
    return Ring("low", ", ".join(a.text for a in fresh), warnings=frozenset(_mark(a) for a in fresh))


def _is_news(alarm: AlarmRecord, state: State, now: Reading, last: Rung, speed: float) -> bool:
    timer = state.timers.get(alarm.timer)
    age = elapsed_since(alarm.raised, now).seconds
    running = timer is not None and timer.running
    return running and _mark(alarm) not in last.warnings and 0 <= age < FRESH_S * speed


def _mark(alarm: AlarmRecord) -> tuple[str, int]:
    """Stays the same when a rescue to another file renumbers the events."""
    return (alarm.timer, alarm.raised.boot_ns)
