"""Which alarms stand, which of them sounds and with what rhythm; and whether to ring now, decided from
what rang before.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from studio.session.clock import Moment, Reading, elapsed_since, moment_of
from studio.session.state import AlarmRecord, State
from studio.session.timers import view

# Which alarms stand, which of them sounds, and with what rhythm.

RANK = {"high": 0, "medium": 1, "low": 2}

REPEAT_FIRST_S = 5
ESCALATE_AFTER_S = 60
REPEAT_ESCALATED_S = 15
ESCALATED_UNTIL_S = 600
REPEAT_LONG_S = 60


def standing(state: State) -> tuple[AlarmRecord, ...]:
    """Alarms not yet acknowledged, most urgent first, then oldest first."""
    waiting = [a for a in state.alarms if a.standing]
    return tuple(sorted(waiting, key=lambda a: (RANK[a.priority], a.n)))


def over_s(alarm: AlarmRecord, state: State, now: Reading) -> float:
    """Seconds since what an alarm rings for came due: by its clock, or by the water since it was raised."""
    timer = state.timers.get(alarm.timer)
    if alarm.level == "due" and timer is not None:
        return max(0.0, -view(timer, now).left_s)
    return max(0.0, alarm.late_s + elapsed_since(alarm.raised, now).seconds)


def quiet_for_s(alarm: AlarmRecord, now: Reading) -> float:
    """Seconds until a snoozed alarm sounds again; 0 when it is not snoozed."""
    if alarm.snoozed_at is None:
        return 0.0
    return max(0.0, alarm.snoozed_min * 60 - elapsed_since(alarm.snoozed_at, now).seconds)


def sounding(state: State, now: Reading) -> AlarmRecord | None:
    """The one alarm that makes a sound now: the most urgent that is not snoozed."""
    return next((a for a in standing(state) if quiet_for_s(a, now) == 0), None)


def escalated(alarm: AlarmRecord, now: Reading) -> bool:
    """Whether an alarm has gone unanswered for a minute."""
    return elapsed_since(alarm.raised, now).seconds >= ESCALATE_AFTER_S


# Whether to ring now, and with what: decided from the state, the time, and what rang before. One sound
# at a time: the most urgent alarm, then a failure to save, then the words of warning before a clock runs
# out. Widgets and sound devices are no concern of this page.

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
    alarm = None if state.closed else sounding(state, now)
    if alarm is not None and _alarm_is_due(alarm, now, last, LEAST_GAP_S * speed):
        return Ring(alarm.priority, alarm.text, escalated(alarm, now), alarm.n)
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
    loud = None if state.closed else sounding(state, now)
    return loud is None or loud.n != last.alarm


def slot(age_s: float) -> int:
    """How many rings an alarm left alone has had before the one that is due at this age.

    Counted from when it was raised, so that late ticks do not add up.

    >>> [slot(age) for age in (0, 4.9, 5, 59.9, 60, 74.9, 75, 599, 600, 660)]
    [0, 0, 1, 11, 12, 12, 13, 47, 48, 49]

    Every 5 s for a minute, then every 15 s to ten minutes with a stronger sign, then once a minute for ever.
    **Source:** house rule.
    """
    first = min(age_s, ESCALATE_AFTER_S) // REPEAT_FIRST_S
    if age_s < ESCALATE_AFTER_S:
        return int(max(0, first))
    middle = min(age_s, ESCALATED_UNTIL_S) - ESCALATE_AFTER_S
    long = max(0.0, age_s - ESCALATED_UNTIL_S)
    return int(first + middle // REPEAT_ESCALATED_S + long // REPEAT_LONG_S)


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
