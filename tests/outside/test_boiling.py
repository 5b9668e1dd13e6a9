"""Pressure, boiling point and latent heat against the published standards and against CoolProp."""

from __future__ import annotations

import pytest

from studio.craft import steam

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


@pytest.mark.parametrize(
    ("altitude_m", "hpa", "tolerance_hpa"),
    [
        (0, 1013.25, 1e-9),
        (500, 954.61, 0.01),
        (1000, 898.76, 0.02),
        (1500, 845.60, 0.05),
        (2000, 794.952, 0.01),
        (3000, 701.21, 0.13),
    ],
)
def test_standard_atmosphere(altitude_m, hpa, tolerance_hpa):
    """ISO 2533:1975 (printed values by geometric altitude, from memory; we count geopotential, hence the slack);
    794.952 at 2000 m geopotential."""
    assert steam.pressure_pa(altitude_m) / 100 == pytest.approx(hpa, abs=tolerance_hpa)


def test_boiling_at_two_thousand_metres():
    """93.315 degC: iapws 1.5.5 and CoolProp 8.0.0, both at 794.952 hPa."""
    assert steam.boiling_point_c(steam.pressure_pa(2000)) == pytest.approx(93.315, abs=0.01)


def test_latent_heat_at_the_boil():
    """2256.47 kJ/kg at 100 degC by IAPWS-IF97 (2256.40 by IAPWS-95); textbooks round to 2257."""
    assert steam.latent_heat_j_g(100) == pytest.approx(2256.47, abs=0.1)
    assert steam.latent_heat_j_g(100) == pytest.approx(2257, abs=1)


def test_boil_off_of_a_kilowatt():
    """26.59 g a minute, by hand 60 x 1000 / 2256.54; 1 kg at 1 kW lasts 37.6 min."""
    rate = steam.boil_off_ml_min(1000, 99.974)
    assert rate == pytest.approx(60_000 / 2256.54, abs=0.01)
    assert rate == pytest.approx(26.59, abs=0.01)
    assert steam.pot_minutes(1000, rate) == pytest.approx(37.6, abs=0.05)


def test_condensing_steam():
    """5 kg of condensing steam give 11 285 kJ, and 8 kg/h need about 5 kW (an engineering handbook, rounded L)."""
    assert 5000 * steam.latent_heat_j_g(100) / 1000 == pytest.approx(11_285, rel=0.001)
    assert steam.boil_off_ml_min(5000, 100) * 60 / 1000 == pytest.approx(8, rel=0.01)


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
