"""Room for paint at the weight really squeezed to. Plan: 100 g, wet pick-up 180 %, 40 mL of each of two colours
on the fibre and a fifth more in the jar (48 mL: 24 of stock, 24 of water)."""

from __future__ import annotations

import msgspec
import pytest

from studio.session import commands as c
from studio.session.asked import ReallyMeant
from studio.session.bands import bands_of
from studio.session.live.thinking import effective
from studio.session.path import current_step
from studio.session.sheet import sheet_now


def shown(session):  # type: ignore[no-untyped-def]
    return effective(session.state, current_step(session.state, session.clock.now()))


def test_squeezed_wetter_than_planned(worked_at, figure, warned) -> None:
    session = worked_at("paint.rust.mix", {"paint.squeezed": "210"})
    # Room: 100 g x 180 % - (210 - 100) g = 70 mL of the 100 mL planned.
    assert figure(session, "paint.capacity").value == pytest.approx(70.0)
    # Its share of 40 / 100 is 28 mL, with a fifth more 33.6; the stock carries the depth and stays 24 mL,
    # which leaves 9.6 mL for water. 28 mL hold 0.24 g x 28 / 33.6 = 0.2 g: 0.5 % of 40 g, as planned.
    assert figure(session, "paint.rust.liquid").value == pytest.approx(33.6)
    assert figure(session, "paint.rust.stock").value == pytest.approx(24.0)
    assert figure(session, "paint.rust.water").value == pytest.approx(9.6)
    assert figure(session, "paint.rust.apply").value == pytest.approx(28.0)
    assert figure(session, "paint.rust.depth").value == pytest.approx(0.5)
    assert not warned(session)
    # The step asks for what is mixed now: 33.6 mL, a tenth either way 30.24 to 36.96 mL.
    step = shown(session)
    assert (step.expected, step.low, step.high) == pytest.approx((33.6, 30.24, 36.96))
    assert "24 mL" in step.text and "9.6 mL" in step.text


def test_squeezed_drier_makes_more_room(worked_at, figure, warned) -> None:
    session = worked_at("paint.kelp.mix", {"paint.squeezed": "160"})
    # 180 - 60 = 120 mL; 120 x 0.4 x 1.2 = 57.6 mL, 24 of it stock, 33.6 water.
    assert figure(session, "paint.capacity").value == pytest.approx(120.0)
    assert figure(session, "paint.kelp.liquid").value == pytest.approx(57.6)
    assert figure(session, "paint.kelp.water").value == pytest.approx(33.6)
    assert not warned(session)


def test_the_dry_weight_as_weighed_is_what_counts(worked_at, figure) -> None:
    session = worked_at("paint.rust.mix", {"ready.weight": "105", "paint.squeezed": "189"})
    # 105 g x 180 % - (189 - 105) g = 189 - 84 = 105 mL.
    assert figure(session, "paint.capacity").value == pytest.approx(105.0)


def test_no_room_for_the_stock_comes_paler_and_says_how_far_to_squeeze(worked_at, figure, warned) -> None:
    session = worked_at("paint.rust.mix", {"paint.squeezed": "240"})
    # 180 - 140 = 40 mL, of which rust has 16; the stock alone is 24 mL, and 16 of them hold 0.16 g: 0.4 % of 40 g.
    assert figure(session, "paint.rust.liquid").value == pytest.approx(24.0)
    assert figure(session, "paint.rust.water").value == pytest.approx(0.0)
    assert figure(session, "paint.rust.apply").value == pytest.approx(16.0)
    assert figure(session, "paint.rust.depth").value == pytest.approx(0.4)
    # 0.2 g of dye are 20 mL of stock; two colours of 40 g want 20 x 100 / 40 = 50 mL of room: 280 - 50 = 230 g.
    told = warned(session)["live.paint.rust.pale"]
    assert "0.4 %" in told and "planned 0.5 %" in told and "squeeze to 230 g" in told
    session = worked_at("paint.apply", {"paint.squeezed": "240"})
    for band in bands_of(session.state):
        session.do(c.PaintBand(band.number))
    told = warned(session)["live.paint.rust.pale"]
    assert "0.4 %" in told and "squeeze" not in told, "nothing can be squeezed out once it is painted"


def test_a_correction_of_the_wet_weight_moves_everything(worked_at, figure, warned) -> None:
    session = worked_at("paint.rust.mix", {"paint.squeezed": "240"})
    session.do(c.Correct("paint.squeezed", "180", "squeezed again"))
    # 180 - 80 = 100 mL, as planned.
    assert figure(session, "paint.capacity").value == pytest.approx(100.0)
    assert figure(session, "paint.rust.liquid").value == pytest.approx(48.0)
    assert not warned(session)


def test_what_was_mixed_stays_when_the_squeeze_is_corrected(worked_at, figure) -> None:
    """48 mL of rust stand in the jar, 24 of them stock, whatever the fibre turns out to hold; kelp still moves."""
    session = worked_at("paint.kelp.mix")
    session.do(c.Correct("paint.squeezed", "210", "read the scale again"))
    assert figure(session, "paint.rust.liquid").value == pytest.approx(48.0)
    assert figure(session, "paint.rust.stock").value == pytest.approx(24.0)
    # 28 mL of the room are rust's: 28 / 48 of 0.24 g on 40 g of fibre, 0.35 %.
    assert figure(session, "paint.rust.depth").value == pytest.approx(0.35)
    assert figure(session, "paint.kelp.liquid").value == pytest.approx(33.6)


def test_more_liquid_than_was_asked_thins_the_paint(worked_at, figure) -> None:
    """60 mL for 48: 0.24 g in 60 mL, and the 40 mL there is room for hold 0.16 g, 0.4 %."""
    session = worked_at("paint.kelp.mix", {"paint.rust.mix": "60"})
    assert figure(session, "paint.rust.depth").value == pytest.approx(0.4)
    assert figure(session, "paint.rust.stock").value == pytest.approx(24.0)
    assert figure(session, "paint.rust.water").value == pytest.approx(36.0)


def test_a_wet_weight_below_the_dry_one_is_doubted_then_taken_and_nothing_follows_from_it(
    worked_at, figure
) -> None:
    session = worked_at("paint.squeezed")
    with pytest.raises(
        ReallyMeant, match=r"Really 49 g\? Expected .* g; nothing can be worked out from it\."
    ):
        session.do(c.Measure("paint.squeezed", "49"))
    session.do(c.Measure("paint.squeezed", "49", meant=True))
    assert session.state.step("paint.squeezed").flagged
    assert figure(session, "paint.capacity").value == pytest.approx(100.0)
    assert shown(session).expected == pytest.approx(48.0)
    session.do(c.Correct("paint.squeezed", "160", "49 was the lid"))
    assert figure(session, "paint.capacity").value == pytest.approx(120.0)


def test_amounts_that_no_longer_go_together_count_as_far_as_they_do(worked_at, figure) -> None:
    """Wet 95 g is right for 90 g of fibre; of dry 100 g it is not, and then the rest still stands."""
    session = worked_at("paint.squeezed", {"presoak.water": "1900"})
    session.do(c.Correct("ready.weight", "90", "read again"))
    session.do(c.Measure("paint.squeezed", "95", meant=True))
    assert figure(session, "paint.held").value == pytest.approx(100 * 5 / 90)
    kept = {**session.state.steps}
    weight = kept["ready.weight"]
    kept["ready.weight"] = msgspec.structs.replace(weight, value=100.0, fixed={"fibre.weight": 100.0})
    sheet = sheet_now(msgspec.structs.replace(session.state, steps=kept))
    values = {f.id: f.value for f in sheet.figures}
    assert (values["fibre.weight"], values["presoak.water"]) == (100.0, 1900.0)
    assert values["paint.squeezed"] == pytest.approx(180.0)
