"""Weighing and cooling: properties."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.craft import heat
from studio.craft import shade as weighing

steps_g = st.floats(0.001, 10)


@given(steps_g, st.floats(0.001, 1))
def test_least_weight_sits_on_the_limit(step_g, limit):
    weight_g = weighing.least_weight_g(step_g, limit)
    assert weighing.relative_uncertainty(weight_g, step_g) == pytest.approx(limit)
    assert weighing.relative_uncertainty(weight_g * 1.1, step_g) < limit


@given(steps_g, st.floats(0.01, 1000), st.floats(1.001, 10))
def test_more_weight_and_finer_scale_are_better(step_g, weight_g, times):
    as_is = weighing.relative_uncertainty(weight_g, step_g)
    assert weighing.relative_uncertainty(weight_g * times, step_g) < as_is
    assert weighing.relative_uncertainty(weight_g, step_g / times) < as_is


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


def test_packet_by_hand():
    """Roll 5 x 12 cm: area pi (0.05 x 0.12 + 0.05^2/2) = 0.022777 m2; 100 g wool and 150 g water hold
    136 + 627 = 763 J/K; at 10 W/(m2 K) 60 x 0.22777 / 763 = 0.01791 a minute. A flat packet 4 x 20 x 20 cm:
    2 (0.04 + 0.008 + 0.008) = 0.112 m2, so 60 x 1.12 / 763 = 0.08807 a minute."""
    assert heat.packet_k_per_min("roll", 0.05, 0.12, 100, 150, 10) == pytest.approx(0.01791, abs=1e-5)
    assert heat.packet_k_per_min("flat packet", 0.04, 0.2, 100, 150, 10) == pytest.approx(0.08807, abs=1e-5)
    wide = heat.packet_k_per_min("flat packet", 0.04, 0.2, 100, 150, 10, width_m=0.4)
    assert wide > heat.packet_k_per_min("flat packet", 0.04, 0.2, 100, 150, 10)


@given(starts, rooms, rates)
def test_minutes_to_the_target(start, room, k):
    """T = Ta + (T0 - Ta) exp(-k t) at the minutes we name, where the target is above the room."""
    minutes = heat.newton_minutes(start, room, k, 40)
    assert room + (start - room) * math.exp(-k * minutes) == pytest.approx(40)
    assert heat.newton_minutes(38, room, k, 40) == 0
