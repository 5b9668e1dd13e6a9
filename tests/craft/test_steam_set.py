"""Boiling, heat-through, hold and pot water: hand sums and properties."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.craft import conduction, steam
from studio.craft.conduction import j0, j0_root, j1
from studio.craft.solve import root_between

thickness_m = st.floats(0.005, 0.2)
length_m = st.floats(0.02, 1.0)


@given(st.floats(0.0, 373.9))
def test_boiling_point_turns_saturation_pressure_round(temperature_c):
    pressure = max(611.213, steam.saturation_pressure_pa(temperature_c))
    assert steam.boiling_point_c(pressure) == pytest.approx(temperature_c, abs=2e-3)


@given(st.floats(-500, 8900), st.floats(1, 100))
def test_higher_is_thinner_and_cooler(altitude_m, step_m):
    low, high = steam.pressure_pa(altitude_m), steam.pressure_pa(altitude_m + step_m)
    assert high < low
    assert steam.boiling_point_c(high) < steam.boiling_point_c(low)


@given(thickness_m, st.floats(1.01, 3), st.sampled_from(["roll", "flat packet"]))
def test_thicker_takes_longer_by_the_square(thickness, times, shape):
    thin = steam.heat_through(shape, thickness)
    thick = steam.heat_through(shape, thickness * times)
    assert thick.fast_min == pytest.approx(thin.fast_min * times**2, rel=1e-6)


@given(thickness_m, length_m, st.floats(1.01, 3))
def test_longer_roll_takes_longer_up_to_a_limit(thickness, length, times):
    short = steam.heat_through("roll", thickness, length).fast_min
    longer = steam.heat_through("roll", thickness, length * times).fast_min
    endless = steam.heat_through("roll", thickness).fast_min
    assert short <= longer * (1 + 1e-9) <= endless * (1 + 1e-8)


@given(thickness_m, length_m)
def test_ends_of_the_interval(thickness, length):
    """The slow end is the fast one times 1.6: the same alpha t at 1.0e-7 and 1.6e-7 m2/s."""
    heating = steam.heat_through("roll", thickness, length)
    assert heating.slow_min == pytest.approx(1.6 * heating.fast_min)


@given(thickness_m, st.floats(0, 80), st.floats(90, 110), st.floats(0.1, 5))
def test_hotter_steam_and_warmer_start_are_quicker(thickness, start_c, steam_c, more):
    as_is = steam.heat_through("roll", thickness, math.inf, start_c, steam_c).fast_min
    assert steam.heat_through("roll", thickness, math.inf, start_c, steam_c + more).fast_min < as_is
    assert steam.heat_through("roll", thickness, math.inf, min(84, start_c + more), steam_c).fast_min < as_is


def test_already_hot():
    assert steam.heat_through("roll", 0.05, start_c=90) == steam.Heating(0.0, 0.0)


def test_a_flat_roll_is_a_slab():
    """A roll far shorter than wide heats from its two ends: its length is the slab's thickness."""
    pancake = steam.heat_through("roll", 0.9, 0.02).fast_min
    slab = steam.heat_through("flat packet", 0.02).fast_min
    assert pancake == pytest.approx(slab, rel=1e-6)


@given(st.floats(0.0, 3), st.floats(0.0001, 1))
def test_theta_falls_from_one(fo, more):
    for theta in (conduction.centre_theta_slab, conduction.centre_theta_cylinder):
        assert 1 >= theta(fo) >= theta(fo + more) - 1e-12 >= -1e-12


@pytest.mark.parametrize(
    ("x", "at_0", "at_1"),
    [
        (0.0, 1.0, 0.0),
        (1.0, 0.765197686557967, 0.440050585744934),
        (2.0, 0.223890779141236, 0.576724807756873),
        (5.0, -0.177596771314338, -0.327579137591465),
        (10.0, -0.245935764451348, 0.043472746168861),
        (15.0, -0.014224472826781, 0.205104038613522),
        (50.0, 0.055812327669252, -0.097511828125175),
    ],
)
def test_bessel_functions(x, at_0, at_1):
    """Abramowitz and Stegun 1964, tables 9.1 and 9.4 (from memory)."""
    assert j0(x) == pytest.approx(at_0, abs=1e-14)
    assert j1(x) == pytest.approx(at_1, abs=1e-14)


@pytest.mark.parametrize(
    ("n", "of_j0"),
    [(1, 2.404825557695773), (2, 5.520078110286311), (3, 8.653727912911012), (5, 14.930917708487786)],
)
def test_bessel_roots(n, of_j0):
    """Abramowitz and Stegun 1964, table 9.5 (from memory)."""
    assert j0_root(n) == pytest.approx(of_j0, abs=1e-12)


def test_bisect_refuses_a_bracket_without_a_root():
    with pytest.raises(ValueError, match="no change of sign"):
        root_between(lambda x: x * x + 1, -1, 1)


def test_a_session_by_hand():
    """1000 W at 98.81 degC (350 m): L = 2491.112 - 203.08 - 28.42 = 2259.6 J/g; 60 000 / 2259.6 = 26.55 mL/min;
    1.5 L last 56.5 min; a hold of 35.5 min takes 943 mL, 1131 mL with a fifth in reserve."""
    steam_c = steam.boiling_point_c(steam.pressure_pa(350))
    assert steam_c == pytest.approx(98.81, abs=0.01)
    rate = steam.boil_off_ml_min(1000, steam_c)
    assert rate == pytest.approx(26.55, abs=0.01)
    assert steam.pot_minutes(1500, rate) == pytest.approx(56.5, abs=0.05)
    assert steam.pot_water_ml(35.5, rate) == pytest.approx(1131, abs=1)
    assert steam.pot_minutes(1500, 0) == math.inf


@given(st.floats(0, 100), st.floats(0, 300), st.floats(0, 60))
def test_hold_is_the_larger(practice, heat_fast, margin):
    hold = steam.hold_min(practice, heat_fast, margin)
    assert hold >= practice and hold >= heat_fast + margin
    assert hold in (practice, heat_fast + margin)
