"""Energy of a set against steam tables and against CoolProp."""

from __future__ import annotations

import pytest

from studio.craft import pot as energy
from studio.craft import steam


def test_a_litre_boiled_away_by_the_steam_table():
    """2256.47 kJ/kg at 100 degC (IAPWS R7-97(2012)): 626.8 W boil a kg away in an hour, 940.2 W at 2/3."""
    assert steam.boil_off_ml_min(2256.47 / 3.6, 100, 1.0) * 60 == pytest.approx(1000, rel=1e-4)
    assert steam.boil_off_ml_min(2256.47 / 2.4, 100, 2 / 3) * 60 == pytest.approx(1000, rel=1e-4)


def test_what_a_hob_draws_is_what_its_steam_costs():
    """An engineering handbook (rounded L): 8 kg of steam in an hour need about 5 kW, so 5 kWh."""
    assert energy.held_kwh(5000, 60) == pytest.approx(5.0)
    assert steam.boil_off_ml_min(5000, 100, 1.0) * 60 == pytest.approx(8000, rel=0.01)


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


def test_wet_goods_take_the_steam_that_a_handbook_sum_gives():
    """100 g of wool (1.36 J/gK) with 150 g of water, 20 to 100 degC: 27.1 g of steam at 2256.47 J/g, computed apart;
    its water counted at 4.18 J/gK."""
    heat_j = energy.sensible_j(0, 20, 100, fibre_g=100, held_ml=150)
    assert heat_j / 2256.47 == pytest.approx(27.1, abs=0.1)


def test_nothing_is_heated_by_what_is_colder():
    assert energy.sensible_j(1000, 100, 20) == 0.0
