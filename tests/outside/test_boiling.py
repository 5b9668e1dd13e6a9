"""Pressure, boiling point and latent heat against the published standards and against CoolProp."""

from __future__ import annotations

import pytest
from fluids.atmosphere import ATMOSPHERE_1976

from studio.craft import bath_heat, steam

R7_97 = "IAPWS R7-97(2012)"


@pytest.mark.parametrize(("mpa", "kelvin"), [(0.1, 372.755919), (1.0, 453.035632), (10.0, 584.149488)])
def test_if97_saturation_temperature(mpa, kelvin):
    """IAPWS R7-97(2012), table 36, verification of eq. 31."""
    assert steam.boiling_point_c(mpa * 1e6) + 273.15 == pytest.approx(kelvin, abs=1e-6), R7_97


@pytest.mark.parametrize(
    ("kelvin", "mpa", "tolerance_mpa"),
    [(300, 0.00353658941, 1e-11), (500, 2.63889776, 1e-8), (600, 12.3443146, 1e-7)],
)
def test_if97_saturation_pressure(kelvin, mpa, tolerance_mpa):
    """IAPWS R7-97(2012), table 35, verification of eq. 30."""
    assert steam.saturation_pressure_pa(kelvin - 273.15) / 1e6 == pytest.approx(mpa, abs=tolerance_mpa), R7_97


@pytest.mark.parametrize("altitude_m", [0, 500, 1000, 1500, 2000, 3000])
def test_standard_atmosphere(altitude_m):
    """ISO 2533:1975, below 32 km the US Standard Atmosphere 1976, by the library fluids; it counts metres of height,
    the program geopotential ones, which is 0.02 % at 3000 m."""
    theirs = ATMOSPHERE_1976(altitude_m).P
    assert steam.pressure_pa(altitude_m) == pytest.approx(theirs, rel=2e-4)


def test_boiling_at_two_thousand_metres():
    """93.315 degC: iapws 1.5.5 and CoolProp 8.0.0, both at 794.952 hPa."""
    assert steam.boiling_point_c(steam.pressure_pa(2000)) == pytest.approx(93.315, abs=0.01)


def test_latent_heat_at_the_boil():
    """2256.47 kJ/kg at 100 degC: IAPWS R7-97(2012) by iapws 1.5.5."""
    assert steam.latent_heat_j_g(100) == pytest.approx(2256.47, abs=0.1)


@pytest.mark.parametrize("altitude_m", range(0, 4001, 250))
def test_against_coolprop(altitude_m, coolprop):
    """CoolProp, IAPWS-95 formulation: boiling point within 0.01 K, latent heat within 0.1 kJ/kg, 0 to 4000 m."""
    pressure = steam.pressure_pa(altitude_m)
    boiling_c = steam.boiling_point_c(pressure)
    assert boiling_c + 273.15 == pytest.approx(
        coolprop.PropsSI("T", "P", pressure, "Q", 0, "Water"), abs=0.01
    )
    vapour = coolprop.PropsSI("H", "P", pressure, "Q", 1, "Water")
    liquid = coolprop.PropsSI("H", "P", pressure, "Q", 0, "Water")
    assert steam.latent_heat_j_g(boiling_c) == pytest.approx((vapour - liquid) / 1000, abs=0.1)


def test_gas_constant_of_vapour():
    """0.461 526 kJ/(kg K): IAPWS R7-97(2012), eq. 1."""
    assert pytest.approx(461.526, rel=1e-4) == bath_heat.VAPOUR_J_KG_K
