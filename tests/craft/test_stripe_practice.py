"""What is commonly practised with painted blanks, met by the forecast."""

from __future__ import annotations

import pytest

from studio.craft.stripe.blank import Band, Blank, Knitting, Painting, ends_differ, lay, pair_of
from studio.craft.stripe.edges import edges_of
from studio.craft.stripe.forecast import forecast

BLANK = Blank(60, 64, 15.9)
SOCK = Knitting(64, 13.0)


def middle_band(rows, painting=None, knitting=SOCK):
    """The one band of a blank, twenty bare rows before it."""
    bands = [Band("", 20), Band("rust", rows)]
    return forecast(BLANK, bands, painting or Painting(), knitting, paintings=400).bands[1]


def test_five_rows_give_some_solid_rounds_edged_by_mixed_ones():
    """Common practice: about five rows painted give some rounds of solid colour, edged by mixed rounds."""
    five = middle_band(5)
    assert 1 <= five.solid[0] <= five.solid[2] < five.rounds
    assert five.mixed[0] >= 2
    assert five.odds_solid > 0.9


def test_thinner_bands_lose_their_solid_rounds():
    """Common practice: the thinner the band, the less likely a solid round."""
    odds = [middle_band(rows).odds_solid for rows in (1, 2, 3, 5)]
    assert odds == sorted(odds)
    assert odds[0] < 0.1 < 0.9 < odds[-1]


def test_a_drier_brush_sharpens_and_a_wetter_one_spreads():
    """Common practice: thickener or a drier brush sharpens the edge, a wetter one spreads it."""
    solid = [middle_band(6, Painting(spread=spread)).solid[0] for spread in (0.2, 0.8, 2.5)]
    assert solid == sorted(solid, reverse=True) and solid[0] > solid[-1]


def test_thickened_paint_sharpens_its_own_edges_and_no_others():
    """Rust between bare and kelp: half of its bare edge, and of the one with kelp the half that is its own."""
    bands = [Band("", 8), Band("rust", 8), Band("kelp", 8), Band("", 8), Band("slate", 8), Band("", 20)]
    thick = Painting(spread=2.0, thickened=frozenset({"rust"}))
    edges = edges_of(lay(bands, BLANK.rows), BLANK, thick)
    assert edges.spread.tolist() == pytest.approx([1.0, 1.5, 2.0, 2.0, 2.0])
    plain, sharp = (forecast(BLANK, bands, p, SOCK, paintings=400).bands for p in (Painting(2.0), thick))
    assert sum(sharp[1].solid) > sum(plain[1].solid), "rust"
    assert sum(sharp[2].solid) >= sum(plain[2].solid), "kelp, on the side of rust"
    assert sharp[4] == plain[4], "slate"


def test_fewer_stitches_make_taller_stripes():
    """Common practice: a swatch is about 40 stitches, and its stripes are taller than a sock's: 64 / 40 = 1.6."""
    sock, swatch = middle_band(6), middle_band(6, knitting=Knitting(40, 13.0))
    assert swatch.rounds / sock.rounds == pytest.approx(1.6)
    assert swatch.solid[1] > sock.solid[1]


def test_strands_from_the_same_end_are_a_pair():
    """Common practice: two strands knitted together match if both start from the same end, and so the ends are
    made different on purpose."""
    blank = Blank(60, 64, 15.9, strands=2)
    bands = [Band("rust", 6), Band("", 5), Band("kelp", 9)] * 3
    same, opposite = pair_of(blank, bands), pair_of(blank, bands, ends=("first", "last"))
    assert same.same_share > 0.95 > opposite.same_share
    assert ends_differ(bands, 60) and same.ends_differ
    assert not ends_differ([Band("rust", 6), Band("kelp", 6), Band("rust", 6)], 18)
