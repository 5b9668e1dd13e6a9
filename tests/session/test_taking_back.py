"""What undo takes back and brings back, and the clocks and alarms that hang on it."""

from __future__ import annotations

import pytest

from studio.plan.shapes import Caution
from studio.report.telling import named, offer, question, tell
from studio.session import alarms
from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.events import parts
from studio.session.folding import after_the_end, drafted, kinds, replay
from studio.session.kinds.heat import RinseRound
from studio.session.kinds.paint import LeftoverKept
from studio.session.kinds.steps import ClosesAStep
from studio.session.run import Running
from studio.session.step_rules import correctable, gate_digit
from studio.session.taking_back import TakingBack, newest, offered, taking_back


def ids(timers) -> list[str]:  # type: ignore[no-untyped-def]
    return sorted(timer.id for timer in timers)


def back_of(session: Running) -> TakingBack:
    event = newest(session.state)
    assert event is not None
    return taking_back(session.state, event)


def told(session: Running) -> str:
    return question(session.state, back_of(session))


def bring_back(session: Running) -> None:
    """Undo the newest undo."""
    session.do(c.Undo(next(event.n for event in offered(session.state) if event.kind == "undone")))


def test_nothing_is_taken_back_at_the_beginning(begin) -> None:
    session = begin()
    assert newest(session.state) is None and not offered(session.state)
    with pytest.raises(Refused, match="nothing to take back"):
        session.do(c.Undo())


def test_accepted_warnings_are_not_taken_back_once_their_gate_is_open(begin, sheet_of) -> None:
    caution = Caution(id="w", level="warn", text="a warning", source="house rule")
    session = begin(sheet_of(caution))
    session.do(c.Close("ready.sound"))
    (event,) = session.do(c.AcceptCaution("w", "tried before"))
    assert session.state.step("ready.cautions").closed
    assert event.n not in [one.n for one in offered(session.state)]
    with pytest.raises(Refused, match="cannot be taken back"):
        session.do(c.Undo(event.n))


def test_one_of_two_warnings_is_taken_back(begin, sheet_of) -> None:
    cautions = tuple(Caution(id=i, level="warn", text=f"warning {i}", source="house rule") for i in "vw")
    session = begin(sheet_of(*cautions))
    session.do(c.Close("ready.sound"))
    (accepted,) = session.do(c.AcceptCaution("w", "tried before"))
    (undone,) = session.do(c.Undo())
    assert not session.state.accepted and undone.data["ref"] == accepted.n
    session.do(c.Undo(undone.n))
    assert session.state.accepted == {"w": "tried before"}


def test_a_value_and_its_correction_touch_no_clock(exactly_at) -> None:
    session = exactly_at("presoak.water", {"ready.weight": "101"})
    assert not back_of(session).asked_about
    assert told(session) == "This takes back 'Dry fibre weighed: 101 g'."
    session.do(c.Correct("ready.weight", "102", "misread"))
    assert not back_of(session).asked_about
    assert "corrected: Dry fibre weighed: 102 g" in told(session)
    session.do(c.Undo())
    assert session.state.step("ready.weight").value == 101.0
    assert [earlier.what for earlier in session.state.step("ready.weight").earlier] == ["102 g"]


def test_rolling_steam_has_two_clocks_that_would_stop(exactly_at) -> None:
    session = exactly_at("steam.hold")
    back = back_of(session)
    assert ids(back.stopped) == ["pot-water", "steam"] and not back.going_again and not back.lost
    assert told(session).startswith("This takes back 'Steam is rolling")
    assert "' and stops the clocks '" in told(session)
    for timer in back.stopped:
        assert f"'{timer.label}' of {timer.minutes:g} min" in told(session)
    session.do(c.Undo())
    assert not {"pot-water", "steam"} & set(session.state.timers), "what was foretold is what happens"


def test_a_wait_that_was_ended_would_run_on(exactly_at) -> None:
    session = exactly_at("steam.hold")
    session.do(c.Override("steam.hold", "hot enough", meant=True))
    back = back_of(session)
    assert ids(back.going_again) == ["pot-water", "steam"] and not back.stopped
    assert "going again" in told(session)
    session.do(c.Undo())
    assert all(session.state.timers[one].running for one in ("pot-water", "steam"))


def test_an_undo_taken_back_brings_clock_start_and_alarm_back(exactly_at) -> None:
    session = exactly_at("steam.hold")
    session.clock.advance(10 * 60)
    session.tick()
    session.clock.advance(26 * 60)
    session.tick()
    before = session.state
    assert [alarm.timer for alarm in alarms.standing(before)] == ["steam"]
    session.do(c.Undo())
    assert "steam" not in session.state.timers and not session.state.alarms[len(before.alarms) - 1 :]
    assert not alarms.standing(session.state), "the alarm stood only with its clock"
    bring_back(session)
    assert session.state.timers == before.timers and session.state.alarms == before.alarms
    assert session.state.step("steam.rolling") == before.step("steam.rolling")
    assert tell(session.last_events[0], session.state).startswith("brought back: Steam is rolling")


def test_two_steps_taken_back_come_back_in_order(exactly_at) -> None:
    session = exactly_at("presoak.acid", {"ready.weight": "101", "presoak.water": "1990"})
    session.do(c.Undo())
    (first,) = session.last_events
    session.do(c.Undo())
    assert not session.state.step("ready.weight").closed and not session.state.step("presoak.water").closed
    with pytest.raises(Refused, match=r"^Bring back first what came after it: 'Dry fibre weighed'\.$"):
        session.do(c.Undo(first.n))
    bring_back(session)
    bring_back(session)
    assert (
        session.state.step("ready.weight").value == 101 and session.state.step("presoak.water").value == 1990
    )


def test_a_step_is_not_brought_back_over_another_that_was_done_since(exactly_at) -> None:
    session = exactly_at("presoak.water", {"ready.weight": "101"})
    session.do(c.Undo())
    session.do(c.Measure("ready.weight", "99"))
    assert all(event.kind != "undone" for event in offered(session.state))
    assert session.state.step("ready.weight").value == 99


def test_an_earlier_step_waits_for_the_later_one(exactly_at) -> None:
    session = exactly_at("presoak.acid", {"ready.weight": "101", "presoak.water": "1990"})
    weighed = next(ev for ev in session.state.log if ev.data.get("step") == "ready.weight")
    with pytest.raises(Refused, match=r"^Take back first what came after it: 'Soaking water poured'\.$"):
        session.do(c.Undo(weighed.n))


PAINTED = {"paint.kelp.mix": "48"}
MADE: dict[str, tuple[str, tuple[c.Command, ...]]] = {
    "noted": ("paint.apply", (c.AddNote("windy"),)),
    "noted.late": ("paint.apply", (c.NoteLate("15:13 windy"),)),
    "photo.added": ("paint.apply", (c.AddPhoto("photos/a.jpg"),)),
    "reading.taken": ("cool.wait", (c.TakeReading("packet", "39", meant=True),)),
    "band.painted": ("paint.apply", (c.PaintBand(3),)),
    "paint.left": ("paint.apply", (c.PaintLeft("rust", "9"),)),
    "batch.mixed": ("paint.apply", (c.MixMore("rust", "9 mL", meant=True),)),
    "bath.looked": ("heat.clear", (c.Measure("heat.clear", "3"),)),
    "acid.dosed": ("heat.clear", (c.DoseAcid("5 mL"),)),
    "pot.refilled": ("steam.hold", (c.Refill("500"),)),
    "pot.read": ("steam.hold", (c.ReadPot("800"),)),
    "leftover.kept": ("record.leftovers", (c.KeepLeftover("rust", "3 mL"),)),
    "drops.counted": ("paint.apply", (c.CountDrops("40 drops in 2 mL"),)),
    "swatch.counted": ("ready.weight", (c.CountSwatch("rust 6 solid"),)),
    "step.done": ("presoak.in", (c.Close("presoak.in"),)),
    "step.measured": ("ready.weight", (c.Measure("ready.weight", "101"),)),
    "step.not_measured": ("ready.weight", (c.NotMeasured("ready.weight", "the scale is flat"),)),
    "step.skipped": ("ready.room", (c.Skip("ready.room", "aired already"),)),
    "step.overridden": ("steam.hold", (c.Override("steam.hold", "hot enough", meant=True),)),
    "corrected": ("presoak.water", (c.Correct("ready.weight", "102", "misread"),)),
    "timer.started": ("steam.hold", (c.PacketIn("floats"),)),
    "timer.stopped": ("steam.hold", (c.PacketIn("floats"), c.PacketOut("packet-2"))),
    "timer.extended": ("steam.hold", (c.ExtendTimer("steam", -5, "hot before"),)),
    "timer.confirmed": ("steam.hold", (c.ConfirmElapsed("steam", 12.0),)),
    "steam.stopped": ("steam.hold", (c.ToggleSteam(),)),
    "steam.again": ("steam.hold", (c.ToggleSteam(), c.ToggleSteam())),
    "rinse.round": ("rinse.rounds", (c.Measure("rinse.rounds", "5"),)),
    "set.added": ("rinse.rounds", (c.Measure("rinse.rounds", "2"), c.SetAgain("it bleeds"))),
}
"""For each kind where it is done, and what is done; the last of it is the one that is taken back."""
FREE, LAST = (
    {name for name, kind in kinds().items() if kind.undo == way} - {"undone"} for way in ("free", "last")
)
NEVER = set(filter(after_the_end, kinds())) - FREE | {
    "session.opened", "session.resumed", "session.left", "session.finished", "alarm.raised", "alarm.acknowledged",
    "alarm.snoozed", "clock.stepped", "clock.suspended",
}  # fmt: skip
SHEETS = {"bath.looked": "slack-water", "acid.dosed": "slack-water", "swatch.counted": "tidewrack-stripes"}
ELSEWHERE = {"gate.passed", "caution.accepted"}
"""Of these two the tests beside this one."""


def test_every_kind_is_free_last_or_never_and_each_that_may_go_is_tried() -> None:
    assert kinds().keys() == FREE | LAST | NEVER | {"undone"}
    assert not (FREE & LAST or FREE & NEVER or LAST & NEVER)
    assert MADE.keys() | ELSEWHERE == FREE | LAST


@pytest.mark.parametrize("kind", MADE)
@pytest.mark.one_in(3)
def test_each_kind_is_taken_back_as_if_it_had_not_been_and_comes_back_whole(
    exactly_at, sample_sheet, without_history, kind: str
) -> None:
    place, commands = MADE[kind]
    session = exactly_at(place, PAINTED, sample_sheet(SHEETS[kind]) if kind in SHEETS else None)
    for command in commands:
        session.clock.advance(8 * 60)
        session.tick()
        before = without_history(session.state)
        (event,) = session.do(command)
    assert event.kind == kind and named(session.state, event)
    if kind in FREE and not any(isinstance(part, ClosesAStep) for part in parts(event.told)):
        since = (c.AddNote("something since"), c.TakeReading("room", "19"))
        for command in since:
            session.do(command)
    with_it = without_history(session.state)
    assert with_it != before
    left_out = without_history(replay([one for one in session.state.log if one.n != event.n]))
    (undone,) = session.do(c.Undo(event.n))
    assert without_history(session.state) == left_out
    assert undone.data == {"ref": event.n, "undone": kind}
    assert tell(undone, session.state).startswith("taken back: ")
    session.do(c.Undo(undone.n))
    assert without_history(session.state) == with_it
    assert tell(session.last_events[0], session.state).startswith("brought back: ")


def test_a_gate_is_taken_back_and_comes_back(exactly_at, without_history) -> None:
    session = exactly_at("ready.kit")
    before = without_history(session.state)
    (event,) = session.do(c.PassGate("ready.kit", gate_digit(session.state, "ready.kit")))
    with_it = without_history(session.state)
    (undone,) = session.do(c.Undo(event.n))
    assert without_history(session.state) == before != with_it
    session.do(c.Undo(undone.n))
    assert without_history(session.state) == with_it


def test_a_band_that_was_put_right_waits_for_that(exactly_at) -> None:
    session = exactly_at("paint.apply")
    (painted,) = session.do(c.PaintBand(2))
    (right,) = session.do(c.PaintBand(2, "rust" if painted.data["jar"] != "rust" else "kelp"))
    with pytest.raises(Refused, match="the jar of the band put right"):
        session.do(c.Undo(painted.n))
    session.do(c.Undo(right.n))
    assert session.state.coats[-1].event.jar == painted.data["jar"]
    session.do(c.Undo(painted.n))
    assert not session.state.coats


def test_what_is_left_of_a_colour_stays_once_the_gate_that_asks_for_it_is_open(exactly_at) -> None:
    session = exactly_at("record.leftovers")
    kept = [session.do(c.KeepLeftover(colour, "3 mL"))[0] for colour in ("rust", "kelp")]
    session.do(c.Undo(kept[0].n))
    assert [one.event.colour for one in session.state.kept(LeftoverKept)] == ["kelp"]
    session.do(c.KeepLeftover("rust", "2 mL"))
    assert {one.event.colour: one.event.ml for one in session.state.kept(LeftoverKept)} == {
        "kelp": 3.0,
        "rust": 2.0,
    }


def test_steam_lost_and_back_are_taken_back_from_the_newest(exactly_at) -> None:
    session = exactly_at("steam.hold")
    session.clock.advance(300)
    (lost,) = session.do(c.ToggleSteam())
    session.clock.advance(600)
    (again,) = session.do(c.ToggleSteam())
    longer = session.state.timers["steam"].minutes
    with pytest.raises(Refused, match="the steam rolling again"):
        session.do(c.Undo(lost.n))
    session.do(c.Undo(again.n))
    timer = session.state.timers["steam"]
    assert timer.paused is not None and timer.minutes < longer, "with the reheating that was added for it"
    session.do(c.Undo(lost.n))
    assert session.state.timers["steam"].paused is None and not session.state.steam_off


def test_a_second_set_is_taken_back_whole(exactly_at) -> None:
    session = exactly_at("rinse.water")
    session.do(c.Measure("rinse.water", "30", meant=True))
    session.do(c.Measure("rinse.rounds", "2"))
    before = session.state
    session.do(c.SetAgain("it bleeds"))
    assert session.state.sets == 2 and session.state.find_step("steam-2.again") is not None
    session.do(c.Undo())
    after = session.state
    assert (after.worksheet, after.sets, after.kept(RinseRound)) == (
        before.worksheet,
        1,
        before.kept(RinseRound),
    )
    assert not after.step("rinse.rounds").closed


def test_alarms_and_jumps_are_never_taken_back(exactly_at, keeper) -> None:
    session = exactly_at("presoak.wait")
    session.clock.advance(7200)
    session.tick()
    (raised,) = [event for event in session.state.log if event.kind == "alarm.raised"][-1:]
    session.do(c.Acknowledge(alarms.standing(session.state)[0].n))
    (answered,) = session.last_events
    for never in (raised.n, answered.n, 1):
        with pytest.raises(Refused, match="cannot be taken back"):
            session.do(c.Undo(never))


def test_the_list_names_what_each_entry_would_do(exactly_at) -> None:
    session = exactly_at("paint.apply")
    session.do(c.AddNote("windy"))
    session.do(c.PaintBand(1))
    session.do(c.Undo())
    lines = [offer(session.state, event) for event in offered(session.state)]
    assert lines[0].startswith("bring back band 1 painted") and lines[1] == "note: windy"


def test_undo_is_offered_for_a_closed_step_only_where_it_would_open_it(exactly_at) -> None:
    session = exactly_at("presoak.water", {"ready.weight": "101"})
    with pytest.raises(
        Refused, match=r"Already closed: Dry fibre weighed\. It can be taken back \(.bench\.undo.\)\.$"
    ):
        session.do(c.Measure("ready.weight", "102"))
    session.do(c.Measure("presoak.water", "2000"))
    with pytest.raises(Refused, match=r"Already closed: Dry fibre weighed\.$"):
        session.do(c.Measure("ready.weight", "102"))


def test_the_value_given_last_is_corrected_first(exactly_at) -> None:
    session = exactly_at("presoak.acid", {"ready.weight": "101", "presoak.water": "1990"})
    assert [step.id for step in correctable(session.state)] == ["presoak.water", "ready.weight"]
    session.do(c.NotMeasured("presoak.acid", "the jug broke"))
    assert correctable(session.state)[0].id == "presoak.acid"


def test_a_file_that_takes_back_what_no_undo_may_name_is_read_as_if_it_had_not(exactly_at, keeper) -> None:
    session = exactly_at("presoak.water", {"ready.weight": "101"})
    last = keeper.events[-1]
    for ref in (1, last.n + 1, last.n + 2, 999):
        undone = drafted(last.n + 1, "undone", {"ref": ref, "undone": "x"}, last.moment)
        state = replay([*keeper.events, undone])
        assert state.steps == session.state.steps and "back" in tell(undone, state)


def test_parts_of_an_event_go_with_it(exactly_at) -> None:
    session = exactly_at("presoak.in")
    (event,) = session.do(c.Close("presoak.in"))
    assert [part.kind for part in parts(event.told)] == ["step.done", "timer.started"]
    session.do(c.Undo(event.n))
    assert not session.state.timers
