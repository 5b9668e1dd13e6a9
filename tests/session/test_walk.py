"""A session walked from the first step to the close, and the rules on the way."""

from __future__ import annotations

import msgspec
import pytest

from studio.plan.shapes import Caution
from studio.session import commands as c
from studio.session.after.review import planned_and_actual, ratings, stage_times
from studio.session.asked import ReallyMeant, Refused
from studio.session.folding import replay
from studio.session.live.applies import CONDITIONS, Here
from studio.session.path import current_step, progress
from studio.session.step_rules import gate_digit
from studio.session.timers import running


def now_step(session) -> str:  # type: ignore[no-untyped-def]
    step = current_step(session.state, session.clock.now())
    return step.id if step else ""


def test_the_whole_session_and_its_replay(begin, keeper) -> None:
    session = begin(to="record.close")
    session.do(c.PassGate("record.close", gate_digit(session.state, "record.close", session.missed)))
    session.do(c.Finish())
    assert session.state.outcome == "finished"
    again = replay(keeper.events)
    assert again == session.state
    assert all(p.standing == "done" for p in progress(again, session.clock.now()))
    assert set(ratings(again)) == {"rinsed clear", "colour went through", "sharp edges", "even"}
    assert next(t.stage for t in stage_times(again)) == "ready"
    assert all(abs(row.difference_percent or 0) < 60 for row in planned_and_actual(again))


def test_stocks_are_mixed_while_the_fibre_soaks(begin) -> None:
    session = begin(to="presoak.in")
    session.do(c.Close("presoak.in"))
    assert now_step(session) == "stocks.rust.dye"
    assert [v.id for v in running(session.state, session.clock.now())] == ["presoak"]
    with pytest.raises(Refused, match="runs until"):
        session.do(c.Close("presoak.wait"))


def test_the_set_counts_from_rolling_steam_not_from_the_pot(begin) -> None:
    session = begin(to="steam.on")
    session.do(c.Close("steam.on"))
    session.clock.advance(540)
    assert "steam" not in session.state.timers
    session.do(c.Close("steam.rolling"))
    views = {v.id: v for v in running(session.state, session.clock.now())}
    assert views["steam"].left_s == 36 * 60
    assert views["pot-water"].left_s == 15 * 60


def test_the_pot_water_alarm_comes_back_until_the_set_is_over(begin) -> None:
    session = begin(to="steam.hold")
    session.clock.advance(15 * 60)
    session.tick()
    alarm = next(a for a in session.state.alarms if a.timer == "pot-water" and a.standing)
    session.clock.advance(20)
    session.do(c.Acknowledge(alarm.n))
    assert session.state.alarms[-1].acknowledged_after_s == 20
    assert session.state.timers["pot-water"].round == 2
    session.clock.advance(15 * 60)
    session.tick()
    session.do(c.Acknowledge(next(a.n for a in session.state.alarms if a.standing)))
    assert session.state.timers["pot-water"].round == 3, "and so on until the set is over"
    session.clock.advance(6 * 60)
    session.tick()
    session.do(c.Close("steam.hold"))
    assert not session.state.timers["pot-water"].running
    assert not session.state.timers["steam"].running


def test_a_gate_takes_its_digit_and_nothing_else(begin) -> None:
    session = begin(to="ready.kit")
    for command in (c.Close("ready.kit"), c.PassGate("ready.kit", 0), c.PassGate("ready.weight", 5)):
        with pytest.raises(Refused):
            session.do(command)
    with pytest.raises(Refused, match="reason"):
        session.do(c.Override("ready.kit", " . "))
    with pytest.raises(Refused, match="not left out"):
        session.do(c.Skip("ready.kit", "no time for it"))
    session.do(
        c.PassGate("ready.kit", gate_digit(session.state, "ready.kit", session.missed), session.missed)
    )
    assert session.state.step("ready.kit").state == "passed"


def test_an_override_is_kept_with_its_reason(begin) -> None:
    session = begin(to="steam.hold")
    session.clock.advance(60)
    session.do(c.Override("steam.hold", "gas ran out", meant=True))
    record = session.state.step("steam.hold")
    assert (record.state, record.why) == ("overridden", "gas ran out")
    assert session.state.timers["steam"].stopped_after_s == 60


def test_a_value_far_off_is_asked_about_once_and_marked(begin) -> None:
    session = begin(to="ready.weight")
    with pytest.raises(ReallyMeant, match="Expected 90 to 110 g"):
        session.do(c.Measure("ready.weight", "42"))
    session.do(c.Measure("ready.weight", "42", meant=True))
    record = session.state.step("ready.weight")
    assert record.flagged and record.value == 42 and record.typed == "42"


@pytest.mark.parametrize(("typed", "grams"), [("101,5", 101.5), ("101.5 g", 101.5), ("0.1 kg", 100.0)])
def test_values_may_carry_their_unit(begin, typed: str, grams: float) -> None:
    session = begin(to="ready.weight")
    session.do(c.Measure("ready.weight", typed))
    assert session.state.step("ready.weight").value == pytest.approx(grams)


@pytest.mark.parametrize("typed", ["", "nan", "1e400", "1,234.5", "five", "100 mL", "-5", "٣", "1_0"])
def test_values_that_cannot_be_are_refused_and_nothing_changes(begin, typed: str) -> None:
    session = begin(to="ready.weight")
    before = session.state
    with pytest.raises(Refused):
        session.do(c.Measure("ready.weight", typed, meant=True))
    assert session.state == before


def test_correct_correct_again_and_undo_twice(begin) -> None:
    session = begin(to="ready.weight")
    session.do(c.Measure("ready.weight", "99"))
    session.do(c.Correct("ready.weight", "101", "misread the scale"))
    session.do(c.Correct("ready.weight", "102", "tare was off"))
    record = session.state.step("ready.weight")
    assert record.value == 102
    assert [(o.what, o.why) for o in record.earlier] == [
        ("99 g", "misread the scale"),
        ("101 g", "tare was off"),
    ]
    session.do(c.Undo())
    assert session.state.step("ready.weight").value == 101
    session.do(c.Undo())
    assert session.state.step("ready.weight").value == 99
    session.do(c.Undo())
    record = session.state.step("ready.weight")
    assert not record.closed
    assert {"99 g", "101 g", "102 g"} <= {o.what for o in record.earlier}


def test_undo_of_a_start_takes_its_clocks_back(begin) -> None:
    session = begin(to="steam.rolling")
    session.clock.advance(600)
    session.do(c.Close("steam.rolling"))
    session.do(c.Undo())
    assert not {"steam", "pot-water"} & set(session.state.timers)
    session.clock.advance(30)
    session.do(c.Close("steam.rolling"))
    assert session.state.timers["steam"].started.wall_ns == session.clock.now().wall_ns


def test_undo_of_an_end_lets_the_clock_run_on(begin) -> None:
    session = begin(to="steam.hold")
    session.clock.advance(36 * 60)
    session.tick()
    session.do(c.Close("steam.hold"))
    session.clock.advance(60)
    session.do(c.Undo())
    view = next(v for v in running(session.state, session.clock.now()) if v.id == "steam")
    assert view.left_s == -60


def test_warnings_are_taken_on_one_by_one(begin, sheet_of) -> None:
    cautions = tuple(
        Caution(id=f"w{i}", level="warn", text=f"warning {i}", source="house rule") for i in range(2)
    )
    session = begin(sheet_of(*cautions))
    session.do(c.Close("ready.sound"))
    assert now_step(session) == "ready.cautions"
    with pytest.raises(Refused):
        session.do(c.Close("ready.cautions"))
    session.do(c.AcceptCaution("w0", "tested on a swatch"))
    assert now_step(session) == "ready.cautions"
    session.do(c.AcceptCaution("w1", "small amount"))
    assert now_step(session) == "ready.kit"
    assert dict(session.state.accepted) == {"w0": "tested on a swatch", "w1": "small amount"}


def test_a_stop_keeps_a_session_from_beginning(begin, sheet_of) -> None:
    stop = Caution(id="fibre.nothing-takes", level="stop", text="Nothing takes this dye.", source="x")
    with pytest.raises(Refused, match="Nothing takes"):
        begin(sheet_of(stop))


def test_alarm_pre_alerts_once_each_then_due(begin) -> None:
    session = begin(to="steam.hold")
    raised = []
    for _ in range(60 * 36 + 2):
        session.clock.advance(1)
        raised.extend(
            ev.data["level"]
            for ev in session.tick()
            if ev.kind == "alarm.raised" and ev.data["timer"] == "steam"
        )
    assert raised == ["60 s", "10 s", "due"]


def test_sleep_with_ten_minutes_left_is_overdue_by_four(begin) -> None:
    session = begin(to="steam.hold")
    session.clock.advance(26 * 60)
    session.tick()
    session.clock.change(wall_s=14 * 60, boot_s=14 * 60)
    kinds = [ev.kind for ev in session.tick()]
    assert "clock.suspended" in kinds and "alarm.raised" in kinds
    view = next(v for v in running(session.state, session.clock.now()) if v.id == "steam")
    assert view.left_s == -4 * 60


@pytest.mark.parametrize("step_s", [3600, -3600, -1.7e9, 2.3e9])
def test_a_set_wall_clock_is_written_down_and_moves_nothing(begin, step_s: float) -> None:
    session = begin(to="steam.hold")
    session.tick()
    session.clock.advance(60)
    session.clock.change(wall_s=step_s)
    events = session.tick()
    assert [ev.data["seconds"] for ev in events if ev.kind == "clock.stepped"] == [step_s]
    view = next(v for v in running(session.state, session.clock.now()) if v.id == "steam")
    assert view.left_s == 35 * 60


def test_after_a_restart_the_dyer_is_asked(begin) -> None:
    session = begin(to="steam.hold")
    session.clock.change(wall_s=50 * 60, boot_s=-4_000, mono_s=-3_000, boot="boot-b")
    assert not [ev for ev in session.tick() if ev.kind == "alarm.raised"]
    with pytest.raises(Refused, match="lost count"):
        session.do(c.Close("steam.hold"))
    session.do(c.ConfirmElapsed("steam", 20))
    view = next(v for v in running(session.state, session.clock.now()) if v.id == "steam")
    assert (view.sure, view.left_s) == (True, 16 * 60)


def test_a_closed_session_takes_only_remarks(begin, keeper) -> None:
    session = begin()
    session.do(c.Abandon("the pot is needed elsewhere"))
    with pytest.raises(Refused):
        session.do(c.Close("ready.sound"))
    session.do(c.AddNote("tried again next day"))
    assert keeper.events[-1].kind == "addendum"
    assert session.state.notes[-1].addendum


def test_after_a_restart_a_wait_is_not_passed_over_before_its_time_is_told(begin) -> None:
    session = begin(to="steam.hold")
    session.clock.change(wall_s=50 * 60, boot_s=-4_000, mono_s=-3_000, boot="boot-b")
    with pytest.raises(Refused, match="say first how long steam set has run"):
        session.do(c.Override("steam.hold", "it smells done"))
    session.do(c.ConfirmElapsed("steam", 20))
    session.do(c.Override("steam.hold", "it smells done"))
    assert session.state.timers["steam"].stopped_after_s == 20 * 60


def test_a_clock_that_rang_and_was_given_more_time_rings_again(begin) -> None:
    session = begin(to="steam.hold")
    session.clock.advance(36 * 60)
    session.tick()
    session.do(c.ExtendTimer("steam", 5, "pale at the back"))
    levels = []
    for _ in range(6 * 60):
        session.clock.advance(1)
        levels += [ev.data["level"] for ev in session.tick() if ev.data.get("timer") == "steam"]
    assert levels == ["60 s", "10 s", "due"]


@pytest.mark.parametrize(("seconds", "told"), [(1.5, False), (3.0, True), (-3.0, True)])
def test_a_wall_clock_set_by_three_seconds_is_written_down(begin, seconds: float, told: bool) -> None:
    session = begin()
    session.tick()
    session.clock.change(wall_s=seconds)
    assert ("clock.stepped" in [ev.kind for ev in session.tick()]) is told


@pytest.mark.parametrize(("seconds", "told"), [(1.5, False), (3.0, True)])
def test_three_seconds_of_sleep_are_written_down(begin, seconds: float, told: bool) -> None:
    session = begin()
    session.tick()
    session.clock.change(wall_s=seconds, boot_s=seconds)
    assert ("clock.suspended" in [ev.kind for ev in session.tick()]) is told


def test_more_time_counts_from_now_where_the_clock_is_over_already(begin) -> None:
    session = begin(to="steam.hold")
    session.clock.advance(41 * 60)
    session.tick()
    session.do(c.ExtendTimer("steam", 5, "pale at the back"))
    view = next(v for v in running(session.state, session.clock.now()) if v.id == "steam")
    assert view.left_s == 5 * 60


@pytest.mark.parametrize(("typed", "asked"), [("89.9", True), ("90", False), ("110", False), ("110.1", True)])
def test_a_weight_off_by_more_than_a_tenth_is_asked_about(begin, typed: str, asked: bool) -> None:
    session = begin(to="ready.weight")
    if asked:
        with pytest.raises(ReallyMeant):
            session.do(c.Measure("ready.weight", typed))
    else:
        session.do(c.Measure("ready.weight", typed))
    assert session.state.step("ready.weight").closed is not asked


def test_only_the_sound_check_left_out_says_that_the_alarm_was_not_heard(begin) -> None:
    session = begin(to="ready.sound")
    session.do(c.Skip("ready.sound", "no speaker here"))
    assert session.state.sound_heard is False
    other = begin(to="ready.room")
    other.do(c.Skip("ready.room", "out of doors"))
    assert other.state.sound_heard is True


@pytest.mark.parametrize("form", ["blank", "skein"])
def test_a_forecast_is_offered_of_a_blank_alone(begin, form: str) -> None:
    session = begin()
    choices = msgspec.structs.replace(session.state.choices, form=form)
    state = msgspec.structs.replace(session.state, choices=choices)
    assert CONDITIONS["blank"](Here(state, session.clock.now())) is (form == "blank")
