"""Pressure at altitude, boiling point, latent heat."""

from __future__ import annotations

import math

from studio.craft.limits import within

SEA_LEVEL_PA = 101_325.0
"""Pa: ISO 2533:1975, Standard Atmosphere (constants of the page from memory)."""
IF97_REGION_4 = (
    0.11670521452767e4,
    -0.72421316703206e6,
    -0.17073846940092e2,
    0.12020824702470e5,
    -0.32325550322333e7,
    0.14915108613530e2,
    -0.48232657361591e4,
    0.40511340542057e6,
    -0.23855557567849,
    0.65017534844798e3,
)
"""n1 to n10 of IAPWS R7-97(2012), table 34."""
ZERO_C_K = 273.15


def pressure_pa(altitude_m: float) -> float:
    """Air pressure of the standard atmosphere at an altitude.

    p = 101325 (1 - 0.0065 H / 288.15)^5.25588

    `altitude_m`: H above sea level, -500 to 9000 m. Returns Pa. Refused (ValueError): outside that range.

    >>> pressure_pa(2000)
    79495.2

    **Source:** ISO 2533:1975, troposphere (constants from memory; its printed values are in the tests).
    Breaks with the weather, which matters as much as 200 m: 980 to 1040 hPa is 99.0 to 100.7 degC at sea
    level.
    """
    within("altitude", altitude_m, -500, 9000, "m")
    exponent = 9.80665 / (287.05287 * 0.0065)
    return SEA_LEVEL_PA * math.pow(1.0 - 0.0065 * altitude_m / 288.15, exponent)


def saturation_pressure_pa(temperature_c: float) -> float:
    """Pressure at which water boils at a temperature.

    p = 1 MPa (2 C / (-B + sqrt(B^2 - 4 A C)))^4 with v = T + n9 / (T - n10), A = v^2 + n1 v + n2,
    B = n3 v^2 + n4 v + n5, C = n6 v^2 + n7 v + n8 (IF97 eq. 30)

    `temperature_c`: 0 to 373.946 degC. Returns Pa. Refused (ValueError): outside that range.

    >>> saturation_pressure_pa(26.85)
    3536.58941

    **Source:** IAPWS R7-97(2012), eq. 30; verification values of its table 35 are in the tests.
    Breaks for water with much salt or sugar in it, which boils a little hotter.
    """
    within("temperature", temperature_c, 0, 373.946, "degC")
    n = IF97_REGION_4
    kelvin = temperature_c + ZERO_C_K
    v = kelvin + n[8] / (kelvin - n[9])
    a = v * v + n[0] * v + n[1]
    b = n[2] * v * v + n[3] * v + n[4]
    c = n[5] * v * v + n[6] * v + n[7]
    return 1e6 * math.pow(2.0 * c / (-b + math.sqrt(b * b - 4.0 * a * c)), 4)


def boiling_point_c(pressure_pa: float) -> float:
    """Temperature at which water boils under a pressure, and so of its steam.

    T = (n10 + D - sqrt((n10 + D)^2 - 4 (n9 + n10 D))) / 2 with b = (p / 1 MPa)^(1/4), E = b^2 + n3 b + n6,
    F = n1 b^2 + n4 b + n7, G = n2 b^2 + n5 b + n8, D = 2 G / (-F - sqrt(F^2 - 4 E G)) (IF97 eq. 31)

    `pressure_pa`: 611.213 to 22 064 000 Pa. Returns degC. Refused (ValueError): outside that range.

    >>> boiling_point_c(101325)
    99.974

    **Source:** IAPWS R7-97(2012), eq. 31; verification values of its table 36 are in the tests.
    Breaks in a pot that still holds air: with a tenth of air the steam is at 97.0 degC at sea level.
    """
    within("pressure", pressure_pa, 611.213, 22_064_000, "Pa")
    n = IF97_REGION_4
    b = math.pow(pressure_pa / 1e6, 0.25)
    e = b * b + n[2] * b + n[5]
    f = n[0] * b * b + n[3] * b + n[6]
    g = n[1] * b * b + n[4] * b + n[7]
    d = 2.0 * g / (-f - math.sqrt(f * f - 4.0 * e * g))
    return (n[9] + d - math.sqrt((n[9] + d) ** 2 - 4.0 * (n[8] + n[9] * d))) / 2.0 - ZERO_C_K


def latent_heat_j_g(temperature_c: float) -> float:
    """Heat that boils off a gram of water.

    L = 2491.112 - 2.055263 t - 0.00291087 t^2

    `temperature_c`: t, 65 to 120 degC. Returns J/g (which is kJ/kg). Refused (ValueError): outside that
    range.

    >>> latent_heat_j_g(100)
    2256.48

    **Source:** least squares fit to IAPWS-IF97 over 80 to 100 degC, within 0.0002 % there (our own fit).
    Breaks beyond 65 to 120 degC, where the fit is off by more than 0.02 %.
    """
    within("temperature", temperature_c, 65, 120, "degC")
    return 2491.112 - 2.055263 * temperature_c - 0.00291087 * temperature_c**2


def boil_off_ml_min(power_w: float, temperature_c: float, efficiency: float = 1.0) -> float:
    """Water that boils away in a minute while all the heat goes into steam and no steam runs back.

    rate = 60 x power x efficiency / L (1 g of pot water counted as 1 mL)

    `power_w`: of the hob, 0 to 20 000 W. `temperature_c`: boiling point, 65 to 120 degC.
    `efficiency`: share of the power that reaches the water, 0 to 1.
    Returns mL/min. Refused (ValueError): outside those ranges.

    >>> boil_off_ml_min(1000, 99.974)
    26.59

    **Source:** heat balance with `latent_heat_j_g`; efficiencies: gas 0.3 to 0.5, electric 0.7 to 0.8,
    induction 0.8 to 0.9 (from memory).
    Breaks on the safe side: a lid sends most of the steam back, so the pot lasts longer than this.
    """
    within("power of the hob", power_w, 0, 20_000, "W")
    within("efficiency", efficiency, 0, 1)
    return 60.0 * power_w * efficiency / latent_heat_j_g(temperature_c)
