"""Fastness tests after the session: planned with a day, graded on the grey scales, or called off with a reason.

All of it is added after the record, which stays as it was closed.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import msgspec

from studio.craft.fastness import HomeTest, Scale, home_test, step_of
from studio.session import commands as c
from studio.session.clock import Reading
from studio.session.events import Event
from studio.session.follow_up_days import day_of, days_ahead, due_day
from studio.session.kinds.fastness import (
    FollowUp,
    FollowUpCancelled,
    FollowUpGraded,
    FollowUpPlanned,
    Graded,
    GradeOrNone,
)
from studio.session.refusals import Refused, reason, words
from studio.session.state import State

MOST_FOLLOW_UPS = 40
"""Of one session; more is a slip or a script. House rule."""

Rule = Callable[[State, Any, Reading], list[Event]]


def only_after_the_end(state: State, command: c.Command, now: Reading) -> list[Event]:
    """While a session is open there is nothing to test yet."""
    raise Refused("The session is still open; tests are planned and graded once it is finished.")


def plan_follow_up(state: State, command: c.PlanFollowUp, now: Reading) -> list[Event]:
    """A test with a day; one that waits already is moved to the new day, and its old one stays visible."""
    test = _test(command.test)
    today, opened = (day_of(ns, state.utc_offset_min) for ns in (now.wall_ns, state.opened.wall_ns))
    typed = command.due.strip()
    day = due_day(typed, today, opened) if typed else days_ahead(test.days, today, opened)
    waiting = waiting_of(state, test.name)
    if waiting is not None and waiting.due == day.isoformat():
        raise Refused(f"A {test.name} test is planned for {day} already; give another day to move it.")
    if waiting is None and len(state.follow_ups) >= MOST_FOLLOW_UPS:
        raise Refused(
            f"This session has {MOST_FOLLOW_UPS} follow-ups already; grade them or note what you see."
        )
    number = waiting.number if waiting is not None else len(state.follow_ups) + 1
    how = words(command.how) if command.how.strip() else (waiting.how if waiting is not None else test.how)
    note = words(command.note) if command.note.strip() else ""
    return [FollowUpPlanned(number, test.name, day.isoformat(), how, note)]


def grade_follow_up(state: State, command: c.GradeFollowUp, now: Reading) -> list[Event]:
    """Grades for the test that waits, or better ones for the test graded last; those stay visible."""
    test = _test(command.test)
    found = to_grade(state, test.name)
    if found is None:
        raise Refused(f"No {test.name} test is planned here; plan it first, for today if it is done.")
    given: dict[Scale, GradeOrNone] = {
        "change": _grade(command.change, "change", test),
        "staining": _grade(command.staining, "staining", test),
    }
    if not any(given.values()):
        raise Refused(f"Grade {' or '.join(test.scales)}: one of the nine grades, for example 4-5.")
    before = found.grade or Graded(0, 0)
    graded = FollowUpGraded(
        number=found.number,
        test=test.name,
        change=given["change"] or before.change,
        staining=given["staining"] or before.staining,
        note=words(command.note) if command.note.strip() else "",
    )
    if replaced(before, given["change"], given["staining"]):
        graded = msgspec.structs.replace(graded, why=reason(command.why))
    elif (graded.change, graded.staining) == (before.change, before.staining):
        raise Refused(
            f"That is the grade the {test.name} test has already; a remark can be added to the session."
        )
    return [graded]


def cancel_follow_up(state: State, command: c.CancelFollowUp, now: Reading) -> list[Event]:
    """It will not be done, for a reason."""
    test = _test(command.test)
    waiting = waiting_of(state, test.name)
    if waiting is None:
        raise Refused(f"No {test.name} test is waiting here, so there is none to call off.")
    return [FollowUpCancelled(waiting.number, test.name, reason(command.why))]


def waiting_of(state: State, test: str) -> FollowUp | None:
    """The follow-up of that test that is planned and neither graded nor called off."""
    return next((f for f in state.follow_ups if f.test == test and f.standing == "waiting"), None)


def to_grade(state: State, test: str) -> FollowUp | None:
    """What a grade of that test is for: the one that waits, else the one graded last."""
    graded = [f for f in state.follow_ups if f.test == test and f.standing == "graded"]
    return waiting_of(state, test) or (graded[-1] if graded else None)


def replaced(before: Graded, change: str, staining: str) -> bool:
    """Whether a new grade takes the place of another one, which needs a reason."""
    pairs = ((before.change, change), (before.staining, staining))
    return any(old and new and old != new for old, new in pairs)


def _test(name: str) -> HomeTest:
    try:
        return home_test(name)
    except ValueError as problem:
        raise Refused(str(problem)) from problem


def _grade(text: str, scale: Scale, test: HomeTest) -> GradeOrNone:
    if not text.strip():
        return ""
    if scale not in test.scales:
        raise Refused(f"A {test.name} test is graded for {' and '.join(test.scales)}, not for {scale}.")
    try:
        return step_of(text, scale).grade
    except ValueError as problem:
        raise Refused(str(problem)) from problem


AFTER_THE_END: dict[type, Rule] = {
    c.PlanFollowUp: plan_follow_up,
    c.GradeFollowUp: grade_follow_up,
    c.CancelFollowUp: cancel_follow_up,
}
BEFORE_THE_END: dict[type, Rule] = dict.fromkeys(AFTER_THE_END, only_after_the_end)
