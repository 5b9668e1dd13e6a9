"""What undo would take back, and the clocks that hang on it."""

from __future__ import annotations

import pytest

from studio.plan.shapes import Caution
from studio.report.taking_back_words import named, question
from studio.session import commands as c
from studio.session.refusals import Refused
from studio.session.step_rules import correctable
from studio.session.taking_back import taking_back


def ids(timers) -> list[str]:  # type: ignore[no-untyped-def]
    return sorted(timer.id for timer in timers)


def test_nothing_is_taken_back_at_the_beginning(begin) -> None:
    assert taking_back(begin().state) is None


def test_accepted_warnings_are_not_taken_back(begin, sheet_of, facts_of) -> None:
    caution = Caution(id="w", level="warn", text="a warning", source="house rule")
    session = begin(sheet_of(facts_of(has_warnings=True), (caution,)))
    session.do(c.Close("ready.sound"))
    session.do(c.AcceptCaution("w", "tried before"))
    assert session.state.step("ready.cautions").closed and taking_back(session.state) is None


def test_a_value_and_its_correction_touch_no_clock(exactly_at) -> None:
    session = exactly_at("presoak.water", {"ready.weight": "101"})
    back = taking_back(session.state)
    assert back is not None and not back.asked_about
    assert question(back) == "This takes back 'Dry fibre weighed', 101 g."
    session.do(c.Correct("ready.weight", "102", "misread"))
    back = taking_back(session.state)
    assert back is not None and not back.asked_about
    assert named(back) == "the correction of 'Dry fibre weighed', 102 g"


def test_rolling_steam_has_two_clocks_that_would_stop(exactly_at) -> None:
    session = exactly_at("steam.hold")
    back = taking_back(session.state)
    assert back is not None and back.step.id == "steam.rolling"
    assert ids(back.lost) == ["pot-water", "steam"] and not back.going_again
    told = question(back)
    assert told.startswith("This takes back 'Steam is rolling' (marked) and stops the clocks ")
    for timer in back.lost:
        assert f"'{timer.label}' of {timer.minutes:g} min" in told
    session.do(c.Undo())
    assert not {"pot-water", "steam"} & set(session.state.timers), "what was foretold is what happens"


def test_a_wait_that_was_ended_would_run_on(exactly_at) -> None:
    session = exactly_at("steam.hold")
    session.do(c.Override("steam.hold", "hot enough", meant=True))
    back = taking_back(session.state)
    assert back is not None and ids(back.going_again) == ["pot-water", "steam"] and not back.lost
    assert "going again" in question(back)
    session.do(c.Undo())
    assert all(session.state.timers[one].running for one in ("pot-water", "steam"))


@pytest.mark.parametrize(
    "beside",
    [c.PaintBand(3), c.PaintLeft("rust", "9"), c.MixMore("rust", "9 mL"), c.AddNote("windy"),
     c.TakeReading("room", "19"), c.AddPhoto("photos/a.jpg")],
    ids=lambda command: type(command).__name__,
)  # fmt: skip
def test_undo_never_passes_for_what_it_would_not_take_back(exactly_at, beside) -> None:
    session = exactly_at("paint.apply", {"paint.kelp.mix": "48"})
    session.do(beside)
    back = taking_back(session.state)
    assert back is not None and back.asked_about
    assert question(back) == "This takes back 'Paint for kelp mixed', 48 mL; what was done since stays."


def test_undo_is_offered_for_a_closed_step_only_where_it_would_open_it(exactly_at) -> None:
    session = exactly_at("presoak.water", {"ready.weight": "101"})
    with pytest.raises(Refused, match=r"Already closed: Dry fibre weighed\. It can be taken back \(U\)\.$"):
        session.do(c.Measure("ready.weight", "102"))
    session.do(c.Measure("presoak.water", "2000"))
    with pytest.raises(Refused, match=r"Already closed: Dry fibre weighed\.$"):
        session.do(c.Measure("ready.weight", "102"))


def test_the_value_given_last_is_corrected_first(exactly_at) -> None:
    session = exactly_at("presoak.acid", {"ready.weight": "101", "presoak.water": "1990"})
    assert [step.id for step in correctable(session.state)] == ["presoak.water", "ready.weight"]
    session.do(c.NotMeasured("presoak.acid", "the jug broke"))
    assert correctable(session.state)[0].id == "presoak.acid"
