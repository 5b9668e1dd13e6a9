"""The bath at the bench, worked out by hand: ramp, spoon, acid, hold; the oven's bursts; a second set of both."""

from __future__ import annotations

import pytest

from studio.plan.sheet import work_sheet
from studio.quantity import reading_in
from studio.quantity.showing import show
from studio.session import alarms
from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.clock import time_of_day
from studio.session.folding import replay
from studio.session.kinds.heat import AcidDosed, PotRefilled
from studio.session.live.bath import ramp_of
from studio.session.timers import view
from studio.words.questions import asked


@pytest.fixture
def kettle(exactly_at, sheet_of):
    return lambda step_id, given=None: exactly_at(step_id, given, sheet_of(method="kettle"))


@pytest.fixture
def oven(exactly_at, sheet_of):
    return lambda step_id: exactly_at(step_id, None, sheet_of(method="microwave"))


def test_ahead_and_behind_by_hand(kettle, figure, warned) -> None:
    """40 + 1.5 x 16 = 64 °C asked for; 55 °C read is 9 behind. From 46 at 10 min to 55 at 16 min: 1.5 a
    minute, and (85 - 55) / 1.5 = 20 min to the top."""
    session = kettle("heat.acid-wait")
    for minutes, read in ((10, "46"), (6, "55")):
        session.clock.advance(minutes * 60)
        session.tick()
        session.do(c.TakeReading("bath", read))
    at = time_of_day(session.clock.now().wall_ns, session.state.utc_offset_min)
    assert figure(session, "live.bath.planned").value == pytest.approx(64.0)
    assert figure(session, "live.bath.rate").value == pytest.approx(1.5)
    assert figure(session, "live.bath.to-top").value == pytest.approx(20.0)
    session.clock.advance(120)
    assert figure(session, "live.bath.planned").value == pytest.approx(67.0), "the ramp goes on"
    assert figure(session, "live.bath.bath").label == f"bath at {at}, 9 °C behind"
    assert warned(session)["live.ramp.behind"].startswith(f"At {at} the bath was 9 °C behind")
    seen = ramp_of(session.state, session.clock.now())
    assert seen is not None and seen.off_c == pytest.approx(-9.0)


def test_near_the_boil_is_called_out(kettle, warned) -> None:
    session = kettle("heat.hold")
    session.do(c.TakeReading("bath", "99"))
    assert "live.ramp.boils" in warned(session)


def test_a_bath_that_will_not_clear_is_held_on_and_dosed(kettle, warned) -> None:
    """20 + 20 mL of the plan and 10 mL more are 50 mL; 40 + 10 min of hold are 50 min."""
    session = kettle("heat.clear")
    session.do(c.Measure("heat.clear", "3"))
    assert session.state.timers["hold-more"].running and not session.state.step("heat.clear").closed
    assert "live.bath.not-clear" in warned(session)
    session.do(c.DoseAcid("10 mL"))
    session.clock.advance(600)
    session.tick()
    session.do(c.Acknowledge(alarms.standing(session.state)[0].n))
    session.do(c.Measure("heat.clear", "5"))
    assert session.state.step("heat.clear").value == 5.0
    assert not session.state.timers["hold-more"].running


def test_more_acid_than_twice_the_plans_and_acid_too_early_are_refused(kettle) -> None:
    session = kettle("heat.clear")
    with pytest.raises(Refused, match="at most 80 mL"):
        session.do(c.DoseAcid("90 mL"))
    with pytest.raises(Refused, match="on the heat"):
        kettle("bath.in").do(c.DoseAcid("10 mL"))


@pytest.mark.parametrize("text", ["0", "6", "", "clear", "4.5", "nan"])
def test_a_look_is_a_whole_grade(kettle, text) -> None:
    with pytest.raises(Refused, match="Grade"):
        kettle("heat.clear").do(c.Measure("heat.clear", text))


def test_a_bath_that_stays_dark_may_be_left_with_a_reason(kettle) -> None:
    session = kettle("heat.clear")
    session.do(c.Measure("heat.clear", "2"))
    session.do(c.NotMeasured("heat.clear", "the dye is spent, the rest rinses out"))
    assert not session.state.timers["hold-more"].running


def test_what_belongs_to_steam_is_refused_at_a_kettle(kettle) -> None:
    session = kettle("heat.hold")
    for command in (c.ToggleSteam(), c.PacketIn("second")):
        with pytest.raises(Refused):
            session.do(command)
    session.do(c.Refill("200 mL"))
    assert session.state.kept(PotRefilled)[-1].event.ml == 200.0


def test_a_rest_follows_its_burst_and_a_burst_waits_for_its_rest(oven) -> None:
    session = oven("microwave.burst-1")
    session.do(c.Close("microwave.burst-1"))
    with pytest.raises(Refused, match=r"clock 'burst 1 of 2' is set until .* follows"):
        session.do(c.Close("microwave.burst-2"))
    session.clock.advance(120)
    session.tick()
    with pytest.raises(Refused, match=r"burst 1 of 2' is over: answer its alarm"):
        session.do(c.Close("microwave.burst-2"))
    session.do(c.Acknowledge(session.state.alarms[-1].n))
    assert not session.state.timers["burst-1"].running and session.state.timers["rest-1"].running
    with pytest.raises(Refused, match="runs until"):
        session.do(c.Close("microwave.burst-2"))
    session.clock.advance(180)
    session.tick()
    session.do(c.Close("microwave.burst-2"))
    assert session.state.timers["burst-2"].running


@pytest.mark.parametrize(("made", "heated"), [("kettle", "heat"), ("oven", "microwave")])
def test_a_second_set_heats_cools_and_rinses_again(request, made, heated, walk, keeper) -> None:
    session = request.getfixturevalue(made)("rinse.rounds")
    session.do(c.Measure("rinse.rounds", "2"))
    session.do(c.SetAgain("it bleeds"))
    stages = [stage.stage for stage in session.state.worksheet.procedure]
    assert stages[-4:] == [f"{heated}-2", "cool-2", "rinse-2", "record"]
    steps = {s.id for s in session.state.all_steps()}
    assert not steps & {"heat-2.acid", "heat-2.acid-wait"}
    walk(session, "rinse-2.rounds")
    timers = {t.id for t in session.state.worksheet.timers}
    for step in session.state.all_steps():
        assert {step.starts, step.stops, step.timer} - {""} <= timers
    assert replay(keeper.events).steps == session.state.steps


def test_a_correction_taken_back_leaves_the_clock_its_step_started(kettle) -> None:
    """85 °C began the hold; 84 was a slip of the pen, and so is no end of it."""
    session = kettle("heat.top")
    session.do(c.Measure("heat.top", "85"))
    session.clock.advance(10 * 60)
    session.do(c.Correct("heat.top", "84", "misread"))
    session.do(c.Undo())
    assert session.state.step("heat.top").value == 85.0
    assert view(session.state.timers["hold"], session.clock.now()).left_s == 30 * 60


def test_acid_added_later_ends_at_twice_the_plans(kettle) -> None:
    """20 + 20 mL are the plan's: 80 mL more and not a drop beyond, however they are shared out."""
    session = kettle("heat.clear")
    session.do(c.DoseAcid("70 mL"))
    with pytest.raises(Refused, match="at most 10 mL"):
        session.do(c.DoseAcid("10.5 mL"))
    session.do(c.DoseAcid("10 mL"))
    with pytest.raises(Refused, match="all the acid it may get"):
        session.do(c.DoseAcid("1 mL"))


def test_a_clock_of_two_minutes_says_nothing_a_minute_ahead(oven) -> None:
    """A warning comes only where more than twice its time ahead is run."""
    session = oven("microwave.burst-1")
    session.do(c.Close("microwave.burst-1"))
    levels = []
    for _ in range(121):
        session.clock.advance(1)
        levels += [ev.data["level"] for ev in session.tick() if ev.data.get("timer") == "burst-1"]
    assert levels == ["10 s", "due"]


def test_of_a_stock_that_holds_too_much_only_what_the_depth_takes_goes_in(
    worked_at, settled_of, figure
) -> None:
    """Three times the dye was weighed for the volume that was planned: a third of the stock gives the depth."""
    plan = settled_of(method="kettle")
    as_planned = worked_at("bath.dye", settled=plan)
    dye, made = (figure(as_planned, name).value for name in ("stock.rust.dye", "stock.rust.volume"))
    given = {"stocks.rust.dye": f"{3 * dye:g}", "stocks.rust.volume": f"{made:g}"}
    session = worked_at("bath.dye", given, plan)
    assert figure(session, "kettle.dye").value == pytest.approx(made / 3)
    assert figure(session, "kettle.depth").value == pytest.approx(figure(as_planned, "kettle.depth").value)


def test_more_acid_is_asked_for_and_taken_in_the_unit_of_the_first(kettle, monkeypatch) -> None:
    """20 + 20 mL are poured with spoons where US units are read: a number alone is so many of those."""
    session = kettle("heat.clear")
    monkeypatch.setattr(reading_in, "_asked", [lambda: "US"])
    question = asked("acid", session.state, session.clock.now())
    assert question.label.endswith("in tsp") and question.takes == "Teaspoons"
    with pytest.raises(Refused, match=r"at most .* (tsp|fl oz)"):
        session.do(question.answer("90"))
    session.do(question.answer("1"))
    assert session.state.kept(AcidDosed)[-1].event.amount == pytest.approx(4.929, abs=0.001)


def test_a_refusal_gives_its_example_in_the_unit_asked_for(kettle, monkeypatch) -> None:
    """90 furlongs is no volume, whatever is read in; the example is."""
    monkeypatch.setattr(reading_in, "_asked", [lambda: "US"])
    with pytest.raises(Refused, match=r'"8\.5 fl oz"'):
        kettle("heat.clear").do(c.Refill("x 9"))


@pytest.mark.parametrize("ramp", [1.3, 1.7])
def test_a_clock_runs_what_its_figure_says(settled_of, ramp) -> None:
    """45 °C at 1.3 or 1.7 °C a minute are 34.6 or 26.5 min, and the bath cools in no whole minutes either."""
    sheet = work_sheet(settled_of(("ramp = 1.5", f"ramp = {ramp}"), method="kettle"))
    for role, figure in (("ramp", "kettle.ramp"), ("cool", "cool.time")):
        clock = sheet.clock_for(role, 1)
        assert show(clock.minutes, "min") == show(sheet.figure(figure).value, "min")
        assert clock.minutes == float(f"{clock.minutes:.3g}"), "nothing beyond what is shown"
