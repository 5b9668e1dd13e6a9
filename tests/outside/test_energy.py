"""Energy of a set against steam tables and against CoolProp."""

from __future__ import annotations

import pytest

from studio.craft import pot as energy
from studio.craft import steam


def test_a_litre_boiled_away_by_the_steam_table():
    """2256.47 kJ/kg at 100 degC (IAPWS R7-97(2012)): 626.8 W boil a kg away in an hour, 940.2 W at 2/3."""
    assert steam.boil_off_ml_min(2256.47 / 3.6, 100, 1.0) * 60 == pytest.approx(1000, rel=1e-4)
    assert steam.boil_off_ml_min(2256.47 / 2.4, 100, 2 / 3) * 60 == pytest.approx(1000, rel=1e-4)


@pytest.mark.parametrize(
    ("power_w", "efficiency", "hold_min"), [(1000, 1.0, 45), (2000, 0.75, 30), (700, 0.4, 90)]
)
@pytest.mark.parametrize("altitude_m", [0, 1500, 3000])
def test_the_balance_reads_the_same_both_ways(power_w, efficiency, hold_min, altitude_m, coolprop):
    """Energy drawn = boil-off x latent heat / efficiency, with L by CoolProp (IAPWS-95)."""
    pressure = steam.pressure_pa(altitude_m)
    boil_c = steam.boiling_point_c(pressure)
    vapour, liquid = (coolprop.PropsSI("H", "P", pressure, "Q", q, "Water") for q in (1, 0))
    boiled_g = steam.boil_off_ml_min(power_w, boil_c, efficiency) * hold_min
    drawn_kwh = boiled_g * (vapour - liquid) / 1000 / efficiency / 3.6e6
    assert energy.held_kwh(power_w, hold_min) == pytest.approx(drawn_kwh, rel=1e-4)


@pytest.mark.parametrize(("start_c", "end_c"), [(5, 100), (18, 99.97), (20, 100), (20, 93.3), (60, 95)])
def test_heating_water_against_coolprop(start_c, end_c, coolprop):
    """Enthalpy of liquid water at one bar by CoolProp (IAPWS-95); one specific heat for all of it is within 0.5 %."""
    pressure = 101_420.0  # just above saturation at 100 degC, so that it is still liquid there
    high, low = (coolprop.PropsSI("H", "T", c + 273.15, "P", pressure, "Water") for c in (end_c, start_c))
    assert energy.sensible_j(1000, start_c, end_c) == pytest.approx(high - low, rel=0.005)


def test_the_steam_that_warms_wet_goods(coolprop):
    """100 g of wool (1.36 J/gK: Morton and Hearle, from memory) with 150 g of water from 20 degC to the boil: the
    water's enthalpy and the latent heat by CoolProp (IAPWS-95)."""
    cold, hot = (coolprop.PropsSI("H", "T", c + 273.15, "P", 101_420.0, "Water") for c in (20, 100))
    vapour, liquid = (coolprop.PropsSI("H", "T", 373.15, "Q", q, "Water") for q in (1, 0))
    steam_g = (100 * 1.36 * 80 + 0.150 * (hot - cold)) / ((vapour - liquid) / 1000)
    heat_j = energy.sensible_j(0, 20, 100, fibre_g=100, held_ml=150)
    assert heat_j / steam.latent_heat_j_g(100) == pytest.approx(steam_g, rel=0.005)
