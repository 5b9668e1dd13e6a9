"""Room for paint at the weight really squeezed to. Plan: 100 g, wet pick-up 180 %, 40 mL of each of two colours
on the fibre and a fifth more in the jar (48 mL: 24 of stock, 24 of water)."""

from __future__ import annotations

import pytest

from studio.session import commands as c
from studio.session.live.thinking import effective
from studio.session.path import current_step


def shown(session):  # type: ignore[no-untyped-def]
    return effective(session.state, current_step(session.state, session.clock.now()))


def test_squeezed_wetter_than_planned(exactly_at, figure, warned) -> None:
    session = exactly_at("paint.rust.mix", {"paint.squeezed": "210"})
    # Room: 100 g x 180 % - (210 - 100) g = 70 mL of the 100 mL planned.
    assert figure(session, "live.paint.capacity").value == pytest.approx(70.0)
    # Each colour is scaled to it, 48 mL x 70 / 100 = 33.6 mL; the stock carries the depth and stays 24 mL,
    # which leaves 9.6 mL for water.
    assert figure(session, "live.paint.rust.liquid").value == pytest.approx(33.6)
    assert figure(session, "live.paint.rust.stock").value == pytest.approx(24.0)
    assert figure(session, "live.paint.rust.water").value == pytest.approx(9.6)
    # The plan's paint on the fibre is 2 x 40 = 80 mL, 10 too many: 5 of each colour (half and half), or 10 g
    # more squeezed out: 200 g.
    told = warned(session)["live.paint.over"]
    assert "10 mL more than it can take" in told and "squeeze it to 200 g" in told
    assert "leave out 5 mL of rust, 5 mL of kelp" in told
    # The step asks for what is mixed now: 33.6 mL, a tenth either way 30.24 to 36.96 mL.
    step = shown(session)
    assert (step.expected, step.low, step.high) == pytest.approx((33.6, 30.24, 36.96))
    assert "24 mL of stock and 9.6 mL of water" in step.text


def test_squeezed_drier_makes_more_room(exactly_at, figure, warned) -> None:
    session = exactly_at("paint.kelp.mix", {"paint.squeezed": "160"})
    # 180 - 60 = 120 mL; 48 x 1.2 = 57.6 mL, 24 of it stock, 33.6 water. 80 mL of paint fit into 120.
    assert figure(session, "live.paint.capacity").value == pytest.approx(120.0)
    assert figure(session, "live.paint.kelp.liquid").value == pytest.approx(57.6)
    assert figure(session, "live.paint.kelp.water").value == pytest.approx(33.6)
    assert "live.paint.over" not in warned(session)


def test_the_dry_weight_as_weighed_is_what_counts(exactly_at, figure) -> None:
    session = exactly_at("paint.rust.mix", {"ready.weight": "105", "paint.squeezed": "189"})
    # 105 g x 180 % - (189 - 105) g = 189 - 84 = 105 mL.
    assert figure(session, "live.paint.capacity").value == pytest.approx(105.0)


def test_no_water_left_to_leave_out(exactly_at, figure, warned) -> None:
    session = exactly_at("paint.rust.mix", {"paint.squeezed": "240"})
    # 180 - 140 = 40 mL; 48 x 0.4 = 19.2 mL is less than the 24 mL of stock, so the stock alone is used.
    assert figure(session, "live.paint.rust.liquid").value == pytest.approx(24.0)
    assert figure(session, "live.paint.rust.water").value == pytest.approx(0.0)
    # 80 - 40 = 40 mL too many: 20 of each, or squeezed to 240 - 40 = 200 g.
    told = warned(session)["live.paint.over"]
    assert "40 mL more" in told and "200 g" in told and "20 mL of rust, 20 mL of kelp" in told


def test_a_correction_of_the_wet_weight_moves_everything(exactly_at, figure, warned) -> None:
    session = exactly_at("paint.rust.mix", {"paint.squeezed": "210"})
    session.do(c.Correct("paint.squeezed", "180", "squeezed again"))
    # 180 - 80 = 100 mL, as planned.
    assert figure(session, "live.paint.capacity").value == pytest.approx(100.0)
    assert figure(session, "live.paint.rust.liquid").value == pytest.approx(48.0)
    assert "live.paint.over" not in warned(session)


def test_before_the_squeeze_nothing_is_claimed(exactly_at) -> None:
    session = exactly_at("paint.squeezed")
    from studio.session.live.paint_room import mixes, room_now

    assert room_now(session.state) is None
    assert [(m.liquid_ml, m.stock_ml, m.water_ml) for m in mixes(session.state)] == [(48.0, 24.0, 24.0)] * 2


def test_a_wet_weight_below_the_dry_one_is_said_and_the_bench_goes_on(exactly_at, warned, figure) -> None:
    session = exactly_at("paint.rust.mix", {"paint.squeezed": "49"})
    told = warned(session)["live.unclear"]
    assert "(49 g) is less than the dry weight (100 g)" in told and "correct it (K)" in told
    assert shown(session).expected == 48.0
    session.do(c.Correct("paint.squeezed", "180", "49 was the lid"))
    assert figure(session, "live.paint.capacity").value == pytest.approx(100.0)
