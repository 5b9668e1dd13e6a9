"""Jars: strength, correction, lot, more of the same."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.craft.jar import (
    Mixed,
    depth_if_left_percent,
    dye_to_add_g,
    is_another_lot,
    jar_strength_percent,
    lot_difference_percent,
    more_of_the_same,
    poured_together,
    water_to_add_ml,
)

grams = st.floats(0.01, 500)
millilitres = st.floats(1, 5000)
percents = st.floats(0.05, 20)


@pytest.mark.parametrize(
    ("dye_g", "volume_ml"),
    # Ashford, Learn to dye: microwave dyeing yarn (supplier's sheet): each of these is a 1 % solution.
    [(10, 1000), (5, 500), (2, 200), (1, 100)],
)
def test_published_one_per_cent_jars(dye_g: float, volume_ml: float) -> None:
    assert jar_strength_percent(dye_g, volume_ml) == pytest.approx(1.0)
    assert water_to_add_ml(dye_g, volume_ml, 1.0) == pytest.approx(0.0)
    assert dye_to_add_g(dye_g, volume_ml, 1.0) == pytest.approx(0.0)


def test_a_jar_too_strong_by_hand() -> None:
    # 5.6 g for 500 mL of 1 %: 5.6 g fill 560 mL at 1 g in 100 mL, so 60 mL of water.
    assert water_to_add_ml(5.6, 500, 1.0) == pytest.approx(60.0)
    with pytest.raises(ValueError, match=r"too strong \(1\.12 % where 1 % is wanted\).*add water"):
        dye_to_add_g(5.6, 500, 1.0)


def test_a_jar_too_weak_by_hand() -> None:
    # 3 g in 200 mL where 2 % is wanted: 2 % of 200 mL is 4 g, so 1 g of dye.
    assert dye_to_add_g(3, 200, 2.0) == pytest.approx(1.0)
    with pytest.raises(ValueError, match=r"too weak \(1\.5 % where 2 % is wanted\).*add dye"):
        water_to_add_ml(3, 200, 2.0)


@given(grams, millilitres, percents)
def test_the_correction_gives_the_strength(dye_g: float, volume_ml: float, wanted: float) -> None:
    if jar_strength_percent(dye_g, volume_ml) >= wanted:
        added = water_to_add_ml(dye_g, volume_ml, wanted)
        assert added >= 0
        assert jar_strength_percent(dye_g, volume_ml + added) == pytest.approx(wanted)
    else:
        added = dye_to_add_g(dye_g, volume_ml, wanted)
        assert added >= 0
        assert jar_strength_percent(dye_g + added, volume_ml) == pytest.approx(wanted)


def test_depth_if_left() -> None:
    # Determining the Depth of Your Dye Shade (Wiley): 454 mL of 1 % on 454 g is 1 %, 45.4 mL is 0.1 %.
    assert depth_if_left_percent(1.0, 454, 454) == pytest.approx(1.0)
    assert depth_if_left_percent(1.0, 45.4, 454) == pytest.approx(0.1)
    # A 1.12 % jar used as if it were 1 %: 50 mL carry 0.56 g, on 25 g that is 2.24 %, not 2 %.
    assert depth_if_left_percent(1.12, 50, 25) == pytest.approx(2.24)


def test_the_lot_limit_is_above_five_per_cent_either_way() -> None:
    assert lot_difference_percent(1.0, 1.12) == pytest.approx(12.0)
    assert lot_difference_percent(1.0, 0.9) == pytest.approx(-10.0)
    # 1.05 - 1 is 0.050000000000000044 in binary; that is no other lot.
    assert not is_another_lot(1.0, 1.05)
    assert not is_another_lot(1.0, 0.95)
    assert is_another_lot(1.0, 1.051)
    assert is_another_lot(1.0, 0.949)


def test_more_of_the_same_by_hand() -> None:
    # 30 mL of 1 % and 12 mL of 2 % (0.3 + 0.24 = 0.54 g), 48 mL water, 10 mL thickener: 100 mL of 0.54 %.
    jar = Mixed(((30.0, 1.0), (12.0, 2.0)), water_ml=48.0, thickener_ml=10.0)
    assert (jar.volume_ml, jar.dye_g, jar.strength_percent) == pytest.approx((100.0, 0.54, 0.54))
    more = more_of_the_same(jar, 25.0)
    assert [ml for ml, _ in more.stocks] == pytest.approx([7.5, 3.0])
    assert (more.water_ml, more.thickener_ml) == pytest.approx((12.0, 2.5))


parts = st.lists(st.tuples(st.floats(0, 1000), st.floats(0, 20)), min_size=1, max_size=4)


@given(parts, st.floats(1, 1000), st.floats(0, 200), st.floats(0.5, 5000))
def test_topping_up_conserves_strength_and_adds_up(
    stocks: list[tuple[float, float]], water_ml: float, thickener_ml: float, wanted_ml: float
) -> None:
    jar = Mixed(tuple(stocks), water_ml, thickener_ml)
    more = more_of_the_same(jar, wanted_ml)
    assert more.volume_ml == pytest.approx(wanted_ml)
    assert more.strength_percent == pytest.approx(jar.strength_percent)
    both = poured_together(jar, more)
    assert both.volume_ml == pytest.approx(jar.volume_ml + wanted_ml)
    assert both.dye_g == pytest.approx(jar.dye_g + more.dye_g)
    assert both.strength_percent == pytest.approx(jar.strength_percent)
    assert both.thickener_ml / both.volume_ml == pytest.approx(jar.thickener_ml / jar.volume_ml)


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf, 2_000_000.0])
def test_volumes_that_cannot_be_are_refused(bad: float) -> None:
    with pytest.raises(ValueError, match="must be more than 0"):
        more_of_the_same(Mixed(((30.0, 1.0),)), bad)
    with pytest.raises(ValueError, match="must be more than 0"):
        water_to_add_ml(5, bad, 1.0)
    with pytest.raises(ValueError, match="must be more than 0"):
        dye_to_add_g(5, bad, 1.0)


def test_an_empty_jar_is_refused() -> None:
    with pytest.raises(ValueError, match="volume in the jar must be more than 0"):
        Mixed(())
