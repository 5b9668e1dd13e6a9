"""Heat dose: minutes at the strike, the middle through interruptions, the hold after a loss."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.craft.heat import earliest_centre, minutes_at_or_above, minutes_within
from studio.craft.steam import Heating


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
    # 22 and 35 min of steam; it rolls from 5 to 20 (15), 26 to 30 (4) and from 40: 3 more, then 16 more, and 5 for
    # each of two losses of more than 5 min.
    rolling = [(5.0, 20.0), (26.0, 30.0), (40.0, math.inf)]
    found = earliest_centre(Heating(22.0, 35.0), rolling)
    assert found == Heating(43.0, 66.0)
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
    ends = [0.0, *(stop for _, stop in rolling)]
    losses = [start - ends[n] for n, (start, _) in enumerate(rolling) if n > 0 and start < found.slow_min]
    again = 5.0 * sum(lost > 5.0 for lost in losses)
    assert minutes_within(rolling, 0.0, found.slow_min) == pytest.approx(fast + more + again)
