"""Ramp, heat and evaporation of a bath, and bursts of a microwave, against published values and CoolProp."""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy

from studio.craft import bath_heat
from studio.craft import pot as microwave
from studio.craft.pot import WATER_J_G_K
from studio.tables.rows import dye_classes


@pytest.mark.parametrize("degrees", [20, 40, 60, 80, 95])
def test_the_specific_heat_of_water_against_coolprop(degrees: int, coolprop) -> None:
    """IAPWS-95 at 101 325 Pa (CoolProp); 4.19 J/gK is within 0.8 % of it from 20 to 95 degC."""
    real = coolprop.PropsSI("C", "T", degrees + 273.15, "P", 101_325, "Water") / 1000.0
    assert pytest.approx(real, rel=0.008) == WATER_J_G_K


def test_the_heat_of_a_bath_against_coolprops_enthalpy(coolprop) -> None:
    """3 kg of water from 40 to 93 degC by enthalpy difference (IAPWS-95, CoolProp)."""
    low, high = (coolprop.PropsSI("H", "T", c + 273.15, "P", 101_325, "Water") for c in (40, 93))
    assert bath_heat.bath_heat_j_k(3000, 0, 0) * 53 == pytest.approx(3.0 * (high - low), rel=0.004)


def test_heating_a_litre_by_the_definition_of_the_calorie() -> None:
    """1 kg by 1 degC is 1 kcal = 4.184 kJ (thermochemical calorie, NIST SP 811, appendix B.8)."""
    assert bath_heat.bath_heat_j_k(1000, 0, 0) == pytest.approx(4184, rel=0.002)


def test_the_classes_hold_within_what_is_published() -> None:
    """85 to 93 degC for 30 min (185 to 200 F; Earth Guild, acid dyes), 200 F for 30 to 45 min (Earth Guild,
    metal-complex dyes), 30 min pale to 60 min dark (George Weil, dyes on wool), ramps of 1 to 2 degC a minute
    (Lewis, Wool Dyeing, from memory; to the boil over 45 min from 20 to 30 degC by George Weil is 1.6 to 1.8)."""
    for row in dye_classes().values():
        assert 85.0 <= row.bath_top_c <= 93.4
        assert 30.0 <= row.bath_hold_min <= row.bath_hold_max_min <= 60.0
        assert 1.0 <= row.bath_ramp_c_min <= 2.0
    metal = dye_classes()["1:2 premetallised"]
    assert (metal.bath_hold_min, metal.bath_hold_max_min) == (30.0, 45.0)


def test_heating_up_against_small_steps() -> None:
    """The closed form against the balance C dT/dt = P - G (T - room), marched to 93 degC by scipy's solve_ivp."""
    heat, power, loss, room = 13_456.0, 700.0, 1.152, 18.0

    def warming(_: float, c: list[float]) -> list[float]:
        return [(power - loss * (c[0] - room)) / heat]

    def reached(_: float, c: list[float]) -> float:
        return c[0] - 93.0

    reached.terminal = True
    march = scipy.integrate.solve_ivp(warming, (0, 10_000), [40.0], events=reached, rtol=1e-9)
    assert bath_heat.heat_up_minutes(heat, power, loss, 40, 93, room) == pytest.approx(
        march.t[-1] / 60, rel=1e-6
    )


@pytest.mark.parametrize("degrees", [60, 80, 90])
def test_vapour_over_the_bath_against_coolprop(degrees: int, coolprop) -> None:
    """Density of saturated vapour (IAPWS-95, CoolProp), which the ideal gas gives within 1.5 %; surface and h
    as the page says."""
    rho = coolprop.PropsSI("D", "T", degrees + 273.15, "Q", 1, "Water")
    across = math.cbrt(4 * 3e-3 / math.pi)
    expected = 60_000 * math.pi * across**2 / 4 * 10 / (1200 * 0.87) * rho
    assert bath_heat.open_evaporation_ml_min(3000, degrees, 18) == pytest.approx(expected, rel=0.015)


def test_evaporation_takes_the_latent_heat(coolprop) -> None:
    """2282.5 J/g at 90 degC (IAPWS-95, CoolProp)."""
    liquid, vapour = (coolprop.PropsSI("H", "T", 363.15, "Q", q, "Water") for q in (0, 1))
    assert bath_heat.evaporation_w(60.0, 90) == pytest.approx((vapour - liquid) / 1000.0, rel=0.001)


def test_the_oven_standard_by_its_own_load(coolprop) -> None:
    """IEC 60705 (from memory) rates an oven by 1 kg of water warmed from 10 to 20 degC: at 700 W as long as its
    enthalpy takes (IAPWS-95, CoolProp)."""
    low, high = (coolprop.PropsSI("H", "T", c + 273.15, "P", 101_325, "Water") for c in (10, 20))
    after = microwave.burst(0, 1000, 700, (high - low) / 700 / 60, 10, 100)
    assert after.end_c == pytest.approx(20.0, abs=0.02) and after.steamed_ml == 0.0


def test_the_slope_of_a_ramp_that_jitters() -> None:
    """A ramp of 1.3 degC a minute read with half a degree of jitter: the straight line of numpy's polyfit."""
    points = [(m, 40 + 1.3 * m + (0.5 if m % 4 else -0.5)) for m in (20, 22, 24, 26)]
    slope, _ = np.polyfit(*zip(*points, strict=True), 1)
    assert bath_heat.rate_now_c_min(points) == pytest.approx(slope)


def test_a_burst_beyond_the_boil_against_coolprop(coolprop) -> None:
    """100 g of water at 100 degC and 600 W for a minute: 36 kJ over the latent heat of 2256.5 J/g."""
    liquid, vapour = (coolprop.PropsSI("H", "T", 373.124, "Q", q, "Water") for q in (0, 1))
    after = microwave.burst(0, 100, 600, 1, 99.974, 99.974)
    assert after.steamed_ml == pytest.approx(36_000 / ((vapour - liquid) / 1000.0), rel=0.001)


def test_air_over_the_bath_against_coolprop(coolprop):
    """Density by specific heat of dry air at 20 degC and one atmosphere (CoolProp): 1200 J/m3K is within 1.5 %."""
    air = [coolprop.PropsSI(of, "T", 293.15, "P", 101_325, "Air") for of in ("D", "C")]
    assert pytest.approx(air[0] * air[1], rel=0.015) == bath_heat.AIR_J_M3_K


@pytest.mark.parametrize(("litres", "top_c"), [(1.0, 40.0), (4.0, 60.0), (4.0, 95.0)])
def test_a_millilitre_is_counted_as_a_gram(coolprop, litres, top_c):
    """Water poured at 20 degC and warmed (CoolProp): heat by mL and 4.19 within 1 %, though it grows by up to 4 %."""
    state = ("D", "H")
    cold = [coolprop.PropsSI(of, "T", 293.15, "P", 101_325, "Water") for of in state]
    hot = [coolprop.PropsSI(of, "T", top_c + 273.15, "P", 101_325, "Water") for of in state]
    joule = litres / 1000 * cold[0] * (hot[1] - cold[1])
    assert bath_heat.bath_heat_j_k(1000 * litres, 0, 0) * (top_c - 20) == pytest.approx(joule, rel=0.01)
    assert cold[0] / hot[0] < 1.045
