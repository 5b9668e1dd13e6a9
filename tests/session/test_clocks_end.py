"""A clock ends when its step does, whichever way it ends: held over the sample plans by walks that end steps oddly."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.session import alarms
from studio.session import commands as c
from studio.session.after.real_cost import spent
from studio.session.asked import Refused
from studio.session.path import current_step
from studio.session.run import Running
from studio.session.simulated_dyer import next_move
from studio.session.state import State
from studio.session.timers import view
from tests.conftest import examples

ROOT = Path(__file__).parents[2]
PLANS = sorted(path.name.split(".")[0] for path in (ROOT / "shared" / "plans").glob("*.plan.toml"))
OWNERS = {
    "presoak": "presoak.wait", "swell": "paint.swell", "cool": "cool.wait", "steam": "steam.hold",
    "pot-water": "steam.hold",
    "ramp": "heat.ramp", "ramp-look": "heat.ramp", "acid": "heat.acid-wait", "part-2": "heat.dye-2",
    "part-3": "heat.dye-3", "hold": "heat.hold", "hold-turn": "heat.hold", "hold-more": "heat.clear",
    "burst-more": "microwave.clear", "rest-more": "microwave.clear", "stand": "microwave.stand",
}  # fmt: skip
"""The step with which each clock must end; bursts and rests end with the next burst, or with the last rest."""
WHY = "the bell rang and the post came"


def owner_of(state: State, timer_id: str) -> str:
    """The step a clock ends with, in its own set."""
    found = re.fullmatch(r"(burst-\d|rest-\d|.*?)(-[23])?", timer_id)
    assert found is not None
    name, suffix = (timer_id, "") if timer_id in OWNERS else (found[1], found[2] or "")
    kind, _, number = name.rpartition("-")
    if kind in ("burst", "rest") and number.isdigit():
        following = f"microwave{suffix}.burst-{int(number) + 1}"
        return following if state.find_step(following) else f"microwave{suffix}.rest"
    stage, _, step = OWNERS[name].partition(".")
    return f"{stage}{suffix}.{step}"


def left_running(state: State) -> list[str]:
    """Clocks that run although the session or their step is closed, or the step that began them was taken back."""
    packets = any(t.running and t.id.startswith("packet-") for t in state.timers.values())
    astray = []
    for timer in state.timers.values():
        by_design = timer.id.startswith("packet-") or (packets and timer.id.startswith("pot-water"))
        ended = not by_design and state.step(owner_of(state, timer.id)).closed
        if timer.running and (state.closed or ended or _never_began(state, timer.by)):
            astray.append(timer.id)
    return astray


def _never_began(state: State, step_id: str) -> bool:
    """Whether the step that started a clock was taken back; a look that is not clear starts one and stays open."""
    step = state.find_step(step_id)
    return step is not None and step.quantity != "look" and not state.step(step_id).closed


@pytest.fixture
def sample(begin, sample_sheet):  # type: ignore[no-untyped-def]
    """A session on a sample plan, at a step."""

    return lambda plan, step_id: begin(sample_sheet(plan), to=step_id)


def oddly(state: State, step_id: str, chance: random.Random) -> c.Command:
    """One of the other ways in which a step, or the session, can come to its end."""
    packets = [t.id for t in state.timers.values() if t.id.startswith("packet-")]
    return chance.choice([
        c.Override(step_id, WHY), c.Skip(step_id, WHY), c.NotMeasured(step_id, WHY), c.Undo(), c.Undo(),
        c.Measure(step_id, "2"), c.Measure(step_id, "5"), c.Measure(step_id, "1"), c.SetAgain(WHY),
        c.Close(step_id), c.PacketIn("another"), c.PacketOut(packets[-1] if packets else ""), c.ToggleSteam(),
        c.Refill("300 mL"), c.TakeReading("packet", "35", meant=True), c.TakeReading("bath", "35"),
    ])  # fmt: skip


@pytest.mark.deep
@examples(60)
@given(st.sampled_from(PLANS), st.integers(0, 2**32), st.floats(0.0, 0.5), st.sampled_from([0, 0, 60, 200]))
def test_no_clock_outlives_its_step(
    begin, sample_sheet, plan: str, seed: int, oddity: float, given_up_at: int
) -> None:
    session = begin(sample_sheet(plan))
    clock, chance = session.clock, random.Random(seed)
    for move_number in range(1, 700):
        move = next_move(session.state, clock.now(), chance)
        if move is None:
            break
        clock.advance(move.wait_s)
        session.tick()
        step = current_step(session.state, clock.now())
        if move_number == given_up_at:
            session.do(c.Abandon(WHY))
        try:
            if step is not None and chance.random() < oddity:
                session.do(oddly(session.state, step.id, chance))
            elif move.command is not None:
                session.do(move.command)
        except Refused:
            pass
        assert left_running(session.state) == [], (session.last_events, step and step.id)
    if given_up_at == 0 and oddity == 0:
        assert session.state.closed, "a walk without oddities comes to its end"


def run_out(session: Running, timer_id: str) -> None:
    """Let time pass until that clock is over, and its alarm be raised."""
    session.clock.advance(view(session.state.timers[timer_id], session.clock.now()).left_s)  # type: ignore[attr-defined]
    session.tick()


def runs(session: Running, timer_id: str) -> bool:
    timer = session.state.timers.get(timer_id)
    return timer is not None and timer.running


@pytest.mark.parametrize("way", ["measured", "not measured", "skipped"])
def test_the_clock_of_the_second_part_ends_when_the_part_is_in(sample, way: str) -> None:
    session = sample("slack-water", "heat.dye-2")
    assert runs(session, "part-2") and runs(session, "ramp")
    planned = session.state.find_step("heat.dye-2").expected  # type: ignore[union-attr]
    command = {
        "measured": c.Measure("heat.dye-2", f"{planned:g}", meant=True),
        "not measured": c.NotMeasured("heat.dye-2", WHY),
        "skipped": c.Skip("heat.dye-2", WHY),
    }[way]
    session.do(command)
    assert not runs(session, "part-2") and runs(session, "ramp")
    (event,) = session.last_events
    assert [clock["timer"] for clock in event.data["stops"]] == ["part-2"]
    session.do(c.Undo())
    assert runs(session, "part-2") or way == "skipped", "taken back, it waits for its part again"


def test_a_bath_that_is_left_as_it_is_is_not_held_on(sample) -> None:
    session = sample("slack-water", "heat.clear")
    session.do(c.Measure("heat.clear", "2"))
    assert runs(session, "hold-more")
    session.do(c.Skip("heat.clear", WHY))
    assert not runs(session, "hold-more")


def test_a_packet_left_unmeasured_does_not_go_on_resting(sample) -> None:
    session = sample("riding-lights", "microwave.clear")
    session.do(c.Measure("microwave.clear", "2"))
    run_out(session, "burst-more")
    session.do(c.Acknowledge(session.state.alarms[-1].n))
    assert runs(session, "rest-more")
    session.do(c.NotMeasured("microwave.clear", WHY))
    assert not runs(session, "rest-more") and runs(session, "stand")


def test_a_burst_that_is_not_waited_for_ends_with_its_wait(sample) -> None:
    session = sample("riding-lights", "microwave.burst-1")
    session.do(c.Close("microwave.burst-1"))
    session.do(c.Override("microwave.burst-2", WHY))
    assert not runs(session, "burst-1") and runs(session, "burst-2")


def test_a_burst_whose_clock_is_answered_an_hour_late_heated_no_longer_than_it_was_set(sample) -> None:
    session = sample("riding-lights", "microwave.burst-1")
    session.do(c.Close("microwave.burst-1"))
    session.clock.advance(62 * 60)
    session.tick()
    for alarm in alarms.standing(session.state):
        session.do(c.Acknowledge(alarm.n))
    assert session.state.timers["burst-1"].stopped_after_s == 62 * 60
    assert spent(session.state)["energy.held"] == 2.0


def test_a_burst_taken_back_takes_its_rest_with_it(sample) -> None:
    session = sample("riding-lights", "microwave.burst-1")
    session.do(c.Close("microwave.burst-1"))
    run_out(session, "burst-1")
    session.do(c.Acknowledge(session.state.alarms[-1].n))
    assert runs(session, "rest-1")
    session.do(c.Undo())
    assert not session.state.step("microwave.burst-1").closed
    assert not runs(session, "rest-1") and not runs(session, "burst-1")


def test_with_the_session_end_its_clocks(sample) -> None:
    session = sample("tidewrack-stripes", "steam.hold")
    session.do(c.PacketIn("another"))
    session.clock.advance(240)
    session.do(c.Abandon("the gas ran out"))
    assert not [t.id for t in session.state.timers.values() if t.running]
    (event,) = session.last_events
    assert event.kind == "session.finished" and len(event.data["stops"]) == 3
    assert session.state.timers["packet-2"].stopped_after_s == pytest.approx(240)


def test_a_clock_taken_up_again_that_is_over_rings_again(sample) -> None:
    session = sample("tidewrack-stripes", "steam.hold")
    run_out(session, "steam")
    session.do(c.Close("steam.hold"))
    session.do(c.Undo())
    session.tick()
    assert [a.timer for a in session.state.alarms if a.standing] == ["steam"]
