"""What can hardly be so is doubted once, in one sentence that says what is odd; taken if meant, marked, and counted on.

Plan: 1 500 mL in the pot over 940.2 W, so 1500 x 4.19 x (99.97 - 15) / (60 x 940.2) = 9.5 min to steam from cold; a
set of 36 min; 40 mL of white vinegar in 2 L; rust of 24 mL of 1 % stock in 48 mL of paint; four bands to paint.
"""

from __future__ import annotations

import re

import pytest

from studio.plan.sheet import work_sheet
from studio.quantity import reading_in
from studio.quantity.reading_in import in_units
from studio.quantity.showing import show
from studio.session import commands as c
from studio.session.asked import ReallyMeant, Refused, asked_in, read_value, told_of
from studio.session.kinds.heat import ReadingTaken
from studio.session.kinds.paint import LeftoverKept
from studio.session.live.applies import CONDITIONS, Here
from studio.session.live.painting import in_jar_ml
from studio.session.sheet import sheet_now
from studio.session.step_rules import range_told
from studio.words.questions import leftover_label
from tests.session.conftest import doubted, meant


def test_steam_seconds_after_pot_on(exactly_at) -> None:
    session = exactly_at("steam.on")
    session.do(c.Close("steam.on"))
    session.clock.advance(4)
    doubted(session, c.Close("steam.rolling"), "4 s", "9.5 min", "cold")
    meant(session, c.Close("steam.rolling"), "step.done")
    assert session.state.step("steam.rolling").flagged
    assert session.state.timers["steam"].running


def test_steam_is_doubted_up_to_a_tenth_of_what_cold_water_takes(exactly_at) -> None:
    """1500 g x 4.19 J/gK x 85 K / 1000 W = 534 s, and a tenth of it is 53 s."""
    session = exactly_at("steam.on")
    session.do(c.Close("steam.on"))
    session.clock.advance(52)
    doubted(session, c.Close("steam.rolling"), "52 s")


@pytest.mark.parametrize("seconds", [57, 60, 600])
def test_hot_water_in_the_pot_is_not_doubted(exactly_at, seconds: int) -> None:
    """A pot put on hot rolls within a minute; only what no ring can do is doubted."""
    session = exactly_at("steam.on")
    session.do(c.Close("steam.on"))
    session.clock.advance(seconds)
    (event,) = [ev for ev in session.do(c.Close("steam.rolling")) if ev.kind == "step.done"]
    assert "flagged" not in event.data and not session.state.step("steam.rolling").flagged


def test_a_set_ended_after_one_second(exactly_at) -> None:
    session = exactly_at("steam.hold")
    session.clock.advance(1)
    doubted(session, c.Override("steam.hold", "the gas ran out"), "1 s", "36 min")
    meant(session, c.Override("steam.hold", "the gas ran out"), "step.overridden")
    assert session.state.timers["steam"].stopped_after_s == pytest.approx(1)


def test_a_wait_whose_clock_has_run_out_is_done_and_not_passed(exactly_at) -> None:
    session = exactly_at("steam.hold")
    session.clock.advance(59 * 60)
    assert not CONDITIONS["gate"](Here(session.state, session.clock.now()))
    with pytest.raises(Refused, match="run out"):
        session.do(c.Override("steam.hold", "it ran long enough", meant=True))
    session.do(c.Close("steam.hold", meant=True))
    assert session.state.step("steam.hold").state == "done"


def test_a_set_ended_near_its_time_is_taken_with_its_reason(exactly_at) -> None:
    session = exactly_at("steam.hold")
    session.clock.advance(19 * 60)
    (event,) = [
        ev for ev in session.do(c.Override("steam.hold", "the gas ran out")) if ev.kind == "step.overridden"
    ]
    assert "flagged" not in event.data


def test_a_hold_of_a_kettle_is_doubted_alike_and_cooling_is_not(exactly_at, sheet_of) -> None:
    session = exactly_at("heat.hold", None, sheet_of(method="kettle"))
    session.clock.advance(60)
    doubted(session, c.Override("heat.hold", "I must leave"), "1 min", "40 min")
    session = exactly_at("cool.wait")
    session.do(c.Override("cool.wait", "it is freezing outside"))
    assert session.state.step("cool.wait").closed


def test_all_bands_ticked_with_some_bare(exactly_at) -> None:
    session = exactly_at("paint.apply")
    session.do(c.PaintBand(1))
    doubted(session, c.Close("paint.apply"), "2 to 4", "to paint")
    meant(session, c.Close("paint.apply"), "step.done")
    assert session.state.step("paint.apply").flagged


def test_bands_that_nobody_ticks_one_by_one_are_not_doubted(exactly_at) -> None:
    session = exactly_at("paint.apply")
    session.do(c.Close("paint.apply"))
    assert not session.state.step("paint.apply").flagged
    session = exactly_at("paint.apply")
    for band in (3, 1, 2, 4):
        session.do(c.PaintBand(band))
    session.do(c.Close("paint.apply"))
    assert not session.state.step("paint.apply").flagged


def test_a_doubt_is_not_raised_where_only_the_wall_clock_could_tell(exactly_at) -> None:
    session = exactly_at("steam.on")
    session.do(c.Close("steam.on"))
    session.clock.change(wall_s=5, boot_s=5, mono_s=5, boot="boot-b")
    session.do(c.Close("steam.rolling"))
    assert not session.state.step("steam.rolling").flagged


def test_a_weight_nothing_can_be_worked_out_from_is_doubted_in_the_words_of_its_step(worked_at) -> None:
    """The sheet chokes on how fast a lot of 0.001 g cools: the doubt names what was typed, and no rate of cooling."""
    session = worked_at("ready.weight")
    doubted(session, c.Measure("ready.weight", "0.001"), "Really 0.001 g? Expected 90 to 110 g; nothing")
    meant(session, c.Measure("ready.weight", "0.001"), "step.measured")
    doubted(
        session, c.Correct("ready.weight", "0.002", "a slip"), "Really 0.002 g? Expected 90 to 110 g; nothing"
    )


def test_in_us_units_a_doubt_and_the_bench_name_the_range_in_the_unit_asked_for(
    begin, monkeypatch: pytest.MonkeyPatch
) -> None:
    """100 g of fibre, from 90 to 110 g: 3.175 to 3.88 oz; rounded inwards to the marks of a kitchen's scale."""
    monkeypatch.setattr(reading_in, "_asked", [lambda: "US"])
    session = begin(to="ready.weight")
    step = session.state.find_step("ready.weight")
    assert range_told(step) == "3.2 to 3.85 oz" and asked_in(step) == "oz"
    doubted(session, c.Measure("ready.weight", "2"), "Expected 3.2 to 3.85 oz")
    stock = next(s for s in session.state.all_steps() if s.role == "make up")
    assert range_told(stock).endswith(" mL") and asked_in(stock) == "mL"


def test_a_colour_named_fibre_makes_no_goods_of_its_gum(settled_of) -> None:
    """What is of fibre is told by the id of its figure, and nothing is read out of a label."""
    gum = 'thicken = { with = "guar", strength = "0.5 %" }\n[fibre]'
    sheet = work_sheet(settled_of(("rust", "fibre rust"), ("[fibre]", gum)))
    kitchen = {figure.id for figure in sheet.figures if figure.kitchen and figure.unit == "g"}
    assert any(
        "fibre" in figure.label and figure.id not in kitchen for figure in sheet.figures if figure.unit == "g"
    )
    assert kitchen == {"fibre.weight", "paint.squeezed", "paint.fibre-rust.fibre", "paint.kelp.fibre"}


def test_a_packet_that_is_cool_before_its_middle_can_be(worked_at) -> None:
    """Who reads 38 °C before the sheet's quick end is asked once, for that ends the wait."""
    session = worked_at("cool.wait")
    quick = sheet_now(session.state).figure("cool.time").low
    assert 60 < quick < 91
    session.clock.advance(11 * 60)
    session.do(c.TakeReading("packet", "70"))
    doubted(
        session,
        c.TakeReading("packet", "38"),
        "38 °C after 11 min",
        f"the middle takes {show(quick, 'min')} at the earliest",
    )
    meant(session, c.TakeReading("packet", "38"), "reading.taken")
    assert session.state.step("cool.wait").closed
    session = worked_at("cool.wait")
    session.clock.advance(91 * 60)
    session.do(c.TakeReading("packet", "38"))
    assert session.state.step("cool.wait").closed


def test_a_lid_far_below_its_steam_asks_whether_it_is_lost(worked_at) -> None:
    session = worked_at("steam.hold")
    doubted(
        session, c.TakeReading("lid", "60"), "60 °C at the lid", "100 °C", "steam is lost", "{bench.steam}"
    )
    session.do(c.TakeReading("lid", "90"))
    session.do(c.ToggleSteam())
    session.do(c.TakeReading("lid", "60"))
    assert [read.event.value for read in session.state.kept(ReadingTaken)] == [90, 60]


def test_a_later_part_of_the_dye_far_below_its_place_on_the_ramp(worked_at, settled_of) -> None:
    """Two parts, 40 to 85 °C: the second goes in at 62.5 °C, which 1.5 °C a minute reach in 15 min."""
    two = settled_of(('acid_added = "staged"', "parts = 2"), method="kettle")
    session = worked_at("heat.dye-2", settled=two)
    part = c.Measure("heat.dye-2", f"{session.state.find_step('heat.dye-2').expected:.5g}")
    doubted(session, part, "ramp is at about 4", "part 2 goes in at about 62 °C")
    session.clock.advance(60)
    session.do(c.TakeReading("bath", "56"))
    session.do(part)
    assert session.state.step("heat.dye-2").closed and not session.state.step("heat.dye-2").flagged


def test_a_later_part_goes_in_at_one_temperature_wherever_it_is_told(
    worked_at, settled_of, monkeypatch
) -> None:
    """Half way from 40 to 92.8 °C are 66.4 °C: 151 °F by the whole degree, 152 by the tenth, and not both."""
    two = settled_of(
        ('acid_added = "staged"', "parts = 2"), ('top = "85 degC"', 'top = "92.8 C"'), method="kettle"
    )
    session = worked_at("heat.dye-2", settled=two)
    monkeypatch.setattr(reading_in, "_asked", [lambda: "US"])
    step = session.state.find_step("heat.dye-2")
    (said,) = re.findall(r"\d+ °F", in_units(step.text))
    doubted(session, c.Measure("heat.dye-2", f"{step.expected:.5g} mL"), f"part 2 goes in at about {said}")


def test_a_correction_is_doubted_by_what_the_corrected_value_leads_to(worked_at) -> None:
    """A strip at 10 shows that there is no acid, and moves nothing: no pH of before is told as its own."""
    session = worked_at("presoak.in")
    with pytest.raises(ReallyMeant) as caught:
        session.do(c.Correct("presoak.ph", "10", "read it again"))
    assert "Really pH 10? Expected pH" in str(caught.value) and "it brings" not in str(caught.value)


def test_more_left_over_than_was_mixed_is_refused(worked_at) -> None:
    session = worked_at("record.leftovers")
    session.do(c.KeepLeftover("rust", "40 mL"))
    for colour, text in (("kelp", "400 mL"), ("rust", "20 mL out")):
        with pytest.raises(Refused, match=f"Only 48 mL of {colour} were mixed"):
            session.do(c.KeepLeftover(colour, text))


@pytest.mark.parametrize(("role", "asked"), [("weigh dye", "a weight"), ("acid", "a volume")])
def test_what_is_no_number_is_refused_with_what_is_planned_as_the_example(exactly_at, role, asked) -> None:
    session = exactly_at("presoak.acid")
    step = next(s for stage in session.state.worksheet.procedure for s in stage.steps if s.role == role)
    with pytest.raises(Refused) as caught:
        read_value(step, "z")
    assert str(caught.value) == f"Expected {asked}, for example {told_of(step, step.expected)}."
    with pytest.raises(Refused, match="is not a unit of"):
        read_value(step, "1 furlong")


def test_the_example_of_what_is_left_is_one_that_the_jar_can_hold(exactly_at) -> None:
    session = exactly_at("record.leftovers")
    for colour in session.state.choices.colours:
        label = leftover_label(session.state, colour)
        example = label.split(": ")[1].split(" into")[0]
        session.do(c.KeepLeftover(colour.plan.slug, example))
        kept = session.state.kept(LeftoverKept)[-1].event
        assert kept.to == "jar" and 0 < kept.ml <= in_jar_ml(session.state, colour.plan.slug)
