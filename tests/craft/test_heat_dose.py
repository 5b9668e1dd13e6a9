"""Heat dose: minutes at the strike, the middle through interruptions, the hold after a loss."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.craft.heat_dose import Heating, earliest_centre, hold_after_loss, minutes_at_or_above
from studio.craft.stretches import minutes_within


def test_a_lid_log_against_the_integral_by_hand() -> None:
    readings = [
        (0.0, 40.0),
        (10.0, 90.0),
        (14.0, 98.0),
        (20.0, 98.0),
        (26.0, 80.0),
        (30.0, 86.0),
        (33.0, 95.0),
    ]
    # Above 85 degC, stretch by stretch:
    # 0-10: from 40 to 90, 5 degC a minute: 85 at minute 9, so 1 min
    # 10-14: all of it, 4 min; 14-20: all of it, 6 min
    # 20-26: from 98 to 80, 3 degC a minute: above for 13 / 3 = 4.3333 min
    # 26-30: from 80 to 86, 1.5 degC a minute: the last 1 / 1.5 = 0.6667 min
    # 30-33: all of it, 3 min.  Together 19 min.
    assert minutes_at_or_above(readings, 85.0) == pytest.approx(19.0)


def test_nothing_is_assumed_beyond_the_last_reading() -> None:
    assert minutes_at_or_above([], 85) == 0
    assert minutes_at_or_above([(5, 99)], 85) == 0
    assert minutes_at_or_above([(5, 99), (7, 99)], 85) == 2


def test_just_at_the_strike_counts() -> None:
    assert minutes_at_or_above([(0, 85), (6, 85)], 85) == 6
    assert minutes_at_or_above([(0, 80), (6, 85), (12, 80)], 85) == 0


@given(st.lists(st.floats(20, 105), min_size=2, max_size=8), st.floats(30, 100))
def test_against_fine_steps(celsius: list[float], strike_c: float) -> None:
    readings = [(3.0 * number, c) for number, c in enumerate(celsius)]
    counted = 0
    for (_, before), (_, after) in pairwise(readings):
        counted += sum(before + (after - before) * (n + 0.5) / 300 >= strike_c for n in range(300))
    assert minutes_at_or_above(readings, strike_c) == pytest.approx(counted / 100, abs=0.011 * len(celsius))


def test_the_middle_waits_while_the_steam_is_off() -> None:
    # 22 and 35 min of steam; it rolls from 5 to 20 (15), 26 to 30 (4) and from 40: 3 more, then 16 more.
    rolling = [(5.0, 20.0), (26.0, 30.0), (40.0, math.inf)]
    found = earliest_centre(Heating(22.0, 35.0), rolling)
    assert found == Heating(43.0, 56.0)
    # The same without a promise that the steam goes on.
    found = earliest_centre(Heating(17.0, 22.0), [(5, 20), (26, 30)])
    assert (found.fast_min, found.slow_min) == (28.0, math.inf)
    assert earliest_centre(Heating(17.0, 22.0), []).fast_min == math.inf


@given(
    st.floats(1, 60),
    st.floats(0, 40),
    st.lists(st.tuples(st.floats(0.1, 20), st.floats(0.1, 20)), min_size=1, max_size=5),
)
def test_the_steam_until_then_is_the_steam_it_takes(
    fast: float, more: float, steps: list[tuple[float, float]]
) -> None:
    rolling, clock = [], 0.0
    for off, on in steps:
        rolling.append((clock + off, clock + off + on))
        clock += off + on
    rolling.append((clock + 1.0, math.inf))
    found = earliest_centre(Heating(fast, fast + more), rolling)
    assert minutes_within(rolling, 0.0, found.fast_min) == pytest.approx(fast)
    assert minutes_within(rolling, 0.0, found.slow_min) == pytest.approx(fast + more)


def test_a_hold_without_loss() -> None:
    left = hold_after_loss(30, [(2, math.inf)], now_min=20)
    assert (left.left_min, left.rolled_min, left.lost_min, left.reheating_min) == (12, 18, 0, 0)
    assert left.done_min == 32


@pytest.mark.parametrize(("loss", "reheating"), [(5.0, 0.0), (5.1, 5.0), (3.0, 0.0)])
def test_only_a_loss_longer_than_five_minutes_asks_for_reheating(loss: float, reheating: float) -> None:
    # 12 min rolled, lost, 6 min rolled: 18 of 30.
    back = 12.0 + loss
    left = hold_after_loss(30, [(0, 12), (back, math.inf)], now_min=back + 6)
    assert left.left_min == pytest.approx(12 + reheating)
    assert left.lost_min == pytest.approx(loss)
    assert left.done_min == pytest.approx(back + 18 + reheating)


def test_each_long_loss_counts() -> None:
    # 10 + 10 + 5 rolled; losses of 8, 2 and 6 min: two long ones. 30 + 10 - 25 = 15.
    rolling = [(0, 10), (18, 28), (30, 35), (41, math.inf)]
    assert hold_after_loss(30, rolling, now_min=41).left_min == pytest.approx(15)
    assert hold_after_loss(30, rolling, now_min=41).lost_min == pytest.approx(16)


def test_steam_off_right_now_is_a_loss_in_the_making() -> None:
    left = hold_after_loss(30, [(0, 12)], now_min=20)
    assert (left.left_min, left.lost_min, left.reheating_min, left.done_min) == (23, 8, 5, 43)


def test_steam_stopped_after_the_hold_is_no_loss() -> None:
    left = hold_after_loss(30, [(0, 31)], now_min=90)
    assert (left.left_min, left.lost_min, left.reheating_min, left.done_min) == (0, 0, 0, 30)
    # Stopped on the very minute, 0.1 + 0.2 rolled for 0.3: done for all that the last bit of the sum is off.
    assert hold_after_loss(30, [(0, 30)], now_min=90).left_min == 0
    assert hold_after_loss(0.3, [(0, 0.1), (0.2, 0.4)], now_min=90).left_min == 0
    again = hold_after_loss(30, [(0, 31), (60, 70)], now_min=90)
    assert again.left_min == 0


def test_before_the_steam_rolls_nothing_is_lost() -> None:
    left = hold_after_loss(30, [], now_min=9)
    assert (left.left_min, left.lost_min, left.done_min) == (30, 0, 39)
    assert hold_after_loss(30, [(12, math.inf)], now_min=9).left_min == 30


@given(
    st.floats(1, 60),
    st.lists(st.tuples(st.floats(0.5, 15), st.floats(0.5, 15)), min_size=1, max_size=5),
)
def test_the_promised_end_is_kept_if_the_steam_goes_on(hold: float, steps: list[tuple[float, float]]) -> None:
    rolling, clock = [], 0.0
    for on, off in steps:
        rolling.append((clock, clock + on))
        clock += on + off
    promised = hold_after_loss(hold, rolling, now_min=clock)
    if promised.left_min == 0:
        return
    kept = hold_after_loss(hold, [*rolling, (clock, math.inf)], now_min=promised.done_min + 1)
    assert kept.left_min == 0
    assert kept.done_min == pytest.approx(promised.done_min)
    assert promised.left_min + promised.rolled_min == pytest.approx(hold + promised.reheating_min)


def test_overlapping_steam_is_refused() -> None:
    with pytest.raises(ValueError, match="times of the steam overlap"):
        hold_after_loss(30, [(0, 12), (10, 20)], now_min=30)
    with pytest.raises(ValueError, match="times of the steam overlap"):
        earliest_centre(Heating(10, 20), [(0, math.inf), (30, 40)])
