"""Live figures of the bench against a published worked example and against other ways of solving."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
import scipy

from studio.craft.cooling import UNWRAP_C, cooling_line, crossing_min, fit_cooling
from studio.craft.heat import minutes_at_or_above, newton_minutes
from studio.craft.pot import minutes_to_steam


def test_a_bottle_in_the_refrigerator() -> None:
    """Stewart, Calculus, example of Newton's law (from memory): from 72 to 61 F in half an hour at 44 F; 54.3 F after
    an hour, 50 F after about 92.6 min. The law holds in any degrees."""
    assert fit_cooling([(0, 72), (30, 61)], 44, target_c=54.3).target_min == pytest.approx(60, abs=0.2)
    fit = fit_cooling([(0, 72), (30, 61)], 44, target_c=50)
    assert fit.target_min == pytest.approx(92.6, abs=0.1)
    assert newton_minutes(72, 44, fit.k_per_min, 50) == pytest.approx(92.6, abs=0.1)


def test_a_fit_of_scattered_readings() -> None:
    """Five readings of a packet in a room of 20 degC, off by up to half a degree: the rate and the start that scipy's
    curve_fit finds, with every reading as good in degC."""
    readings = [(0, 90.3), (12, 74.6), (25, 62.6), (40, 51.1), (60, 41.2)]
    (start, k), _ = scipy.optimize.curve_fit(
        lambda m, start, k: 20 + (start - 20) * np.exp(-k * m), *zip(*readings, strict=True), p0=(90, 0.02)
    )
    fit = fit_cooling(readings, 20)
    assert fit.k_per_min == pytest.approx(k, rel=0.005)
    assert fit.target_min == pytest.approx(math.log((start - 20) / 20) / k, rel=0.002)


@pytest.mark.parametrize("minutes", [[0.0, 12.0], [0.0, 5.0, 10.0, 15.0, 20.0]])
def test_the_interval_holds_the_truth_about_19_times_in_20(minutes: list[float]) -> None:
    """Drawn as JCGM 101:2008 does: true curve 90 C, room 20, k 0.02; thermometer off by a normal error of 0.577 C."""
    chance, u_c, held, tries = random.Random(20261125), 1 / math.sqrt(3), 0, 3000
    truth = math.log(70 / 20) / 0.02
    for _ in range(tries):
        readings = [(m, 20 + 70 * math.exp(-0.02 * m) + chance.gauss(0, u_c)) for m in minutes]
        _, early, late = crossing_min(cooling_line(readings, 20, u_c), 20, 40)
        held += early <= truth <= late
    # 2 standard uncertainties are 95.4 %; where scatter widens the interval it holds more often, never less.
    assert 0.94 <= held / tries <= 0.99


@pytest.mark.parametrize(("start_c", "boil_c"), [(10, 99.97), (20, 99.97), (60, 99.97), (20, 93.3)])
def test_heating_of_water_against_its_enthalpy(start_c: float, boil_c: float, coolprop) -> None:
    """CoolProp (IAPWS-95): enthalpy of water at atmospheric pressure, with 1 mL counted as 1 g."""
    pressure = 101_325.0

    def enthalpy_j_g(celsius: float) -> float:
        return float(coolprop.PropsSI("H", "T", celsius + 273.15, "P", pressure, "Water")) / 1000.0

    heat_j = 1500 * (enthalpy_j_g(boil_c) - enthalpy_j_g(start_c))
    assert minutes_to_steam(1500, start_c, boil_c, 1000, 0.8) == pytest.approx(heat_j / 48_000, rel=4e-3)


def test_bare_hands_wait_for_what_is_safe_to_touch() -> None:
    """No surface above 43 degC and no water above 44 degC for who cannot draw back: HSE, Scalding and burning."""
    assert UNWRAP_C <= 43.0


def test_minutes_at_the_strike() -> None:
    """A log of eight readings, read off every hundredth of a second by numpy's interpolation, and counted."""
    log = [(0, 40.0), (7, 78.0), (12, 88.5), (20, 97.0), (26, 80.0), (30, 86.0), (41, 84.0), (55, 60.0)]
    minutes = np.linspace(0, 55, 330_001)
    hot = np.interp(minutes, *zip(*log, strict=True)) >= 85.0
    assert minutes_at_or_above(log, 85.0) == pytest.approx(55 * hot.mean(), abs=0.002)
