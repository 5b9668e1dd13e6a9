"""What was really poured and mixed: doubted once where it can hardly be so, and counted on in what follows.

Plan: 40 mL of white vinegar in 2 L; rust of 24 mL of 1 % stock in 48 mL of paint.
"""

from __future__ import annotations

import pytest

from studio.craft.acid import AcidDose, Water, ph
from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.live.thinking import effective, think
from studio.session.path import current_step
from studio.session.run import Running
from studio.session.sheet import sheet_now
from studio.words.questions import asked
from tests.session.conftest import doubted, meant


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
