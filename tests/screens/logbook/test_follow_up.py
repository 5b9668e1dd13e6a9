"""Fastness tests on screen: due on the home page, graded with the scale beside, planned, called off; pictures."""

from __future__ import annotations

import msgspec
import pytest

from studio.craft.fastness import CHANGE_STEPS, step_of
from studio.logbook.entry import LogbookRow
from studio.screens.app import PotsideApp
from studio.screens.bench.entry import Entry
from studio.screens.logbook.follow_up import FollowUpScreen
from studio.screens.logbook.session import SessionScreen
from studio.session import commands as c
from studio.session.after.review import ReadSession
from studio.session.events import Kept
from studio.session.kinds.fastness import WaitingTest
from studio.session.kinds.notes import PhotoAdded
from studio.trouble import Trouble

TODAY = "2026-10-01"
"""By the services in memory."""


def waiting(test: str, due: str, title: str = "Tidewrack stripes") -> WaitingTest:
    return WaitingTest(key="k1", title=title, test=test, due=due)


@pytest.fixture
def ended(services, begin):  # type: ignore[no-untyped-def]
    """A session that has ended, held by the services, with a wash test that waits."""
    session = begin()
    session.do(c.Abandon("only a test of what comes later"))
    session.do(c.PlanFollowUp("wash", "2026-09-28"))
    services.held, services.state = session, session.state
    services.cards = [
        LogbookRow(
            key="k1",
            title=session.state.title,
            opened_ns=session.state.opened.wall_ns,
            standing="abandoned",
            about="",
        )
    ]
    return session


async def test_what_is_due_stands_first_and_enter_grades_it(services, ended, screen_text, wait_until) -> None:
    services.tests = [
        waiting("wash", "2026-09-28"),
        waiting("light", "2026-10-05"),
        waiting("light", "2026-11-20", "Kelp"),
    ]
    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "wash test 3 days overdue" in screen_text(app))
        shown = screen_text(app)
        assert "□ light test due in 4 days" in shown and "Kelp" not in shown
        await pilot.press("home", "enter")
        await wait_until(
            pilot, lambda: step_of("4", "change").words in screen_text(app), "the words of the change scale"
        )
        await pilot.press(*"6", "enter")
        await wait_until(pilot, lambda: "grey-scale grade is one of" in screen_text(app))
        await pilot.press("backspace", *"4/5", "enter")
        await wait_until(
            pilot, lambda: step_of("3-4", "staining").words in screen_text(app), "the staining scale"
        )
        await pilot.press(*"4", "enter")
        await wait_until(pilot, lambda: "A few words" in screen_text(app))
        await pilot.press(*"by the door", "enter")
        await wait_until(pilot, lambda: "change 4-5, staining 4" in screen_text(app))
        (test,) = ended.state.follow_ups
        assert (test.grade.change, test.grade.staining, test.grade.note) == ("4-5", "4", "by the door")
        await pilot.press("escape")
        await wait_until(pilot, lambda: "  plans" in screen_text(app))


async def test_a_grade_is_corrected_with_a_reason(services, ended, screen_text, wait_until) -> None:
    ended.do(c.GradeFollowUp("wash", "4-5", "4"))
    app = PotsideApp(
        lambda: services,
        lambda: FollowUpScreen(services, "k1", ReadSession("k1.jsonl", ended.state, ())),
        bounce_s=0.0,
    )
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "change 4-5, staining 4" in screen_text(app))
        await pilot.press("down", "g")
        await wait_until(pilot, lambda: "was 4-5" in screen_text(app))
        assert screen_text(app).splitlines()[-1].lstrip().startswith("A grade, 5 to 1;")
        await pilot.press(*"3", "enter", "enter")
        await wait_until(pilot, lambda: "Why was the old grade wrong" in screen_text(app))
        await pilot.press("enter")
        await wait_until(pilot, lambda: "reason of a few words" in screen_text(app))
        await pilot.press(*"lamp light", "enter", "enter")
        await wait_until(pilot, lambda: "was change 4-5, staining 4" in screen_text(app))
        assert [g.change for g in ended.state.follow_ups[0].grades] == ["4-5", "3"]


async def test_planned_and_called_off_with_one_sentence_for_a_bad_day(
    services, ended, screen_text, wait_until
) -> None:
    services.state = ended.state
    app = PotsideApp(
        lambda: services,
        lambda: SessionScreen(services, "k1", ReadSession("k1.jsonl", ended.state, ())),
        bounce_s=0.0,
    )
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(
            pilot, lambda: "waits for 2026-09-28" in screen_text(app) or "stages" in screen_text(app)
        )
        await pilot.press("f")
        await wait_until(pilot, lambda: "wet rub  not planned" in screen_text(app))
        await pilot.press("up", "x")
        await wait_until(pilot, lambda: "none to call off" in screen_text(app))
        await pilot.press("p")
        await wait_until(pilot, lambda: "Enter alone: 2026-10-02" in screen_text(app))
        assert screen_text(app).splitlines()[-1].lstrip().startswith("A day;")
        await pilot.press(*"1999-01-01", "enter")
        await wait_until(pilot, lambda: "before the session itself" in screen_text(app))
        assert app.screen.query_one(Entry).is_asking
        await pilot.press(*["backspace"] * 10, "enter")
        await wait_until(pilot, lambda: [f.test for f in ended.state.follow_ups] == ["wash", "wet rub"])
        await pilot.press("x")
        await wait_until(pilot, lambda: "Why call off" in screen_text(app))
        await pilot.press(*"no cloth", "enter")
        await wait_until(pilot, lambda: "why: no cloth" in screen_text(app))
        await pilot.press("escape")
        await wait_until(pilot, lambda: isinstance(app.screen, SessionScreen))


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_the_whole_scale_is_seen(size, services, ended, screen_text, wait_until) -> None:
    """All nine grades with their words, none cut, on the smallest screen."""
    read = ReadSession("k1.jsonl", ended.state, ())
    app = PotsideApp(
        lambda: services, lambda: FollowUpScreen(services, "k1", read, grade="wash"), bounce_s=0.0
    )
    async with app.run_test(size=size) as pilot:
        await wait_until(pilot, lambda: "change in colour" in screen_text(app))
        await wait_until(pilot, lambda: "hardly the same colour any more" in screen_text(app))
        told = " ".join(screen_text(app).split())
        assert all(f"{step.grade} {step.words}" in told for step in CHANGE_STEPS)


async def test_many_are_counted_and_listed(services, ended, screen_text, wait_until) -> None:
    evil = "[red]x\x1b]0;owned\x07"
    services.tests = [
        WaitingTest(key=f"k{day}", title=evil, test="light", due=f"2026-09-0{day}") for day in range(1, 8)
    ]
    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "4 more to see to" in screen_text(app))
        assert "[red]x\\x1b" in screen_text(app)
        await pilot.press("home", "down", "down", "down", "enter")
        await wait_until(pilot, lambda: screen_text(app).count("light test") == 7)
        await pilot.press("escape")
        await wait_until(pilot, lambda: "  plans" in screen_text(app))


async def test_pictures_are_opened_by_number(services, ended, screen_text, wait_until) -> None:
    at = ended.state.opened
    photos = (
        Kept(2, at, PhotoAdded("photos/a.jpg", "the edge")),
        Kept(3, at, PhotoAdded("https://example.org/b.jpg", "")),
    )
    state = msgspec.structs.replace(ended.state, things=photos)
    app = PotsideApp(
        lambda: services,
        lambda: SessionScreen(services, "k1", ReadSession("k1.jsonl", state, ())),
        bounce_s=0.0,
    )
    services.state = state

    def refuse(path: str) -> str:
        if "://" in path:
            raise Trouble("That is no path within the studio folder.")
        services.opened.append(path)
        return "Opening."

    services.open_picture = refuse
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "O pictures" in screen_text(app))
        await pilot.press("o")
        await wait_until(pilot, lambda: "which picture, 1 to 2" in screen_text(app))
        await pilot.press(*"9", "enter")
        await wait_until(pilot, lambda: "number of a picture, 1 to 2" in screen_text(app))
        await pilot.press("backspace", *"2", "enter")
        await wait_until(pilot, lambda: "no path within the studio" in screen_text(app))
        await pilot.press("backspace", *"1", "enter")
        await wait_until(pilot, lambda: services.opened == ["photos/a.jpg"])
