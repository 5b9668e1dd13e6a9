"""The rehearsal that nobody watches waits for its alarms: it raises each when it is due, and answers it."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from studio.quantity import reading_in
from studio.services.unattended import walk
from studio.session.events import parts
from studio.session.kinds.steps import ClosesAStep
from studio.session.simulated_dyer import next_move

ROOT = Path(__file__).parents[2]
PLANS = sorted(path.name.split(".")[0] for path in (ROOT / "shared" / "plans").glob("*.plan.toml"))


@pytest.mark.parametrize("plan", PLANS)
@pytest.mark.one_in(3)
def test_no_alarm_is_passed_over_and_each_is_answered_before_the_hand_goes_on(
    begin, keeper, sample_sheet, plan
) -> None:
    session = begin(sample_sheet(plan))
    walk(session, session.clock, random.Random(3), lambda sentence: None)
    assert session.state.outcome == "finished"
    raised = [event for event in keeper.events if event.kind == "alarm.raised"]
    assert len(raised) > 5
    assert all(event.data["late_s"] < 0.01 for event in raised), "raised when due, not when the hand came by"
    assert {event.data["level"] for event in raised} >= {"60 s", "10 s", "due"}
    assert all(a.acknowledged_after_s is not None for a in session.state.alarms if not a.ahead)
    waiting: list[int] = []
    for event in keeper.events:
        if event.kind == "alarm.raised" and event.data["level"] not in ("60 s", "10 s"):
            waiting.append(event.n)
            continue
        ended = {part.alarm for part in parts(event.told) if part.kind == "alarm.acknowledged"}
        waiting = [n for n in waiting if n not in ended]
        assert not waiting or not isinstance(event.told, ClosesAStep), "an alarm stood, and the hand went on"


def test_a_pot_that_would_boil_dry_is_filled_by_the_hand(begin, keeper, settled_of) -> None:
    session = begin(choices=settled_of(("1500 mL", "600 mL")))
    walk(session, session.clock, random.Random(3), lambda sentence: None)
    assert session.state.outcome == "finished"
    levels = [event.data["level"] for event in keeper.events if event.kind == "alarm.raised"]
    assert "low" in levels and "dry" not in levels
    poured = [event for event in keeper.events if event.kind == "pot.refilled"]
    assert poured and all(event.data["ml"] >= 50 for event in poured)


def test_the_hand_pours_the_second_part_when_its_clock_is_over(begin, sample_sheet) -> None:
    session = begin(sample_sheet("slack-water"))
    walk(session, session.clock, random.Random(3), lambda sentence: None)
    part = session.state.timers["part-2"]
    assert part.stopped_after_s is not None and part.stopped_after_s >= part.minutes * 60
    assert any(a.timer == "part-2" and a.level == "due" for a in session.state.alarms)


def test_a_value_is_typed_with_its_unit_whatever_is_read_in(begin, clock, monkeypatch) -> None:
    monkeypatch.setattr(reading_in, "_asked", [lambda: "US"])
    session = begin(to="ready.weight")
    move = next_move(session.state, clock.now(), random.Random(1))
    session.do(move.command)
    assert session.state.step("ready.weight").value == pytest.approx(100.0, rel=0.05)
