"""A knitted swatch is held against the forecast, kept, and its spread becomes the studio's own."""

from __future__ import annotations

import pytest

from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.folding import replay
from studio.session.kinds.notes import SwatchCounted


def test_counts_forecast_and_fitted_spread_are_kept(begin, keeper) -> None:
    """A band of 20 rows at the blank's own stitches is 20 rounds; a spread of s rows at each edge leaves about
    20 - 2s solid (arithmetic). 12 solid rounds therefore mean that the edges spread by some rows, more than
    the 0.8 of the estimate, and the forecast of the day said more than 12."""
    session = begin()
    session.do(c.CountSwatch("rust 12 solid 4 mixed"))
    swatch = session.state.kept(SwatchCounted)[0].event
    assert (swatch.colour, swatch.rows, swatch.solid, swatch.mixed_each_side) == ("rust", 20, 12, 4)
    assert swatch.forecast_solid[1] > 12
    assert 1.5 < swatch.spread < 4.5
    assert replay(keeper.events) == session.state
    assert keeper.events[-1].kind == "swatch.counted" and not session.state.notes


def test_after_the_close_it_is_taken_too(begin, keeper) -> None:
    session = begin()
    session.do(c.Abandon("only a test of what comes later"))
    session.do(c.CountSwatch("kelp 18 solid"))
    assert keeper.events[-1].kind == "swatch.counted"
    assert session.state.kept(SwatchCounted)[0].event.mixed_each_side is None


@pytest.mark.parametrize(
    "text", ["", "rust", "rust three solid", "puce 3 solid", "rust -3 solid", "rust 3 mixed"]
)
def test_what_cannot_be_read_is_refused(begin, text) -> None:
    session = begin()
    with pytest.raises(Refused):
        session.do(c.CountSwatch(text))


def test_without_a_knitted_piece_there_is_nothing_to_hold_it_against(begin, choices) -> None:
    with pytest.raises(Refused, match="too little for a forecast"):
        begin(choices=choices).do(c.CountSwatch("rust 3 solid"))
