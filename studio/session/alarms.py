"""Which alarms stand, which of them sounds, and with what rhythm."""

from __future__ import annotations

from studio.session.clock import Reading, elapsed_since
from studio.session.records import AlarmRecord
from studio.session.state import State
from studio.session.timers import view

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


def repeat_every_s(alarm: AlarmRecord, now: Reading) -> int:
    """Seconds between two soundings of an unanswered alarm.

    Every 5 s for a minute, then every 15 s to ten minutes with a stronger sign, then once a minute for
    ever. Source: house rule.
    """
    age = elapsed_since(alarm.raised, now).seconds
    if age < ESCALATE_AFTER_S:
        return REPEAT_FIRST_S
    return REPEAT_ESCALATED_S if age < ESCALATED_UNTIL_S else REPEAT_LONG_S


def escalated(alarm: AlarmRecord, now: Reading) -> bool:
    """Whether an alarm has gone unanswered for a minute."""
    return elapsed_since(alarm.raised, now).seconds >= ESCALATE_AFTER_S
