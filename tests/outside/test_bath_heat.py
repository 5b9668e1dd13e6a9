"""Ramp, heat and evaporation of a bath, and bursts of a microwave, against published values and CoolProp."""

from __future__ import annotations

import math

import pytest

from studio.craft import bath_heat
from studio.craft import bath_heat as ramp
from studio.craft import pot as microwave
from studio.craft.heat import newton_minutes
from studio.craft.pot import WATER_J_G_K
from studio.craft.steam import latent_heat_j_g
from studio.tables.loading import dye_classes


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


def test_published_ramps() -> None:
    """From 20 to 30 degC to the boil over 45 min: 1.6 to 1.8 degC a minute (supplier's recipe for dyes on
    wool, George Weil, undated: raise to the boil over 45 min)."""
    assert ramp.ramp_minutes(20, 100, 80 / 45) == pytest.approx(45)
    for start in (20.0, 30.0):
        assert 1.5 < (100 - start) / 45 < 1.8


def test_the_classes_hold_within_what_is_published() -> None:
    """85 to 93 degC for 30 min (185 to 200 F; Earth Guild, acid dyes), 200 F for 30 to 45 min (Earth Guild,
    metal-complex dyes), 30 min pale to 60 min dark (George Weil), ramps of 1 to 2 degC a minute (Lewis, Wool
    Dyeing, from memory)."""
    assert pytest.approx(85.0) == (185 - 32) / 1.8 and pytest.approx(93.3, abs=0.05) == (200 - 32) / 1.8
    for row in dye_classes().values():
        assert 85.0 <= row.bath_top_c <= 93.4
        assert 30.0 <= row.bath_hold_min <= row.bath_hold_max_min <= 60.0
        assert 1.0 <= row.bath_ramp_c_min <= 2.0
    metal = dye_classes()["1:2 premetallised"]
    assert (metal.bath_hold_min, metal.bath_hold_max_min) == (30.0, 45.0)


def test_heating_up_against_small_steps() -> None:
    """The closed form against the balance C dT/dt = P - G (T - room) stepped second by second."""
    heat, power, loss, room = 13_456.0, 700.0, 1.152, 18.0
    seconds, c = 0, 40.0
    while c < 93.0:
        c += (power - loss * (c - room)) / heat
        seconds += 1
    assert bath_heat.heat_up_minutes(heat, power, loss, 40, 93, room) == pytest.approx(
        seconds / 60, rel=0.002
    )


def test_without_loss_it_is_power_over_heat() -> None:
    """500 W warm 4.184 kJ/K by 60 degC in 8.37 min: arithmetic."""
    assert bath_heat.heat_up_minutes(4184, 500, 0, 20, 80, 20) == pytest.approx(4184 * 60 / 500 / 60)


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


def test_a_covered_pot_cools_by_newtons_law() -> None:
    """k = 60 x 1.152 / 13456; 93 to 40 degC in a room of 18: ln(75 / 22) / k, arithmetic."""
    k = bath_heat.cooling_k_per_min(13_456, 1.152)
    assert newton_minutes(93, 18, k, 40) == pytest.approx(math.log(75 / 22) / (60 * 1.152 / 13_456))


def test_the_oven_standard_by_its_own_load() -> None:
    """IEC 60705 (from memory) rates an oven by 1 kg of water warmed by 10 degC: 59.8 s at 700 W (4.187 J/gK)."""
    after = microwave.burst(0, 1000, 700, 59.81 / 60, 10, 100)
    assert after.end_c == pytest.approx(20.0, abs=0.02) and after.steamed_ml == 0.0


def test_a_burst_beyond_the_boil_against_coolprop(coolprop) -> None:
    """100 g of water at 100 degC and 600 W for a minute: 36 kJ over the latent heat of 2256.5 J/g."""
    liquid, vapour = (coolprop.PropsSI("H", "T", 373.124, "Q", q, "Water") for q in (0, 1))
    after = microwave.burst(0, 100, 600, 1, 99.974, 99.974)
    assert after.steamed_ml == pytest.approx(36_000 / ((vapour - liquid) / 1000.0), rel=0.001)


def test_energy_is_kept_over_many_bursts() -> None:
    """What went in is warmth and steam: first law, over any schedule."""
    done = microwave.bursts(100, 220, 600, 2, 20, 100, 4)
    heat = 100 * 1.36
    left, warm_j, steam_j, before = 220.0, 0.0, 0.0, 20.0
    for one in done:
        warm_j += (heat + left * WATER_J_G_K) * (one.end_c - before)
        steam_j += one.steamed_ml * latent_heat_j_g(100)
        left, before = left - one.steamed_ml, one.end_c
    assert warm_j + steam_j == pytest.approx(4 * 600 * 120)


def test_a_ramp_is_never_above_its_top_and_the_slope_is_found_again() -> None:
    """A straight line of 1.3 degC a minute read with half a degree of jitter: least squares by hand."""
    points = [(m, 40 + 1.3 * m + (0.5 if m % 4 else -0.5)) for m in (20, 22, 24, 26)]
    mean_m, mean_c = 23.0, sum(c for _, c in points) / 4
    by_hand = sum((m - mean_m) * (c - mean_c) for m, c in points) / sum((m - mean_m) ** 2 for m, _ in points)
    assert ramp.rate_now_c_min(points) == pytest.approx(by_hand)
    assert all(ramp.planned_c(40, 85, 1.5, m) <= 85 for m in range(0, 200, 7))
