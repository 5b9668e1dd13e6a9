"""A hand fitted to its swatch, and skeins painted in sections."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.craft.stripe.blank import Band, Blank, Knitting, Painting, lay
from studio.craft.stripe.forecast import counted
from studio.craft.stripe.inverse import Measured, fit
from studio.craft.stripe.skein import SkeinSection, nearby, pooling, repeat_stitches, runs

BLANK, SWATCH = Blank(60, 40, 16.0), Knitting(40, 16.0)


def test_spread_fitted_by_hand():
    """Rounds as long as rows, 6 rows, no tilt or wander: solid rounds are 5 - 2 (1 - 0.2/s) on average, so 3.6
    of them mean s = 0.2 / 0.3 = 0.67 (derived in test_stripe_properties)."""
    found = fit([Measured(6, 3.6)], BLANK, SWATCH, Painting(0.8, 0, 0))
    assert found.painting.spread == pytest.approx(0.67, abs=0.08)
    assert found.misfit_rounds < 0.1


@pytest.mark.parametrize("spread", [0.5, 1.2, 2.0])
def test_a_known_hand_is_found_again(spread):
    """Counts made with a known spread, other random numbers and another blank lead back to it."""
    laid = lay([Band("", 20), Band("rust", 6), Band("", 20), Band("kelp", 10), Band("", 20)], 76)
    hand = Painting(spread, 1.0, 0.4)
    solid, _ = counted(Blank(76, 40, 16.0), laid, hand, SWATCH, paintings=2000, seed=99)
    measured = [Measured(6, solid[:, 1].mean()), Measured(10, solid[:, 3].mean())]
    found = fit(measured, BLANK, SWATCH)
    assert found.painting.spread == pytest.approx(spread, abs=0.15)
    assert found.painting.wander == 0.4


def test_the_trades_own_example():
    """A band painted 6 rows, 3 solid rounds, 2 mixed on each side: three solid rounds are met. With 4 mixed rounds
    to a band of 6 there is no wander that fits better than another, and the painting's own stays."""
    found = fit([Measured(6, 3, 2)], BLANK, SWATCH)
    assert found.solid[0] == pytest.approx(3, abs=0.1)
    assert 0.8 < found.painting.spread < 1.8
    assert found.painting.wander == Painting().wander
    assert 0.3 < found.misfit_rounds < 1.5


def test_fewer_solid_rounds_mean_more_spread():
    spreads = [fit([Measured(6, solid)], BLANK, SWATCH).painting.spread for solid in (4, 3, 2, 1)]
    assert spreads == sorted(spreads) and spreads[0] < spreads[-1]


def test_more_solid_rounds_than_can_be_is_a_bound():
    found = fit([Measured(6, 9)], BLANK, SWATCH)
    assert found.painting.spread == 0.0 and found.misfit_rounds > 3


def test_runs_of_a_skein_by_hand():
    """160 cm round at 12.5 mm a stitch: 128 stitches. 50 cm are 40 stitches, of 64 in a round 0.625 rounds.
    The last section is the first one's colour and joins it: 40 + 16 = 56 stitches."""
    found = runs(
        160, [SkeinSection("rust", 50), SkeinSection("kelp", 90), SkeinSection("rust", 20)], 64, 12.5
    )
    assert [(r.colour, r.stitches, r.rounds) for r in found] == [
        ("rust", pytest.approx(56), pytest.approx(0.875)),
        ("kelp", pytest.approx(72), pytest.approx(1.125)),
    ]


@given(
    lengths=st.lists(
        st.tuples(st.sampled_from(["rust", "kelp", ""]), st.floats(1, 40)), min_size=1, max_size=5
    ),
    loop_mm=st.floats(5, 25),
)
def test_runs_sum_to_the_repeat(lengths, loop_mm):
    found = runs(200, [SkeinSection(c, length) for c, length in lengths], 64, loop_mm)
    assert sum(r.stitches for r in found) == pytest.approx(repeat_stitches(200, loop_mm))
    assert all(a.colour != b.colour for a, b in pairwise(found))


@pytest.mark.parametrize(
    ("repeat", "stitches", "kind", "every", "shift"),
    [
        (64.0, 64, "stack", 1, 0.0),
        (32.0, 64, "stack", 1, 0.0),
        # 60 of 64 stitches: the next round begins 4 stitches into the repeat, so colours stand 4 further back.
        (60.0, 64, "spiral", 1, -4.0),
        (68.0, 64, "spiral", 1, 4.0),
        # Two repeats to three rounds: 3 x 64 = 2 x 96.
        (96.0, 64, "stack", 3, 0.0),
        # 64 / 53 = 1.21 repeats: 11 stitches back, a fifth of the repeat; two rounds 22, three 20, four 9.
        (53.0, 64, "scatter", 1, -11.0),
        (128.0, 64, "stripes", 1, -64.0),
        (500.0, 64, "stripes", 1, -64.0),
    ],
)
def test_what_a_stitch_count_makes_of_a_repeat(repeat, stitches, kind, every, shift):
    found = pooling(repeat, stitches)
    assert (found.kind, found.every) == (kind, every)
    assert found.shift_stitches == pytest.approx(shift)


@given(repeat=st.floats(10, 300), stitches=st.integers(1, 200), rounds=st.integers(1, 9))
def test_the_shift_is_where_the_colour_is(repeat, stitches, rounds):
    """A colour at some place of the repeat stands `shift` further on in the round after: the yarn knows both."""
    found = pooling(repeat, stitches)
    if found.kind == "stack" and found.every > 1:
        return
    here = (rounds * stitches) % repeat
    after = ((rounds + 1) * stitches + found.shift_stitches) % repeat
    apart = abs(here - after) % repeat
    assert min(apart, repeat - apart) == pytest.approx(0.0, abs=1e-6)


def test_nearby_counts():
    """Repeat 60, counts 58 to 62: 2, 1, 0, 1 and 2 stitches of movement a round; one is still a stack."""
    found = nearby(60.0, 60, reach=2)
    assert [p.stitches for p in found] == [58, 59, 60, 61, 62]
    assert [p.shift_stitches for p in found] == [2.0, 1.0, 0.0, -1.0, -2.0]
    assert [p.kind for p in found] == ["spiral", "stack", "stack", "stack", "spiral"]
    assert [p.stitches for p in nearby(60.0, 2, reach=4)] == [1, 2, 3, 4, 5, 6]
