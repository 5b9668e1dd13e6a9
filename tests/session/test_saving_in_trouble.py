"""While nothing can be saved: entries are taken in order, clocks and alarms go on, and all of it is kept later."""

from __future__ import annotations

import pytest

from studio.report.telling import not_saved
from studio.session import alarms
from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.events import parts
from studio.session.folding import replay
from studio.session.path import current_step
from studio.session.timers import elapsed_s


def here(session) -> str:
    return current_step(session.state, session.clock.now()).id


def test_entries_are_taken_shown_as_waiting_and_written_in_order(exactly_at, keeper) -> None:
    session = exactly_at("ready.room")
    before = len(keeper.events)
    keeper.failing = True
    session.do(c.Close("ready.room"))
    session.do(c.AddNote("first, while the disk is full"))
    session.do(c.AddNote("second"))
    assert here(session) != "ready.room", "the bench goes on"
    assert not session.saved.step("ready.room").closed, "and nothing is shown as done"
    assert len(keeper.events) == before
    assert session.waiting == 3
    assert not_saved(session) == "NOT SAVED: the disk is full. 3 entries wait to be saved."
    keeper.failing = False
    session.tick()
    assert [event.data.get("text") for event in keeper.events[before:]] == [
        None, "first, while the disk is full", "second",
    ]  # fmt: skip
    assert session.waiting == 0 and not_saved(session) == ""
    assert replay(keeper.events) == session.state == session.saved


def test_a_clock_starts_once_at_the_moment_it_was_said(exactly_at, keeper, clock) -> None:
    session = exactly_at("presoak.in")
    keeper.failing = True
    said = clock.now()
    session.do(c.Close("presoak.in"))
    with pytest.raises(Refused):
        session.do(c.Close("presoak.in"))
    clock.advance(90)
    session.tick()
    keeper.failing = False
    session.tick()
    started = [event for event in keeper.events for part in parts(event.told) if part.kind == "timer.started"]
    assert [event.boot_ns for event in started] == [said.boot_ns]
    (timer,) = session.saved.timers.values()
    assert elapsed_s(timer, clock.now()) == (90.0, True)


def test_an_alarm_rings_and_is_answered_while_nothing_can_be_saved(exactly_at, keeper, clock) -> None:
    session = exactly_at("presoak.wait")
    keeper.failing = True
    clock.advance(7200)
    session.tick()
    (alarm,) = alarms.standing(session.state)
    session.do(c.Acknowledge(alarm.n))
    assert not alarms.standing(session.state)
    clock.advance(5)
    session.tick()
    keeper.failing = False
    session.tick()
    kinds = [event.kind for event in keeper.events]
    assert kinds.count("alarm.raised") == kinds.count("alarm.acknowledged")
    assert not alarms.standing(session.saved)


def test_what_waits_can_be_taken_back_and_corrected(exactly_at, keeper) -> None:
    session = exactly_at("ready.weight")
    keeper.failing = True
    session.do(c.Measure("ready.weight", "100 g"))
    session.do(c.Correct("ready.weight", "101 g", "read it wrong"))
    session.do(c.Undo())
    keeper.failing = False
    session.tick()
    assert replay(keeper.events) == session.state == session.saved


@pytest.mark.parametrize("speed", [None, 60.0])
def test_after_a_minute_of_the_dyers_own_time_another_folder_is_tried(
    exactly_at, keeper, clock, speed
) -> None:
    import msgspec

    session = exactly_at("ready.room")
    session.state = session.saved = msgspec.structs.replace(session.state, rehearsal_speed=speed)
    keeper.failing = True
    session.do(c.AddNote("the disk is full"))
    for _ in range(59):
        clock.advance(speed or 1)
        session.tick()
    assert set(keeper.tries) == {False}
    clock.advance(speed or 1)
    session.tick()
    assert keeper.tries[-1] is True
    keeper.failing = False
    session.tick()
    keeper.failing = True
    session.do(c.AddNote("full again"))
    session.tick()
    assert keeper.tries[-1] is False, "the minute begins anew"
