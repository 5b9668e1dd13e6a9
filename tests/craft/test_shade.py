"""Depth, stocks, mixtures and drops: hand sums and properties."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.craft import liquor, shade

weights_g = st.floats(0.1, 10_000)
depths = st.floats(0.01, 20)
strengths = st.floats(0.05, 50)
volumes_ml = st.floats(0.1, 100_000)


@given(weights_g, depths, strengths)
def test_the_stock_holds_the_dye(fibre_g, depth, strength):
    volume_ml = shade.stock_ml(fibre_g, depth, strength)
    if volume_ml <= 1_000_000:
        assert shade.dye_in_stock_g(volume_ml, strength) == pytest.approx(shade.dye_g(fibre_g, depth))


@given(weights_g, depths)
def test_depth_back_from_the_dye(fibre_g, depth):
    assert shade.depth_percent(shade.dye_g(fibre_g, depth), fibre_g) == pytest.approx(depth)


@given(weights_g, depths, volumes_ml)
def test_the_weakest_stock_just_fits(fibre_g, depth, liquid_ml):
    strength = shade.least_stock_percent(fibre_g, depth, liquid_ml)
    if 0 < strength <= 100:
        assert shade.stock_ml(fibre_g, depth, strength) == pytest.approx(liquid_ml)


parts_of_a_mixture = st.lists(st.tuples(st.floats(0.01, 100), strengths), min_size=1, max_size=6)


@given(st.floats(1, 100), st.floats(0.01, 1), st.floats(1, 10_000))
def test_dilution_keeps_what_is_dissolved(strong, share, wanted_ml):
    poured = shade.dilution_ml(strong, strong * share, wanted_ml)
    assert poured * strong == pytest.approx(wanted_ml * strong * share)
    assert poured <= wanted_ml * (1 + 1e-12)


@given(st.floats(0, 1000), volumes_ml, volumes_ml, volumes_ml)
def test_drops_scale_in_any_number_of_steps(drops, first_ml, second_ml, third_ml):
    in_two = shade.scaled_drops(drops, first_ml, second_ml)
    if in_two <= 100_000:
        direct = shade.scaled_drops(drops, first_ml, third_ml)
        assert shade.scaled_drops(in_two, second_ml, third_ml) == pytest.approx(direct)


def test_half_a_blank_by_hand():
    """Half of a 100 g blank at 1.5 % from a 1 % stock: 50 x 1.5 / 1 = 75 mL with 0.75 g of dye. It was squeezed to
    150 g, may go to 150 % pick-up: 100 x (150 - 50)/100 = 100 mL for all, 50 mL for the half, so the 75 mL do not fit
    and 50 x 1.5 / 50 = 1.5 % is the weakest stock."""
    assert shade.stock_ml(50, 1.5, 1) == 75
    assert shade.dye_g(50, 1.5) == 0.75
    held = liquor.held_percent(150, 100)
    capacity = liquor.free_capacity_ml(100, 150, held)
    assert (held, capacity) == (50, 100)
    room = liquor.share_ml(capacity, 50, 100)
    assert room == 50
    assert shade.least_stock_percent(50, 1.5, room) == 1.5


@given(st.floats(1, 10_000), st.floats(0, 400), st.floats(0, 400))
def test_squeezing_harder_leaves_more_room(dry_g, held_1, held_2):
    low, high = sorted((held_1, held_2))
    roomy, tight = (liquor.free_capacity_ml(dry_g, 200, held) for held in (low, high))
    assert roomy >= tight >= 0


@given(st.floats(1, 99), st.sampled_from(["yes", "weak", "no"]), st.sampled_from(["yes", "weak", "no"]))
def test_share_that_takes_the_dye(share, first, second):
    blend, takes = {"a": share, "b": 100 - share}, {"a": first, "b": second}
    by_hand = sum(part for name, part in blend.items() if takes[name] != "no")
    assert liquor.dyeable_percent(blend, takes) == pytest.approx(by_hand)


def test_a_label_in_thirds_is_accepted():
    """33 + 33 + 33 adds up to 99 and is a mistake; 33.3 three times is rounding."""
    takes = dict.fromkeys("abc", "yes")
    assert liquor.dyeable_percent(dict.fromkeys("abc", 33.3), takes) == pytest.approx(99.9)
    with pytest.raises(ValueError, match="99 %"):
        liquor.dyeable_percent(dict.fromkeys("abc", 33), takes)


def test_the_lot_limit_is_above_five_per_cent_either_way() -> None:
    assert shade.lot_difference_percent(1.0, 1.12) == pytest.approx(12.0)
    assert shade.lot_difference_percent(1.0, 0.9) == pytest.approx(-10.0)
    # 1.05 - 1 is 0.050000000000000044 in binary; that is no other lot.
    assert not shade.is_another_lot(1.0, 1.05)
    assert not shade.is_another_lot(1.0, 0.95)
    assert shade.is_another_lot(1.0, 1.051)
    assert shade.is_another_lot(1.0, 0.949)
