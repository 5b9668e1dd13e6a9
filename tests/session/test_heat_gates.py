"""A gate with a limit on its temperature goes by the newest reading, and so do the wait and the rinse water.

40 °C is the house's limit for hands. What was seen: 91 °C recorded one step earlier, the packet opened all the
same, and the rinse water planned at 91 °C.
"""

from __future__ import annotations

import pytest

from studio.plan.shapes import Caution
from studio.report.telling import tell
from studio.session import commands as c
from studio.session.asked import ReallyMeant, Refused
from studio.session.folding import replay
from studio.session.live.thinking import effective, think
from studio.session.path import current_step
from studio.session.run import Running
from studio.session.step_rules import gate_digit

METHODS = ("steam", "kettle", "microwave")
GATE = {"steam": "cool.unwrap", "kettle": "cool.lift", "microwave": "cool.unwrap"}
PLACE = {"steam": "packet", "kettle": "bath", "microwave": "packet"}


@pytest.fixture
def cooling(exactly_at, sheet_of):
    """A session of a method at a step, reached with the values given."""

    def at(method: str, step_id: str, given=None):  # type: ignore[no-untyped-def]
        return exactly_at(step_id, given, sheet_of(method=method))

    return at


def here(session) -> str:  # type: ignore[no-untyped-def]
    step = current_step(session.state, session.clock.now())
    return step.id if step else ""


def warnings(session) -> tuple[Caution, ...]:  # type: ignore[no-untyped-def]
    step = current_step(session.state, session.clock.now())
    return think(session.state, step, session.clock.now()).warnings


def open_gate(session, gate: str) -> None:  # type: ignore[no-untyped-def]
    session.do(c.PassGate(gate, gate_digit(session.state, gate, session.missed)))


@pytest.mark.parametrize("method", METHODS)
def test_a_gate_refuses_while_the_newest_reading_is_beyond_its_limit(cooling, method: str) -> None:
    session = cooling(method, GATE[method], {"cool.temperature": "91"})
    with pytest.raises(Refused) as caught:
        open_gate(session, GATE[method])
    said = str(caught.value)
    assert "91 °C" in said and "40 °C" in said, "the reading and the limit"
    assert "{bench.reading}" in said and "{bench.override}" in said, "what to do"
    assert here(session) == GATE[method]
    assert any("91 °C" in w.text and w.level == "stop" for w in warnings(session)), "shown before it is tried"


@pytest.mark.parametrize("method", METHODS)
def test_a_newer_reading_at_the_limit_opens_it_in_the_ordinary_way(cooling, method: str) -> None:
    session = cooling(method, GATE[method], {"cool.temperature": "91"})
    session.do(c.TakeReading(PLACE[method], "40.1"))
    with pytest.raises(Refused, match=r"40\.1 °C"):
        open_gate(session, GATE[method])
    session.clock.advance(60)
    session.do(c.TakeReading(PLACE[method], "40", meant=True))
    assert all(w.level != "stop" for w in warnings(session))
    open_gate(session, GATE[method])
    assert session.state.step(GATE[method]).state == "passed"


def test_a_hotter_reading_after_a_cool_one_shuts_it_again(cooling) -> None:
    session = cooling("steam", "cool.unwrap", {"cool.temperature": "38"})
    session.do(c.TakeReading("packet", "52"))
    with pytest.raises(Refused, match="52 °C"):
        open_gate(session, "cool.unwrap")


def test_a_reading_from_before_the_heat_or_elsewhere_says_nothing_of_the_packet(cooling) -> None:
    session = cooling("steam", "steam.hold")
    session.do(c.TakeReading("packet", "91"))
    session.clock.advance(3600)
    session.tick()
    for step in ("steam.hold", "steam.off", "steam.out"):
        for alarm in [a for a in session.state.alarms if a.standing]:
            session.do(c.Acknowledge(alarm.n))
        session.do(c.Close(step))
    session.do(c.Override("cool.wait", "it is ice cold outside"))
    session.do(c.NotMeasured("cool.temperature", "the probe is broken"))
    session.do(c.TakeReading("room", "50"))
    open_gate(session, "cool.unwrap")
    assert session.state.step("cool.unwrap").state == "passed"


@pytest.mark.parametrize("method", METHODS)
def test_an_override_passes_is_recorded_and_warned_of_until_it_is_cool(cooling, method: str, keeper) -> None:
    gate = GATE[method]
    session = cooling(method, gate, {"cool.temperature": "91"})
    (event,) = session.do(c.Override(gate, "the child wants to see it"))
    assert event.kind == "step.overridden"
    assert "91 °C" in tell(event, session.state) and "40 °C" in tell(event, session.state)
    assert here(session) == "rinse.water"
    (told,) = [w for w in warnings(session) if w.level == "stop"]
    assert "91 °C" in told.text and "40 °C" in told.text
    session.do(c.Measure("rinse.water", "38"))
    assert [w.level for w in warnings(session)] == ["stop"], "and nothing beside it that says to rinse hotter"
    session.do(c.TakeReading(PLACE[method], "39", meant=True))
    assert not warnings(session)


@pytest.mark.parametrize("method", METHODS)
def test_rinse_water_is_never_planned_above_the_limit(cooling, method: str) -> None:
    gate = GATE[method]
    session = cooling(method, gate, {"cool.temperature": "91"})
    session.do(c.Override(gate, "the child wants to see it"))
    step = effective(session.state, session.state.find_step("rinse.water"))
    assert step.expected == 40.0
    with pytest.raises(ReallyMeant):
        session.do(c.Measure("rinse.water", "91"))
    session.do(c.Measure("rinse.water", "38"))
    assert not session.state.step("rinse.water").flagged


@pytest.mark.parametrize("method", METHODS)
def test_a_reading_at_or_below_the_limit_ends_the_wait_for_cooling(cooling, method: str) -> None:
    session = cooling(method, "cool.wait")
    session.clock.advance(60)
    session.do(c.TakeReading(PLACE[method], "41"))
    assert here(session) == "cool.wait"
    session.clock.advance(60)
    (event,) = session.do(c.TakeReading(PLACE[method], "40", meant=True))
    assert here(session) == "cool.temperature"
    assert session.state.timers["cool"].stopped_after_s == pytest.approx(120)
    assert event.kind == "reading.taken" and event.data["stops"], "one event, the clock it stops in it"
    assert "ended by the reading of 40 °C" in tell(event, session.state), "the record says by which reading"


def test_a_kill_after_a_cool_reading_leaves_all_of_it_or_nothing(cooling, keeper) -> None:
    session = cooling("steam", "cool.wait")
    before = len(keeper.events)
    session.do(c.TakeReading("packet", "38", meant=True))
    for count, there in ((before, "cool.wait"), (before + 1, "cool.temperature")):
        again = Running(replay(keeper.events[:count]), session.clock, keeper)
        assert here(again) == there and again.state.timers["cool"].running == (there == "cool.wait")
    assert len(keeper.events) == before + 1


def test_a_cool_reading_elsewhere_or_while_it_steams_ends_no_wait(cooling) -> None:
    session = cooling("steam", "cool.wait")
    session.do(c.TakeReading("room", "19"))
    session.do(c.TakeReading("lid", "38"))
    assert here(session) == "cool.wait"
    session = cooling("steam", "steam.hold")
    session.do(c.TakeReading("packet", "30", meant=True))
    assert here(session) == "steam.hold"


def test_the_second_set_has_the_same_limit(cooling, walk) -> None:
    session = cooling("steam", "rinse.rounds", {"cool.temperature": "38"})
    session.do(c.Measure("rinse.rounds", "1"))
    session.do(c.SetAgain("it bleeds"))
    walk(session, "cool-2.unwrap", {"cool-2.temperature": "77"})
    with pytest.raises(Refused, match="77 °C"):
        open_gate(session, "cool-2.unwrap")
