"""What can hardly be so is doubted once, in one sentence that says what is odd; taken if meant, marked, and counted on.

Plan: 1 500 mL in the pot over 1 000 W, so 1500 x 4.19 x (100 - 15) / 60 000 = 8.9 min to steam from cold; a set of 36
min; 40 mL of white vinegar in 2 L; rust of 24 mL of 1 % stock in 48 mL of paint; four bands to paint.
"""

from __future__ import annotations

import msgspec
import pytest

from studio.craft.acid import AcidDose, Water, ph
from studio.plan.facts import SoakFacts
from studio.report.telling import tell
from studio.session import commands as c
from studio.session import events as e
from studio.session.live.thinking import effective, think
from studio.session.path import current_step
from studio.session.refusals import ReallyMeant
from studio.session.run import Running


def doubted(session: Running, command: c.Command, *says: str) -> None:
    """The command is doubted, changes nothing, and says this in one sentence and a way on."""
    before = session.state
    with pytest.raises(ReallyMeant) as caught:
        session.do(command)
    said = str(caught.value)
    assert all(part in said for part in says), said
    assert said.endswith(("?", ".")) and said.count("?") == 1
    assert session.state == before


def meant(session: Running, command: c.Command, kind: str) -> e.Event:
    """The same command, meant: its event of a kind, marked in file, state and record."""
    events = session.do(msgspec.structs.replace(command, meant=True))
    event = next(ev for ev in events if ev.kind == kind)
    assert event.data["flagged"] is True
    assert "said to be so" in tell(event, session.state) or "said to be meant" in tell(event, session.state)
    return event


def test_steam_seconds_after_pot_on(exactly_at) -> None:
    session = exactly_at("steam.on")
    session.do(c.Close("steam.on"))
    session.clock.advance(4)
    doubted(session, c.Close("steam.rolling"), "4 s", "8.9 min", "cold")
    meant(session, c.Close("steam.rolling"), e.STEP_DONE)
    assert session.state.step("steam.rolling").flagged
    assert session.state.timers["steam"].running


def test_steam_is_doubted_up_to_a_tenth_of_what_cold_water_takes(exactly_at) -> None:
    """1500 g x 4.19 J/gK x 85 K / 1000 W = 534 s, and a tenth of it is 53 s."""
    session = exactly_at("steam.on")
    session.do(c.Close("steam.on"))
    session.clock.advance(52)
    doubted(session, c.Close("steam.rolling"), "52 s")


@pytest.mark.parametrize("seconds", [54, 60, 600])
def test_hot_water_in_the_pot_is_not_doubted(exactly_at, seconds: int) -> None:
    """A pot put on hot rolls within a minute; only what no ring can do is doubted."""
    session = exactly_at("steam.on")
    session.do(c.Close("steam.on"))
    session.clock.advance(seconds)
    (event,) = [ev for ev in session.do(c.Close("steam.rolling")) if ev.kind == e.STEP_DONE]
    assert "flagged" not in event.data and not session.state.step("steam.rolling").flagged


def test_a_set_ended_after_one_second(exactly_at) -> None:
    session = exactly_at("steam.hold")
    session.clock.advance(1)
    doubted(session, c.Override("steam.hold", "the gas ran out"), "1 s", "36 min")
    meant(session, c.Override("steam.hold", "the gas ran out"), e.OVERRIDDEN)
    assert session.state.timers["steam"].stopped_after_s == pytest.approx(1)


def test_a_set_ended_near_its_time_is_taken_with_its_reason(exactly_at) -> None:
    session = exactly_at("steam.hold")
    session.clock.advance(19 * 60)
    (event,) = [
        ev for ev in session.do(c.Override("steam.hold", "the gas ran out")) if ev.kind == e.OVERRIDDEN
    ]
    assert "flagged" not in event.data


def test_a_hold_of_a_kettle_is_doubted_alike_and_cooling_is_not(
    exactly_at, sheet_of, kettle_facts_of
) -> None:
    session = exactly_at("heat.hold", None, sheet_of(kettle_facts_of()))
    session.clock.advance(60)
    doubted(session, c.Override("heat.hold", "I must leave"), "1 min", "40 min")
    session = exactly_at("cool.wait")
    session.do(c.Override("cool.wait", "it is freezing outside"))
    assert session.state.step("cool.wait").closed


def test_all_bands_ticked_with_some_bare(exactly_at) -> None:
    session = exactly_at("paint.apply")
    session.do(c.PaintBand(1))
    doubted(session, c.Close("paint.apply"), "2 to 4", "bare")
    meant(session, c.Close("paint.apply"), e.STEP_DONE)
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


SOAK = SoakFacts(alkalinity_meq_l=1.0, water_ph=7.5, pkas=(4.756,), mol_per_unit=0.0008, open_to_air=False)


def live(session: Running, figure_id: str) -> float:
    step = current_step(session.state, session.clock.now())
    assert step is not None
    found = {f.id: f for f in think(session.state, step, session.clock.now()).figures}
    return found[figure_id].value


def test_acid_really_poured_moves_the_ph(exactly_at, sheet_of, facts_of) -> None:
    """180 mL of 0.8 mol/L in 2 L are 72 mmol/L where 16 were planned."""
    session = exactly_at("presoak.acid", None, sheet_of(facts_of(soak=SOAK)))
    now = ph((AcidDose((4.756,), 0.072),), Water(1.0, 7.5))
    doubted(session, c.Measure("presoak.acid", "180"), "Really 180", "36 to 44 mL", f"pH {now:.3g}")
    meant(session, c.Measure("presoak.acid", "180"), e.STEP_MEASURED)
    assert live(session, "live.presoak.ph") == pytest.approx(now)
    step = effective(session.state, session.state.find_step("presoak.ph"))
    assert step.expected == pytest.approx(now, abs=0.006)
    assert step.low < now < step.high
    session.do(c.Correct("presoak.acid", "40", "a slipped digit"))
    assert live(session, "live.presoak.ph") == pytest.approx(
        ph((AcidDose((4.756,), 0.016),), Water(1.0, 7.5))
    )


def test_acid_in_a_kettle_moves_the_ph_of_its_bath(exactly_at, sheet_of, kettle_facts_of) -> None:
    """60 mL where half of 40 was planned: 60 x 0.8 mmol in 2 976 mL of water and 24 of dye."""
    session = exactly_at("bath.ph", {"bath.acid": "60"}, sheet_of(kettle_facts_of(soak=SOAK)))
    now = ph((AcidDose((4.756,), 0.016),), Water(1.0, 7.5))
    assert live(session, "live.kettle.ph") == pytest.approx(now)
    assert effective(session.state, session.state.find_step("bath.ph")).expected == pytest.approx(
        now, abs=0.006
    )


def test_paint_really_mixed_moves_its_strength_and_the_room(exactly_at) -> None:
    """24 mL of 1 % stock in 200 mL: 0.12 %, where 48 mL are 0.5 %; 166.7 mL without the reserve for 40 g of fibre."""
    session = exactly_at("paint.rust.mix")
    doubted(session, c.Measure("paint.rust.mix", "200"), "Really 200", "0.12 %", "0.5 %")
    meant(session, c.Measure("paint.rust.mix", "200"), e.STEP_MEASURED)
    session.do(c.Measure("paint.kelp.mix", "48"))
    assert live(session, "live.paint.rust.strength") == pytest.approx(0.12)
    assert live(session, "live.paint.kelp.strength") == pytest.approx(0.5)
    step = current_step(session.state, session.clock.now())
    told = {w.id: w.text for w in think(session.state, step, session.clock.now()).warnings}
    # 40 mL of it on 40 g carry 40 x 0.12 / 40 = 0.12 % of dye, where 0.5 % was planned.
    assert "0.12 %" in told["live.paint.rust.weak"] and "0.5 %" in told["live.paint.rust.weak"]
    assert "live.paint.kelp.weak" not in told
    # Room 180 - (180 - 100) = 100 mL; 200 / 1.2 + 48 / 1.2 = 206.7 mL: 107 mL too much.
    assert "107 mL" in told["live.paint.over"]


def test_more_paint_than_the_jar_of_stock_can_give(exactly_at) -> None:
    """200 mL in the jar's proportions take 100 mL of stock, and 24 mL were made."""
    session = exactly_at("paint.apply")
    doubted(session, c.MixMore("rust", "200 mL"), "100 mL", "24 mL")
    event = meant(session, c.MixMore("rust", "200 mL"), e.BATCH_MIXED)
    assert (event.data["stock_ml"], event.data["water_ml"]) == (24.0, 176.0)
    # 24 mL in 48 and 24 in 200 more: 0.48 g in 248 mL.
    assert live(session, "live.paint.rust.strength") == pytest.approx(100 * 0.48 / 248)
    session.do(c.MixMore("kelp", "20 mL"))
    session.do(c.MixMore("kelp", "200 mL at 1 %"))


def test_no_more_stock_is_in_the_paint_than_was_made(exactly_at) -> None:
    """12 mL of stock were made up where 24 were planned: all of its 0.24 g, 2 %, is in 48 mL."""
    session = exactly_at("paint.apply", {"stocks.rust.volume": "12"})
    assert live(session, "live.paint.rust.strength") == pytest.approx(0.5)


def test_a_leftover_has_the_strength_it_was_really_mixed_to(exactly_at) -> None:
    session = exactly_at("record.leftovers", {"paint.rust.mix": "96"})
    event = session.do(c.KeepLeftover("rust", "10 mL"))[-1]
    assert event.data["strength_percent"] == pytest.approx(0.25)


def test_a_doubt_is_not_raised_where_only_the_wall_clock_could_tell(exactly_at) -> None:
    session = exactly_at("steam.on")
    session.do(c.Close("steam.on"))
    session.clock.change(wall_s=5, boot_s=5, mono_s=5, boot="boot-b")
    session.do(c.Close("steam.rolling"))
    assert not session.state.step("steam.rolling").flagged
