"""What can hardly be so is doubted once, in one sentence that says what is odd; taken if meant, marked, and counted on.

Plan: 1 500 mL in the pot over 940.2 W, so 1500 x 4.19 x (99.97 - 15) / (60 x 940.2) = 9.5 min to steam from cold; a
set of 36 min; 40 mL of white vinegar in 2 L; rust of 24 mL of 1 % stock in 48 mL of paint; four bands to paint.
"""

from __future__ import annotations

import re

import msgspec
import pytest

from studio.craft.acid import AcidDose, Water, ph
from studio.plan.sheet import work_sheet
from studio.quantity import reading_in
from studio.quantity.reading_in import in_units
from studio.report.telling import tell
from studio.session import commands as c
from studio.session.asked import ReallyMeant, Refused, asked_in, told_of
from studio.session.events import Recorded
from studio.session.live.applies import CONDITIONS, Here
from studio.session.live.painting import in_jar_ml
from studio.session.live.thinking import effective, think
from studio.session.path import current_step
from studio.session.run import Running
from studio.session.sheet import sheet_now
from studio.session.step_rules import range_told, read_value
from studio.words.questions import asked, leftover_label


def doubted(session: Running, command: c.Command, *says: str) -> None:
    """The command is doubted, changes nothing, and says this in one sentence and a way on."""
    before = session.state
    with pytest.raises(ReallyMeant) as caught:
        session.do(command)
    said = str(caught.value)
    assert all(part in said for part in says), said
    assert said.endswith(("?", ".")) and said.count("?") == 1
    assert session.state == before


def meant(session: Running, command: c.Command, kind: str) -> Recorded:
    """The same command, meant: its event of a kind, marked in file, state and record."""
    events = session.do(msgspec.structs.replace(command, meant=True))
    event = next(ev for ev in events if ev.kind == kind)
    assert event.data["flagged"] is True
    assert "doubted, confirmed" in tell(event, session.state)
    return event


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


def figure(session: Running, figure_id: str) -> float:
    found = sheet_now(session.state).figure(figure_id)
    assert found is not None
    return found.value


def test_acid_really_poured_moves_the_ph(worked_at) -> None:
    """180 mL of 0.8326 mol/L vinegar and 2 L of water: 68.7 mmol/L, alkalinity 2.00 / 1.09 = 1.83 meq/L."""
    session = worked_at("presoak.acid")
    now = ph((AcidDose((4.756,), 180 * 50 / 60.052 / 2180),), Water(100 / 50.0435 / 1.09, 7.5))
    doubted(session, c.Measure("presoak.acid", "180"), "Really 180 mL", "36 to 44 mL", f"pH {now:.3g}")
    meant(session, c.Measure("presoak.acid", "180"), "step.measured")
    assert figure(session, "presoak.ph.first") == pytest.approx(now, abs=0.005)
    step = effective(session.state, session.state.find_step("presoak.ph"))
    assert step.expected == pytest.approx(now, abs=0.01)
    assert step.low < now < step.high
    session.do(c.Correct("presoak.acid", "40", "a slipped digit"))
    planned = ph((AcidDose((4.756,), 40 * 50 / 60.052 / 2040),), Water(100 / 50.0435 / 1.02, 7.5))
    assert figure(session, "presoak.ph.first") == pytest.approx(planned, abs=0.005)


def test_a_strip_tells_how_weak_the_acid_may_really_be(worked_at) -> None:
    """40 mL poured: what shows as 10 mL would is taken as vinegar of 4 %, the weakest sold, 32 mL; it may be 10. The
    fibre takes as much of it as of 32 mL, and the strip stays as far above.
    """
    poured, weak = (worked_at("presoak.ph", {"presoak.acid": ml}) for ml in ("10", "32"))
    shown, least, ends = (figure(one, name) for one, name in
                          ((poured, "presoak.ph.first"), (poured, "presoak.ph"), (weak, "presoak.ph")))  # fmt: skip
    session = worked_at("presoak.ph")
    doubted(session, c.Measure("presoak.ph", f"{shown:.6f}"), "Expected pH", "it brings the soak to pH")
    meant(session, c.Measure("presoak.ph", f"{shown:.6f}"), "step.measured")
    # 40 mL thin 2 L by 1.5 % more than 10 do.
    assert figure(session, "presoak.ph") == pytest.approx(
        shown + ends - figure(weak, "presoak.ph.first"), abs=0.03
    )
    told = sheet_now(session.state).figure("presoak.ph")
    assert "by the strip's pH" in told.because and told.high > least


@pytest.mark.parametrize("strip", ["4.3", "4.4"])
def test_the_soak_never_ends_sourer_than_the_strip_showed_it(worked_at, strip) -> None:
    """3.9 are worked out, and 4.0 with the fibre in it, which only takes acid away; then more acid, and read again."""
    session = worked_at("presoak.ph")
    last = next(step for step in session.state.all_steps() if step.role == "end pH")
    assert last.expected == pytest.approx(3.97, abs=0.01)
    session.do(c.Measure("presoak.ph", strip, meant=True))
    assert float(strip) < effective(session.state, last).expected < float(strip) + 0.2
    session.do(c.Correct("presoak.acid", "60", "poured 20 mL more", meant=True))
    session.do(c.Correct("presoak.ph", "3.9", "read again"))
    assert 3.9 < effective(session.state, last).expected < 4.1


@pytest.mark.parametrize("strip", ["9", "1"])
def test_a_strip_that_cannot_be_moves_nothing(worked_at, strip) -> None:
    """Of water that is no sourer than from the tap, or sourer than vinegar itself."""
    session = worked_at("presoak.ph")
    planned = figure(session, "presoak.ph")
    session.do(c.Measure("presoak.ph", strip, meant=True))
    assert figure(session, "presoak.ph") == pytest.approx(planned)
    assert "by the strip" not in sheet_now(session.state).figure("presoak.ph").because


def test_paint_really_mixed_moves_the_depth(worked_at) -> None:
    """24 mL of 1 % stock in 200 mL: 40 mL of it carry 0.048 g onto 40 g of fibre, 0.12 %, where 0.5 % is planned."""
    session = worked_at("paint.rust.mix")
    doubted(session, c.Measure("paint.rust.mix", "200"), "Really 200 mL", "0.12 %", "0.5 %")
    meant(session, c.Measure("paint.rust.mix", "200"), "step.measured")
    session.do(c.Measure("paint.kelp.mix", "48"))
    assert figure(session, "paint.rust.depth") == pytest.approx(0.12)
    assert figure(session, "paint.kelp.depth") == pytest.approx(0.5)
    step = current_step(session.state, session.clock.now())
    told = {w.id: w.text for w in think(session.state, step, session.clock.now()).warnings}
    assert "0.12 %" in told["live.paint.rust.pale"] and "0.5 %" in told["live.paint.rust.pale"]
    assert "live.paint.kelp.pale" not in told


def test_paint_read_as_less_than_its_stock_is_no_stronger_than_that(worked_at, settled_of) -> None:
    """A depth of 1 % takes 48 mL of the stock of 1 %, all of the paint: 45 mL are near to it, and cannot be."""
    session = worked_at("paint.rust.mix", settled=settled_of(('depth = "0.5 %"', 'depth = "1 %"')))
    doubted(session, c.Measure("paint.rust.mix", "45"), "Only 45 mL", "48 mL of stock")
    meant(session, c.Measure("paint.rust.mix", "45"), "step.measured")
    assert session.state.step("paint.rust.mix").flagged
    assert left_percent(session, "rust") == pytest.approx(1.0)
    doubted(session, c.Correct("paint.rust.mix", "46", "a slip"), "Only 46 mL")


def left_percent(session, colour: str) -> float:
    """Of what is left over of a colour."""
    return (
        sheet_now(session.state, {f"paint.{colour}.left": 1.0}).figure(f"paint.{colour}.left.strength").value
    )


def test_more_paint_than_the_jar_of_stock_can_give(worked_at) -> None:
    """200 mL in the jar's proportions take 100 mL of stock, and 24 mL were made: the rest is made up anew like it."""
    session = worked_at("paint.apply")
    doubted(session, c.MixMore("rust", "200 mL"), "100 mL", "none is left")
    event = meant(session, c.MixMore("rust", "200 mL"), "batch.mixed")
    assert (event.data["stock_ml"], event.data["water_ml"]) == (100.0, 100.0)
    assert left_percent(session, "rust") == pytest.approx(0.5)
    session.do(c.MixMore("kelp", "20 mL", meant=True))
    session.do(c.MixMore("kelp", "200 mL at 2 %"))
    # 34 mL of the stock at 1 % and 100 mL of one at 2 % in 268 mL.
    assert left_percent(session, "kelp") == pytest.approx(100 * (0.34 + 2.0) / 268)


def test_more_paint_is_asked_about_once_where_its_stock_is_used_up(worked_at) -> None:
    """34 mL of stock were made and 24 of them poured, half of 48 mL of paint: 10 are left, good for 20 mL more."""
    session = worked_at("paint.apply", {"stocks.rust.dye": "0.34", "stocks.rust.volume": "34"})
    question = asked("more", session.state, session.clock.now())
    assert "rust 10 mL" in question.label and "kelp 0 mL" in question.label
    session.do(c.MixMore("rust", "12 mL"))
    assert "rust 4 mL" in asked("more", session.state, session.clock.now()).label
    doubted(session, c.MixMore("rust", "12 mL"), "6 mL of stock", "4 mL are left")
    event = meant(session, c.MixMore("rust", "12 mL"), "batch.mixed")
    assert event.data["flagged"] and "rust 0 mL" in asked("more", session.state, session.clock.now()).label
    session.do(c.MixMore("rust", "12 mL at 1 %"))


def test_no_more_stock_is_in_the_paint_than_was_made(worked_at) -> None:
    """12 mL of stock were made up where 24 were planned: all of its 0.24 g, 2 %, is in 48 mL."""
    session = worked_at("paint.apply", {"stocks.rust.volume": "12"})
    assert left_percent(session, "rust") == pytest.approx(0.5)


def test_a_leftover_has_the_strength_it_was_really_mixed_to(worked_at) -> None:
    session = worked_at("record.leftovers", {"paint.rust.mix": "96"})
    event = session.do(c.KeepLeftover("rust", "10 mL"))[-1]
    assert event.data["strength_percent"] == pytest.approx(0.25)


@pytest.mark.parametrize(
    ("typed", "to"),
    [("9 mL into a jar", "jar"), ("9 mL out to dispose of", "disposed"), ("9 mL OUT", "disposed")],
)
def test_what_is_left_is_understood_as_the_question_writes_it(worked_at, typed: str, to: str) -> None:
    session = worked_at("record.leftovers")
    assert session.do(c.KeepLeftover("rust", typed))[-1].data["to"] == to
    with pytest.raises(Refused, match="20 L at most"):
        session.do(c.KeepLeftover("kelp", "99 L out"))
    with pytest.raises(Refused, match=r"mL into a jar, .* or 0 for none"):
        session.do(c.KeepLeftover("kelp", "n"))


def test_paint_left_over_is_not_on_the_fibre(worked_at) -> None:
    """48 mL of 0.5 % were mixed for 40 g; 28 mL are left, so 20 mL went on: 0.1 g, 0.25 % where 0.5 % was planned."""
    session = worked_at("record.leftovers")
    session.do(c.KeepLeftover("rust", "28 mL"))
    assert figure(session, "paint.rust.apply") == pytest.approx(20.0)
    assert figure(session, "paint.rust.depth") == pytest.approx(0.25)


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
    """The sheet's quick end is 90 min; who reads 38 °C sooner is asked once, for that ends the wait."""
    session = worked_at("cool.wait")
    session.clock.advance(11 * 60)
    session.do(c.TakeReading("packet", "70"))
    doubted(
        session,
        c.TakeReading("packet", "38"),
        "38 °C after 11 min",
        "the middle takes 90 min at the earliest",
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
    assert [read.event.value for read in session.state.readings] == [90, 60]


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
    assert "Really 10? Expected pH" in str(caught.value) and "it brings" not in str(caught.value)


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
        kept = session.state.leftovers[-1].event
        assert kept.to == "jar" and 0 < kept.ml <= in_jar_ml(session.state, colour.plan.slug)
