"""Room for paint in squeezed fibre, and whether the paint reaches."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.craft.room import over_capacity, reach, used_ml


def test_too_wet_by_hand() -> None:
    # 80 g squeezed to 140 g holds 75 %; up to 140 % that leaves 80 x 0.65 = 52 mL for 40 + 30 + 10 = 80 mL:
    # 28 mL too much, a share of 0.35, so 14 + 10.5 + 3.5 mL; or 28 g more out of it, down to 112 g.
    room = over_capacity([40, 30, 10], dry_g=80, squeezed_g=140, target_pickup_percent=140)
    assert room.capacity_ml == pytest.approx(52)
    assert (room.over_ml, room.spare_ml) == pytest.approx((28, 0))
    assert room.leave_out_ml == pytest.approx((14, 10.5, 3.5))
    assert room.kept_share == pytest.approx(0.65)
    assert (room.squeeze_g, room.squeeze_to_g) == pytest.approx((28, 112))
    assert room.squeezing_is_enough


def test_it_fits_by_hand() -> None:
    room = over_capacity([20, 20], dry_g=80, squeezed_g=140, target_pickup_percent=140)
    assert (room.over_ml, room.spare_ml) == pytest.approx((0, 12))
    assert room.leave_out_ml == (0, 0)
    assert (room.kept_share, room.squeeze_g) == (1.0, 0.0)


def test_fibre_already_above_the_target() -> None:
    # 100 g at 260 g holds 160 % where 150 % is the target: no room at all, and 10 g above it must go too.
    room = over_capacity([30], dry_g=100, squeezed_g=260, target_pickup_percent=150)
    assert room.capacity_ml == 0
    assert room.leave_out_ml == pytest.approx((30,))
    assert room.squeeze_g == pytest.approx(40)


def test_fibre_cannot_be_squeezed_drier_than_moist_air_leaves_it() -> None:
    # 100 g at 130 g with 140 mL planned and 150 %: room for 120 mL, 20 g more would leave 110 g, below 117.
    room = over_capacity([140], dry_g=100, squeezed_g=130, target_pickup_percent=150)
    assert room.squeeze_to_g == pytest.approx(110)
    assert not room.squeezing_is_enough


@given(
    st.lists(st.floats(0, 500), min_size=1, max_size=6),
    st.floats(10, 1000),
    st.floats(1, 3),
    st.floats(20, 300),
)
def test_either_way_out_is_enough(paint: list[float], dry_g: float, wetness: float, target: float) -> None:
    room = over_capacity(paint, dry_g, dry_g * wetness, target)
    assert math.fsum(room.leave_out_ml) == pytest.approx(room.over_ml)
    assert room.planned_ml - math.fsum(room.leave_out_ml) <= room.capacity_ml + 1e-6
    if room.squeezing_is_enough:
        again = over_capacity(paint, dry_g, room.squeeze_to_g, target)
        assert again.over_ml == pytest.approx(0, abs=1e-6)


def test_a_wet_weight_below_the_dry_is_refused() -> None:
    with pytest.raises(ValueError, match="less than the dry weight"):
        over_capacity([10], dry_g=100, squeezed_g=90, target_pickup_percent=150)


def test_paint_used_by_the_weight_of_its_jar() -> None:
    assert used_ml(412.5, 390.0) == pytest.approx(22.5)
    with pytest.raises(ValueError, match="weighs more after painting"):
        used_ml(390, 412)


def test_paint_that_does_not_reach_by_hand() -> None:
    # 45 mL on 30 rows is 1.5 mL a row; 40 bare rows need 60 mL, 48 mL are left: 12 short, enough for 32 rows.
    found = reach(used_ml=45, painted_rows=30, bare_rows=40, left_ml=48)
    assert (found.rate_ml, found.needed_ml, found.short_ml) == pytest.approx((1.5, 60, 12))
    assert found.reaches_rows == pytest.approx(32)
    assert not found.reaches


def test_paint_that_just_reaches() -> None:
    # 0.1 mL a row, three rows: 0.30000000000000004 mL in binary, 0.3 mL left. It reaches.
    found = reach(used_ml=0.1, painted_rows=1, bare_rows=3, left_ml=0.3)
    assert found.reaches and found.short_ml == 0 and found.reaches_rows == 3


def test_shares_serve_as_rows() -> None:
    found = reach(used_ml=20, painted_rows=0.4, bare_rows=0.6, left_ml=40)
    assert found.needed_ml == pytest.approx(30) and found.reaches


def test_nothing_painted_yet_has_no_rate() -> None:
    with pytest.raises(ValueError, match="volume used so far must be more than 0"):
        reach(used_ml=0, painted_rows=4, bare_rows=3, left_ml=10)
    with pytest.raises(ValueError, match="rows painted must be more than 0"):
        reach(used_ml=4, painted_rows=0, bare_rows=3, left_ml=10)
