"""Bands, coats, and whether the paint reaches. Layout: rust 20 rows, 5 bare, kelp 20, 5 bare, twice over."""

from __future__ import annotations

import pytest

from studio.session import commands as c
from studio.session.live.painting import bands_of, in_jar_ml, next_band
from studio.session.refusals import Refused

MIXED = {"paint.rust.mix": "48", "paint.kelp.mix": "50"}


def test_bands_are_painted_in_order_and_bare_ones_are_none(exactly_at) -> None:
    session = exactly_at("paint.apply", MIXED)
    assert [(n, b.colour, coats) for n, b, coats in bands_of(session.state)] == [
        (1, "rust", 0), (2, "kelp", 0), (3, "rust", 0), (4, "kelp", 0),
    ]  # fmt: skip
    with pytest.raises(Refused, match="Band 1 comes first"):
        session.do(c.PaintBand(2))
    for number in (0, 5, -1):
        with pytest.raises(Refused, match="not part"):
            session.do(c.PaintBand(number))
    session.do(c.PaintBand(1))
    assert next_band(session.state) == 2
    session.do(c.PaintBand(1))
    session.do(c.PaintBand(2))
    assert [coats for _, _, coats in bands_of(session.state)] == [2, 1, 0, 0]
    for number in (3, 4):
        session.do(c.PaintBand(number))
    assert next_band(session.state) is None


def test_paint_that_will_not_reach(exactly_at, figure, warned) -> None:
    session = exactly_at("paint.apply", MIXED)
    session.do(c.PaintBand(1))
    session.do(c.PaintLeft("rust", "18 mL"))
    # 48 - 18 = 30 mL used on 20 rows, 1.5 mL a row; 20 rows are bare: 30 mL needed, 18 left, 12 short.
    assert figure(session, "live.paint.rust.left").value == 18.0
    told = warned(session)["live.paint.rust.short"]
    assert "30 mL needed" in told and "18 mL left" in told and "Mix 12 mL more" in told
    # A second coat on band 1: the 30 mL went on 40 rows, 0.75 mL a row: 15 mL needed, and 18 reach.
    session.do(c.PaintBand(1))
    assert "live.paint.rust.short" not in warned(session)


def test_what_is_mixed_more_is_in_the_jar_and_not_used(exactly_at, figure, warned) -> None:
    session = exactly_at("paint.apply", MIXED)
    session.do(c.PaintBand(1))
    session.do(c.PaintLeft("rust", "18 mL"))
    session.do(c.MixMore("rust", "12 mL"))
    # Mixed 48 + 12 = 60 mL, in the jar 18 + 12 = 30 mL, used still 30 mL: 30 needed, 30 left. It reaches.
    assert in_jar_ml(session.state, "rust") == 60.0
    told = figure(session, "live.paint.rust.left")
    assert told.value == 30.0 and "60 mL mixed, 30 mL used" in told.because
    assert "live.paint.rust.short" not in warned(session)


def test_the_jars_are_told_apart(exactly_at, figure, warned) -> None:
    session = exactly_at("paint.apply", MIXED)
    session.do(c.PaintBand(1))
    session.do(c.PaintBand(2))
    session.do(c.PaintLeft("kelp", "40"))
    # 50 - 40 = 10 mL on 20 rows: 10 mL needed for the other 20 rows, 40 left.
    assert figure(session, "live.paint.kelp.left").value == 40.0
    assert not warned(session)


@pytest.mark.parametrize("text", ["60 mL", "", "much", "-1", "1e9"])
def test_no_more_can_be_left_than_was_mixed(exactly_at, text: str) -> None:
    session = exactly_at("paint.apply", MIXED)
    with pytest.raises(Refused):
        session.do(c.PaintLeft("rust", text))
    session.do(c.PaintLeft("rust", "50"))  # 48 mL and a twentieth is 50.4: a jug read a little high


def test_a_jar_is_read_only_once_it_is_mixed(exactly_at) -> None:
    session = exactly_at("paint.rust.mix")
    with pytest.raises(Refused, match="not been mixed yet"):
        session.do(c.PaintLeft("rust", "10 mL"))
