"""Fastness tests after the end: what may be planned, graded and called off, and what stays visible of it."""

from __future__ import annotations

from datetime import date

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.craft.fastness import GRADES, HOME_TESTS
from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.events import data_of
from studio.session.folding import drafted, replay
from studio.session.kinds.fastness import (
    MOST_DAYS_AHEAD,
    FollowUpCancelled,
    FollowUpGraded,
    FollowUpPlanned,
    due_day,
    waiting_in,
    when_words,
)

OPENED = date(2026, 9, 21)
"""The fixtures' clock, 1 790 000 000 s after 1970-01-01, by `date -u`."""


@pytest.fixture
def ended(begin):  # type: ignore[no-untyped-def]
    session = begin()
    session.do(c.Abandon("only a test of what comes later"))
    return session


def test_while_it_is_open_there_is_nothing_to_test(begin) -> None:
    with pytest.raises(Refused, match="still open"):
        begin().do(c.PlanFollowUp("wash"))


@pytest.mark.parametrize(
    ("test", "due"), [("wet rub", "2026-09-22"), ("wash", "2026-09-28"), ("light", "2026-10-19")]
)
def test_without_a_day_each_test_has_its_own(ended, keeper, test: str, due: str) -> None:
    """House rule: the next day, a week, four weeks; counted on a calendar from 2026-09-21."""
    ended.do(c.PlanFollowUp(test))
    (planned,) = ended.state.follow_ups
    assert (planned.test, planned.due, planned.standing) == (test, due, "waiting")
    assert keeper.events[-1].kind == "follow_up.planned" and "ISO" not in planned.how
    assert replay(keeper.events) == ended.state


def test_the_home_tests_name_the_standard_and_are_none() -> None:
    """ISO 105: part B02 is light by xenon lamp, C06 laundering, X12 rubbing (from memory)."""
    named = {test.name: test.standard.split(" (")[0] for test in HOME_TESTS}
    assert named == {"light": "ISO 105-B02", "wash": "ISO 105-C06", "wet rub": "ISO 105-X12"}


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("2026-12-02", date(2026, 12, 2)),
        ("2 weeks", date(2026, 10, 15)),
        ("in 10 days", date(2026, 10, 11)),
        (" In  a week ", date(2026, 10, 8)),
        ("1 month", date(2026, 11, 1)),
        ("5 months", date(2027, 3, 1)),
        ("today", date(2026, 10, 1)),
        ("TOMORROW", date(2026, 10, 2)),
        ("2026-09-21", OPENED),
    ],
)
def test_days_that_are_understood(typed: str, day: date) -> None:
    """Counted on a calendar from 1 October 2026."""
    assert due_day(typed, date(2026, 10, 1), OPENED) == day


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("2026-13-01", "no day of the calendar"),
        ("2026-02-29", "no day of the calendar"),
        ("2026-09-20", "before the session"),
        ("1970-01-01", "before the session"),
        ("0000-00-00", "no day of the calendar"),
        ("2062-12-02", "five years"),
        ("9999 weeks", "five years"),
        ("9999 months", "five years"),
        ("-2 weeks", "no day"),
        ("1e3 days", "no day"),
        ("٣ days", "no day"),
        ("20261202", "no day"),
        ("02.12.2026", "no day"),
        ("soon", "no day"),
        ("2 weeks\x1b[2J", "no day"),
        ("x" * 10_000, "no day"),
    ],
)
def test_days_that_are_none_get_one_sentence(typed: str, told: str) -> None:
    with pytest.raises(Refused, match=told) as refused:
        due_day(typed, date(2026, 10, 1), OPENED)
    assert "for example 2026-12-02" in str(refused.value) and len(str(refused.value)) < 200
    assert "\x1b" not in str(refused.value) and "\n" not in str(refused.value)


@given(st.text(), st.dates(), st.dates())
def test_any_text_at_any_clock_is_a_day_in_reach_or_refused(text: str, today: date, opened: date) -> None:
    for typed in (text, "2 weeks", "9999 months", "tomorrow", f"in {text} days"):
        try:
            day = due_day(typed, today, opened)
        except Refused as refused:
            assert str(refused).endswith(".")
        else:
            assert opened <= day
            assert day.toordinal() <= max(today, opened).toordinal() + MOST_DAYS_AHEAD


@pytest.mark.parametrize(("wall_s", "plain"), [(-1_790_000_000, "clock says 1970-01-01"), (60 * 86_400, "")])
def test_a_clock_that_was_set_is_said_or_followed(ended, clock, wall_s: float, plain: str) -> None:
    clock.change(wall_s=wall_s)
    if plain:
        with pytest.raises(Refused, match=plain):
            ended.do(c.PlanFollowUp("wash", "2 weeks"))
        ended.do(c.PlanFollowUp("wash", "2026-09-30"))
        assert ended.state.follow_ups[0].due == "2026-09-30"
    else:
        ended.do(c.PlanFollowUp("wash", "today"))
        assert ended.state.follow_ups[0].due == "2026-11-20"


GRADED = {
    "light": {"change": "4"},
    "wash": {"change": "4/5", "staining": "3.5"},
    "wet rub": {"staining": "5"},
}
REFUSED = [
    ("light", {"staining": "4"}, "graded for change, not for staining"),
    ("wet rub", {"change": "4"}, "graded for staining, not for change"),
    ("wash", {}, "Grade change or staining"),
    ("wash", {"change": "6"}, "5, 4-5, 4, 3-4, 3, 2-3, 2, 1-2, 1"),
    ("wash", {"change": "\x1b[31m"}, "grey-scale grade"),
    ("dry rub", {"staining": "4"}, "one of wet rub, wash, light"),
]


@pytest.mark.parametrize("test", GRADED)
def test_each_test_is_graded_on_its_scales(ended, keeper, test: str) -> None:
    ended.do(c.PlanFollowUp(test))
    ended.do(c.GradeFollowUp(test, note="by the window", **GRADED[test]))
    grade = ended.state.follow_ups[0].grade
    assert {grade.change, grade.staining} <= {*GRADES, ""} and grade.note == "by the window"
    assert ended.state.follow_ups[0].standing == "graded" and waiting_in(ended.state) == ()
    assert replay(keeper.events) == ended.state


@pytest.mark.parametrize(("test", "given", "told"), REFUSED)
def test_grades_that_make_no_sense(ended, test: str, given: dict[str, str], told: str) -> None:
    for planned in HOME_TESTS:
        ended.do(c.PlanFollowUp(planned.name))
    with pytest.raises(Refused, match=told):
        ended.do(c.GradeFollowUp(test, **given))
    assert all(f.standing == "waiting" for f in ended.state.follow_ups)


def test_what_was_not_planned_is_not_graded_or_called_off(ended) -> None:
    with pytest.raises(Refused, match="No wash test is planned"):
        ended.do(c.GradeFollowUp("wash", "4"))
    with pytest.raises(Refused, match="none to call off"):
        ended.do(c.CancelFollowUp("wash", "no time"))


def test_a_corrected_grade_needs_a_reason_and_keeps_the_old_one(ended, keeper) -> None:
    ended.do(c.PlanFollowUp("wash"))
    ended.do(c.GradeFollowUp("wash", change="4-5"))
    ended.do(c.GradeFollowUp("wash", staining="4"))  # what was not graded yet is added without a reason
    with pytest.raises(Refused, match="reason"):
        ended.do(c.GradeFollowUp("wash", change="3"))
    with pytest.raises(Refused, match="has already"):
        ended.do(c.GradeFollowUp("wash", change="4-5", staining="4"))
    ended.do(c.GradeFollowUp("wash", change="3", why="the lamp was yellow"))
    (test,) = ended.state.follow_ups
    assert [(g.change, g.staining) for g in test.grades] == [("4-5", ""), ("4-5", "4"), ("3", "4")]
    assert test.grade.why == "the lamp was yellow"
    assert replay(keeper.events) == ended.state


def test_a_moved_day_keeps_the_old_one_and_a_second_test_is_a_second(ended) -> None:
    ended.do(c.PlanFollowUp("light", "2 weeks", "on the sill", "two strips"))
    with pytest.raises(Refused, match="already"):
        ended.do(c.PlanFollowUp("light", "2 weeks"))
    ended.do(c.PlanFollowUp("light", "3 weeks"))
    (moved,) = ended.state.follow_ups
    assert (moved.due, moved.moved_from, moved.how, moved.note) == (
        "2026-10-12", ("2026-10-05",), "on the sill", "two strips"
    )  # fmt: skip
    ended.do(c.GradeFollowUp("light", "4"))
    ended.do(c.PlanFollowUp("light", "3 months"))
    assert [f.standing for f in ended.state.follow_ups] == ["graded", "waiting"]
    ended.do(c.CancelFollowUp("light", "the card fell down"))
    assert ended.state.follow_ups[1].cancelled == "the card fell down"
    with pytest.raises(Refused, match="none to call off"):
        ended.do(c.CancelFollowUp("light", "the card fell down"))


def test_of_one_test_twice_the_first_is_waited_for(ended) -> None:
    """As no rule writes it, but a file may hold it: a list has one row for each."""
    ended.do(c.PlanFollowUp("wash"))
    (one,) = ended.state.follow_ups
    twice = (one, msgspec.structs.replace(one, number=2, due="2026-12-01"))
    state = msgspec.structs.replace(ended.state, follow_ups=twice)
    assert waiting_in(state) == (("wash", "2026-09-28"),)


def test_a_rehearsal_keeps_nobody_waiting(ended) -> None:
    ended.do(c.PlanFollowUp("wash"))
    assert waiting_in(ended.state) == (("wash", "2026-09-28"),)
    assert waiting_in(msgspec.structs.replace(ended.state, rehearsal_speed=60.0)) == ()


@pytest.mark.parametrize("number", [1, 9])
def test_events_of_another_hand_are_followed_as_far_as_they_go(ended, keeper, number: int) -> None:
    ended.do(c.PlanFollowUp("wash"))
    for odd in (
        FollowUpGraded(number, "light", "", "", ""),
        FollowUpCancelled(number, "light", ""),
        FollowUpPlanned(number, "light", "9999-99", "", ""),
    ):
        told = drafted(99, odd.kind, data_of(odd), keeper.events[0].moment)
        state = replay([*keeper.events, told])
        assert 1 <= len(state.follow_ups) <= 2
        assert all(when_words(f.due, OPENED) for f in state.follow_ups)
