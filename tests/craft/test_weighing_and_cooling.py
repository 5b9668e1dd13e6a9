"""Weighing and cooling: properties."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from studio.craft import heat, packet
from studio.craft import shade as weighing
from studio.craft.cooling import cooling_line
from studio.craft.packet import (
    Film,
    HotBody,
    densest_g_ml,
    flat_cm,
    heat_j_m3k,
    roll_cm,
    times_as_fast,
    wet_ml,
)
from studio.craft.steam import WET_WOOL_ALPHAS_M2_S

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
    assert room + (start - room) * made.theta(minutes) == pytest.approx(40)
    assert minutes >= made.lumped_min() * math.log((start - room) / (40 - room)) * (1 - 1e-9)
    assert minutes <= packet.centre_cool_min(replace(made, length_m=math.inf), start, room, 40) + 1e-6
    assert minutes <= packet.centre_cool_min(replace(made, thickness_m=2 * thickness_m), start, room, 40)
    assert minutes >= packet.centre_cool_min(replace(made, film=packet.Film(0.5, 2 * h)), start, room, 40)


@given(starts, rooms, rates)
def test_minutes_to_the_target(start, room, k):
    """T = Ta + (T0 - Ta) exp(-k t) at the minutes we name, where the target is above the room."""
    minutes = heat.newton_minutes(start, room, k, 40)
    assert room + (start - room) * math.exp(-k * minutes) == pytest.approx(40)
    assert heat.newton_minutes(38, room, k, 40) == 0


def test_a_short_roll_by_the_product_of_its_directions() -> None:
    """Newman's rule: the axis of a roll 5 cm across and 10 cm long is the long roll's times the 10 cm slab's."""
    sides = {"film": Film(0.5, 10.0)}
    short = HotBody("roll", 0.05, 3.5e6, length_m=0.10, **sides)
    for minutes in (20, 60, 120):
        long = HotBody("roll", 0.05, 3.5e6, **sides).theta(minutes)
        slab = HotBody("flat packet", 0.10, 3.5e6, **sides).theta(minutes)
        assert short.theta(minutes) == pytest.approx(long * slab)


@pytest.mark.parametrize(
    ("pick_up", "g_ml", "mj_m3k"),
    [(0.6, 1.173, 2.84), (1.0, 1.133, 3.14), (1.5, 1.103, 3.37), (2.0, 1.084, 3.52), (2.5, 1.071, 3.62)],
)
def test_wet_wool_without_air(pick_up: float, g_ml: float, mj_m3k: float) -> None:
    """Fibre 1.31 g/mL and 1.36 J/gK, water 0.998 g/mL and 4.19 J/gK, by hand."""
    assert densest_g_ml(pick_up) == pytest.approx(g_ml, abs=5e-4)
    assert heat_j_m3k(pick_up, densest_g_ml(pick_up)) / 1e6 == pytest.approx(mj_m3k, abs=0.006)


@pytest.mark.parametrize(
    ("pick_up", "g_ml", "ml", "rolls_cm", "flat_20_30_cm", "sheet_mm"),
    [
        (1.0, 0.8, 250, (5.64, 4.61, 3.57, 3.26), 0.42, 1.00),
        (1.0, 0.6, 333, (6.51, 5.32, 4.12, 3.76), 0.56, 1.33),
        (1.0, 1.0, 200, (5.05, 4.12, 3.19, 2.91), 0.33, 0.80),
        (1.5, 0.8, 312.5, (6.31, 5.15, 3.99, 3.64), 0.52, 1.25),
    ],
)
def test_sides_of_100_g(
    pick_up: float,
    g_ml: float,
    ml: float,
    rolls_cm: tuple[float, ...],
    flat_20_30_cm: float,
    sheet_mm: float,
) -> None:
    """Rolls 10, 15, 25 and 30 cm long, a packet of 20 by 30 cm, a sheet of 2500 cm2 single and in 8 layers, by the
    balance of volumes."""
    found = wet_ml(100, pick_up, g_ml)
    assert found == pytest.approx(ml, abs=0.5)
    assert tuple(roll_cm(found, length) for length in (10, 15, 25, 30)) == pytest.approx(rolls_cm, abs=0.01)
    assert flat_cm(found, 600) == pytest.approx(flat_20_30_cm, abs=0.005)
    assert flat_cm(found, 2500) == pytest.approx(sheet_mm / 10, abs=5e-4)
    assert flat_cm(found, 2500, 8) == pytest.approx(8 * sheet_mm / 10, abs=4e-3)


@pytest.mark.parametrize("pick_up", [1.0, 1.5, 2.0, 2.5])
def test_heating_and_cooling_reckon_with_one_diffusivity(pick_up: float) -> None:
    """Of wet wool without air, by the conductivity of the cooling; and the ends of both overlap."""
    heat_j_m3k = packet.heat_j_m3k(pick_up, packet.densest_g_ml(pick_up))
    fast, slow = WET_WOOL_ALPHAS_M2_S
    assert slow < packet.USUAL.k_w_mk / heat_j_m3k < fast
    assert packet.SLOW.k_w_mk / heat_j_m3k < fast and packet.FAST.k_w_mk / heat_j_m3k > slow


def test_a_thin_packet_read_over_hours_has_a_rate_too() -> None:
    """Read until its excess is nearly gone: twenty times as fast it would be lost in the rounding of a degree."""
    roll, minutes = HotBody("roll", 0.04, 2.7e6, 0.24), (40.0, 80.0, 120.0)
    read = [(minute, 20 + 78 * roll.theta(1.2 * minute)) for minute in minutes]
    rate = cooling_line(read, 20, 1.0).k_per_min
    assert times_as_fast(roll, minutes, rate) == pytest.approx(1.2)
