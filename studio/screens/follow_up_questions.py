"""What the follow-up screen asks: grades by their scale, a day, a reason; each with the command it becomes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta

from studio.craft.fastness import step_of
from studio.craft.fastness_tests import Scale, home_test
from studio.screens.entry import Question
from studio.session import commands as c
from studio.session.follow_up_records import Graded
from studio.session.follow_up_rules import replaced, to_grade, waiting_of
from studio.session.refusals import Refused
from studio.session.state import State

WHAT: dict[Scale, str] = {
    "change": "change in colour",
    "staining": "staining of undyed cloth",
}


@dataclass(frozen=True, slots=True)
class ScaleQuestion(Question):
    """A question that is answered with a grade; the scale is shown beside it."""

    scale: Scale = "change"


def grade_question(state: State, test: str) -> Question:
    """Ask for the grade on each scale of the test, for a reason where one is replaced, and for a few words."""
    found = to_grade(state, test)
    if found is None:
        raise Refused(f"No {test} test is planned here; {{follow.plan}} plans one, for today if it is done.")
    before = found.grade or Graded(0, 0)
    scales = home_test(test).scales

    def ask(place: int, given: dict[Scale, str]) -> Question:
        if place == len(scales):
            return _last_words(test, before, given)
        scale = scales[place]
        old = before.change if scale == "change" else before.staining
        none = " (Enter: not graded)" if len(scales) > 1 or old else ""

        def answer(text: str) -> Question:
            grade = step_of(text, scale).grade if text.strip() or not none else ""
            return ask(place + 1, {**given, scale: grade})

        was = f", was {old}" if old else ""
        return ScaleQuestion(f"{test} test, {WHAT[scale]}{was}: 5 to 1{none}", answer, scale=scale)

    return ask(0, {})


def _last_words(test: str, before: Graded, given: dict[Scale, str]) -> Question:
    change, staining = given.get("change", ""), given.get("staining", "")
    if not change and not staining:
        raise Refused("Give at least one grade, for example 4-5; Esc leaves it ungraded.")

    def words(why: str) -> Question:
        return Question(
            "A few words about it, or Enter alone",
            lambda note: c.GradeFollowUp(test, change, staining, note, why),
        )

    if not replaced(before, change, staining):
        return words("")
    return Question("Why was the old grade wrong? Both stay in the record.", _then(words))


def _then(words: Callable[[str], Question]) -> Callable[[str], Question]:
    """The reason is asked for until there is one."""

    def answer(why: str) -> Question:
        from studio.session.refusals import reason

        return words(reason(why))

    return answer


def plan_question(state: State, test: str, today: date) -> Question:
    """Ask for the day it is due; the test's own where nothing is typed."""
    usual = home_test(test)
    own = today + timedelta(days=usual.days)
    waiting = waiting_of(state, test)
    moved = f"due {waiting.due}, move it to" if waiting is not None else "due"
    label = f"{test} test, {moved} (2026-12-02, 2 weeks, today; Enter alone: {own}, {usual.why_then})"
    return Question(label, lambda text: c.PlanFollowUp(test, text))


def cancel_question(state: State, test: str) -> Question:
    """Ask why it will not be done."""
    if waiting_of(state, test) is None:
        raise Refused(f"No {test} test is waiting here, so there is none to call off.")
    return Question(
        f"Why call off the {test} test? It is kept in the record.", lambda why: c.CancelFollowUp(test, why)
    )
