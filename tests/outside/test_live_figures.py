"""Live figures of the bench against published worked examples and against other ways of solving."""

from __future__ import annotations

import math
import random

import pytest

from studio.craft.cooling import cooling_line, crossing_min, fit_cooling
from studio.craft.heat import earliest_centre, newton_minutes
from studio.craft.pot import minutes_to_steam
from studio.craft.steam import Heating, heat_through

# Five worked examples of Newton's law of cooling, each from students' pages (figures read, results ours
# where the page gives only the data).


def test_newton_95_to_61_in_half_an_hour() -> None:
    """Math Help Forum, thread 126430: 95 C, room 20, 61 C at 30 min; the page gives k = 0.02."""
    fit = fit_cooling([(0, 95), (30, 61)], 20)
    assert fit.k_per_min == pytest.approx(0.02013, abs=5e-6)
    assert round(fit.k_per_min, 2) == 0.02
    assert fit.poor == ""
    # ln(75 / 20) / 0.020130 = 65.66 min to 40 degC.
    assert fit.target_min == pytest.approx(65.66, abs=0.01)
    assert fit.fast_min < 65.66 < fit.slow_min


def test_newton_80_falling_6_a_minute() -> None:
    """Zookal, study question on cooling: 80 C, room 20, 6 C/min at first, to 40 C. k = 6 / 60."""
    k = 6 / (80 - 20)
    assert k == pytest.approx(0.1)
    assert newton_minutes(80, 20, k, 40) == pytest.approx(10.986, abs=5e-4)
    # The same curve read at minute 5: 20 + 60 exp(-0.5) = 56.392.
    assert fit_cooling([(0, 80), (5, 56.392)], 20).target_min == pytest.approx(10.986, abs=1e-3)


def test_newton_90_falling_8_a_minute() -> None:
    """OpenStudy, question on cooling: 90 C, room 20, 8 C/min at first, to 75 C. k = 8 / 70."""
    k = 8 / (90 - 20)
    assert k == pytest.approx(0.114286, abs=5e-7)
    assert newton_minutes(90, 20, k, 75) == pytest.approx(2.1102, abs=5e-5)
    # Read at minute 1: 20 + 70 exp(-0.114286) = 82.4401.
    assert fit_cooling([(0, 90), (1, 82.4401)], 20, target_c=75).target_min == pytest.approx(2.110, abs=1e-3)


def test_newton_180_to_140_fahrenheit() -> None:
    """Wyzant, question 942962: 180 F, room 65 F, 140 F at 20 min; at 66 min? The law holds in any degrees."""
    fit = fit_cooling([(0, 180), (20, 140)], 65, target_c=93.06)
    assert fit.k_per_min == pytest.approx(0.0213722, abs=5e-8)
    assert fit.target_min == pytest.approx(66.0, abs=0.02)


@pytest.mark.parametrize("minutes", [[0.0, 12.0], [0.0, 5.0, 10.0, 15.0, 20.0]])
def test_the_interval_holds_the_truth_about_19_times_in_20(minutes: list[float]) -> None:
    """Monte Carlo: true curve 90 C, room 20, k 0.02; thermometer off by a normal error of 0.577 C."""
    chance, u_c, held, tries = random.Random(20261125), 1 / math.sqrt(3), 0, 3000
    truth = math.log(70 / 20) / 0.02
    for _ in range(tries):
        readings = [(m, 20 + 70 * math.exp(-0.02 * m) + chance.gauss(0, u_c)) for m in minutes]
        _, early, late = crossing_min(cooling_line(readings, 20, u_c), 20, 40)
        held += early <= truth <= late
    # 2 standard uncertainties are 95.4 %; where scatter widens the interval it holds more often, never less.
    assert 0.94 <= held / tries <= 0.99


def test_the_middle_of_a_flat_packet_by_finite_differences() -> None:
    """Explicit differences through half a slab of 4 cm, surface at steam at once, against the series."""
    alpha, half_m, cells = 1.6e-7, 0.02, 40
    dx = half_m / cells
    dt = 0.4 * dx * dx / alpha
    celsius = [20.0] * cells + [98.0]
    seconds = 0.0
    while celsius[0] < 85.0:
        inner = [
            celsius[i] + 0.4 * (celsius[i - 1] - 2 * celsius[i] + celsius[i + 1]) for i in range(1, cells)
        ]
        middle = celsius[0] + 0.8 * (celsius[1] - celsius[0])
        celsius = [middle, *inner, 98.0]
        seconds += dt
    heating = heat_through("flat packet", 0.04, start_c=20, steam_c=98, target_c=85)
    found = earliest_centre(heating, [(7.0, math.inf)])
    assert found.fast_min == pytest.approx(7.0 + seconds / 60.0, rel=2e-3)
    # The slow end is the same curve at 1.0e-7 m2/s: 1.6 times the minutes.
    assert found.slow_min - 7.0 == pytest.approx(1.6 * seconds / 60.0, rel=2e-3)


def test_a_roll_in_interrupted_steam() -> None:
    """Long roll of 6 cm: 60.5 min to 95 C from 20 in steam of 98 (computed from the exact series, theta 3/78)."""
    heating = heat_through("roll", 0.06, start_c=20, steam_c=98, target_c=95)
    assert heating.fast_min == pytest.approx(60.5, abs=0.05)
    found = earliest_centre(heating, [(10, 40), (48, math.inf)])
    # 30 min rolled by minute 40, 30.5 more from 48 on.
    assert found.fast_min == pytest.approx(78.5, abs=0.05)
    assert isinstance(found, Heating)


@pytest.mark.parametrize(("start_c", "boil_c"), [(10, 99.97), (20, 99.97), (60, 99.97), (20, 93.3)])
def test_heating_of_water_against_its_enthalpy(start_c: float, boil_c: float, coolprop) -> None:
    """CoolProp (IAPWS-95): enthalpy of water at atmospheric pressure, with 1 mL counted as 1 g."""
    pressure = 101_325.0

    def enthalpy_j_g(celsius: float) -> float:
        return float(coolprop.PropsSI("H", "T", celsius + 273.15, "P", pressure, "Water")) / 1000.0

    heat_j = 1500 * (enthalpy_j_g(boil_c) - enthalpy_j_g(start_c))
    assert minutes_to_steam(1500, start_c, boil_c, 1000, 0.8) == pytest.approx(heat_j / 48_000, rel=4e-3)
