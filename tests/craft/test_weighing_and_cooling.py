"""Weighing and cooling: properties."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.craft import heat, packet
from studio.craft import shade as weighing

steps_g = st.floats(0.001, 10)


@given(steps_g, st.floats(0.1, 4), st.floats(0, 900))
def test_a_round_stock_is_enough_to_weigh_and_for_the_plan(step_g, percent, needed_ml):
    ml = weighing.round_stock_ml(step_g, percent, needed_ml)
    fits = [v for v in weighing.ROUND_ML if v >= needed_ml and percent * v / 100 / step_g >= 49.999]
    assert ml == (min(fits) if fits else None)


starts = st.floats(45, 100)
rooms = st.floats(0, 35)
rates = st.floats(0.001, 1)


@given(st.lists(st.floats(20, 100), min_size=2, max_size=10), st.floats(25, 95), st.floats(0.1, 5))
def test_minutes_above_are_within_the_log_and_fall_with_the_strike(readings_c, strike, more):
    readings = [(float(n), c) for n, c in enumerate(readings_c)]
    above = heat.minutes_at_or_above(readings, strike)
    assert 0 <= above <= len(readings) - 1
    assert heat.minutes_at_or_above(readings, strike + more) <= above + 1e-9


def test_minutes_above_by_hand():
    """60 to 100 in 20 min crosses 85 at 12.5 min (7.5 min above); 30 min at 100; 100 to 70 in 15 min crosses at 7.5."""
    readings = [(0, 60), (20, 100), (50, 100), (65, 70)]
    assert heat.minutes_at_or_above(readings, 85) == pytest.approx(7.5 + 30 + 7.5)
    assert heat.minutes_at_or_above([(0, 90)], 85) == 0


@given(
    st.sampled_from(["roll", "flat packet"]),
    st.floats(0.005, 0.2),
    st.floats(0.03, 2),
    starts,
    rooms,
    st.floats(1, 30),
)
def test_the_middle_of_a_packet_lags_behind_one_lump(shape, thickness_m, length_m, start, room, h):
    """It never cools sooner than a body as warm outside as inside; ends, a thinner packet and more wind help."""
    made = packet.HotBody(shape, thickness_m, 3.0e6, length_m, film=packet.Film(0.5, h))
    minutes = packet.centre_cool_min(made, start, room, 40)
    assert packet.centre_c(made, start, room, minutes) == pytest.approx(40)
    assert minutes >= made.lumped_min() * math.log((start - room) / (40 - room)) * (1 - 1e-9)
    assert minutes <= packet.centre_cool_min(made._replace(length_m=math.inf), start, room, 40) + 1e-6
    assert minutes <= packet.centre_cool_min(made._replace(thickness_m=2 * thickness_m), start, room, 40)
    assert minutes >= packet.centre_cool_min(made._replace(film=packet.Film(0.5, 2 * h)), start, room, 40)


@given(starts, rooms, rates)
def test_minutes_to_the_target(start, room, k):
    """T = Ta + (T0 - Ta) exp(-k t) at the minutes we name, where the target is above the room."""
    minutes = heat.newton_minutes(start, room, k, 40)
    assert room + (start - room) * math.exp(-k * minutes) == pytest.approx(40)
    assert heat.newton_minutes(38, room, k, 40) == 0
