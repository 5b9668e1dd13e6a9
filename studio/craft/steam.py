"""Steam setting: how the middle of a packet warms up, when it is hot, how long to hold, and how much pot
water that takes.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

import msgspec

from studio.craft.conduction import centre_theta_cylinder, centre_theta_slab
from studio.craft.limits import (
    BOIL_OFF_ML_MIN,
    HOB_W,
    HOLD_MIN,
    SHARE_OF_HEAT,
    THICKNESS_M,
    above,
    liquid_volume,
    within,
)
from studio.craft.solve import root_between

# Steam setting: when the middle of a packet is hot, how long to hold, how much pot water that takes.
# Pressure, boiling point, latent heat and boil-off; heat-through of a packet by the series of
# `conduction`.

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
    within("temperature", temperature_c, 0, 373.946, "°C")
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
    within("temperature", temperature_c, 65, 120, "°C")
    return 2491.112 - 2.055263 * temperature_c - 0.00291087 * temperature_c**2


def boil_off_ml_min(power_w: float, temperature_c: float, efficiency: float = 1.0) -> float:
    """Water that boils away in a minute while all the heat goes into steam and no steam runs back.

    rate = 60 x power x efficiency / L (1 g of pot water counted as 1 mL)

    `power_w`: of the hob, 0 to 20 000 W. `temperature_c`: boiling point, 65 to 120 degC.
    `efficiency`: share of the power that reaches the water, 0 to 1.
    Returns mL/min. Refused (ValueError): outside those ranges.

    >>> boil_off_ml_min(1000, 99.974)
    26.59

    **Source:** heat balance with `latent_heat_j_g`; efficiencies as in `pot.HOB_EFFICIENCY`.
    Breaks on the safe side: a lid sends most of the steam back, so the pot lasts longer than this.
    """
    HOB_W(power_w)
    SHARE_OF_HEAT(efficiency)
    return 60.0 * power_w * efficiency / latent_heat_j_g(temperature_c)


WET_WOOL_ALPHAS_M2_S = (1.6e-7, 1.0e-7)
"""m2/s, fast and slow end for wet wool (estimate): mixture bounds of water, fibre and air; nobody has measured it. The
conductivity of the cooling (`packet.USUAL`), over the heat of wool with its weight of water or more, lies between."""
HEAT_THROUGH_C = 85.0
"""degC the middle must reach: the low end of published bath temperatures, 85 to 93 degC (house rule)."""


class Heating(msgspec.Struct, frozen=True):
    """Minutes until the middle is hot: at the fast and at the slow end of the diffusivity interval.

    >>> Heating(16.3, 26.1).slow_min
    26.1

    **Source:** estimate; see `heat_through`.
    """

    fast_min: float
    slow_min: float


@lru_cache(maxsize=64)
def heat_through(
    shape: str,
    thickness_m: float,
    length_m: float = math.inf,
    start_c: float = 20.0,
    steam_c: float = 98.0,
    target_c: float = HEAT_THROUGH_C,
) -> Heating:
    """Minutes from full steam until the middle of a packet is hot, as an interval.

    theta(alpha t) = (Ts - T target) / (Ts - T0), solved for alpha t and divided by each alpha;
    a roll is a finite cylinder, a flat packet a slab heated from both faces

    `shape`: `roll` or `flat packet`. `thickness_m`: diameter of the roll or thickness of the packet, above 0
    to 1 m. `length_m`: of the roll, above 0; infinite (the default) is the longest time; no effect on a
    packet.
    `start_c`, `target_c`: -20 to 150 degC. `steam_c`: above the target, to 150 degC.
    Returns `Heating`, both 0 where the packet is already that hot.
    Refused (ValueError): outside those ranges, another shape, steam not hotter than the target.

    >>> heating = heat_through("roll", 0.04)
    >>> round(heating.fast_min, 1), round(heating.slow_min, 1)
    (16.3, 26.1)

    **Source:** estimate: exact series (see `conduction`) on an estimated diffusivity. No published figure
    ties steaming minutes to the thickness of a packet.
    Breaks on the slow side for a loose open roll, which steam enters; fair for a soaked tight roll in film.
    Air left in the pot lowers the steam temperature and lengthens the time.
    """
    if shape not in ("roll", "flat packet"):
        raise ValueError(f"A packet is a roll or a flat packet, not {shape!r:.40}.")
    half_m = THICKNESS_M(thickness_m) / 2.0
    half_length_m = above("length", length_m, 0, math.inf, "m") / 2.0
    for what, value in (("start", start_c), ("steam", steam_c), ("target", target_c)):
        within(f"{what} temperature", value, -20, 150, "°C")
    if steam_c <= target_c:
        raise ValueError(
            f"Steam at {steam_c:.1f} °C never brings the middle to {target_c:g} °C; name a lower target."
        )
    if start_c >= target_c:
        return Heating(0.0, 0.0)
    wanted = (steam_c - target_c) / (steam_c - start_c)
    if shape == "roll":
        alpha_t = _when(lambda x: _roll_theta(x, half_m, half_length_m), wanted, half_m)
    else:
        alpha_t = _when(lambda x: centre_theta_slab(x / half_m**2), wanted, half_m)
    fast, slow = WET_WOOL_ALPHAS_M2_S
    return Heating(alpha_t / fast / 60.0, alpha_t / slow / 60.0)


def _roll_theta(alpha_t_m2: float, radius_m: float, half_length_m: float) -> float:
    above("radius", radius_m, 0, 0.5, "m")
    above("half length", half_length_m, 0, math.inf, "m")
    fo_slab = min(alpha_t_m2 / half_length_m**2, 1e6)
    return centre_theta_cylinder(min(alpha_t_m2 / radius_m**2, 1e6)) * centre_theta_slab(fo_slab)


def _when(theta: Callable[[float], float], wanted: float, half_m: float) -> float:
    """alpha t at which a falling theta has reached the wanted value."""
    enough = half_m**2
    while theta(enough) > wanted:
        enough *= 2.0
    return root_between(lambda alpha_t: wanted - theta(alpha_t), 0.0, enough)


HOLD_MARGIN_MIN = 10.0
"""min, held on after heat-through (house rule)."""


def hold_min(practice_min: float, heat_min: float, margin_min: float = HOLD_MARGIN_MIN) -> float:
    """Minutes to hold in full steam.

    hold = max(practice minimum, heat-through + margin)

    `practice_min`: minimum of the dye class, 0 to 1000 min. `heat_min`: an end of `heat_through`, 0 to
    100 000: its slow end for the set that is held, its fast end for the earliest that could be enough.
    `margin_min`: 0 to 1000 min.
    Returns min. Refused (ValueError): outside those ranges.

    >>> hold_min(20, 26.1), hold_min(20, 16.3)
    (36.1, 26.3)

    **Source:** house rule; nobody sees the middle of a packet, so the slow end is held.
    Breaks for a roll that was not wet through: dry wool heats otherwise.
    """
    within("practice minimum", practice_min, 0, 1000, "min")
    within("time to heat through", heat_min, 0, 100_000, "min")
    within("margin", margin_min, 0, 1000, "min")
    return max(practice_min, heat_min + margin_min)


def pot_minutes(water_ml: float, rate_ml_min: float) -> float:
    """Minutes until a pot has boiled dry.

    minutes = water / rate

    `water_ml`: 0 to 1 000 000 mL. `rate_ml_min`: boil-off, 0 to 10 000 mL/min; infinite minutes for 0.
    Returns min. Refused (ValueError): outside those ranges.

    >>> pot_minutes(1500, 26.6)
    56.4

    **Source:** arithmetic on `boil_off_ml_min` (estimate).
    Breaks on the safe side: a lid sends steam back.
    """
    liquid_volume("pot water", water_ml)
    BOIL_OFF_ML_MIN(rate_ml_min)
    return water_ml / rate_ml_min if rate_ml_min else math.inf


def pot_water_ml(hold_min: float, rate_ml_min: float, reserve_percent: float = 20.0) -> float:
    """Water to put in the pot so that it outlasts the hold.

    water = hold x rate x (1 + reserve / 100)

    `hold_min`: 0 to 10 000 min. `rate_ml_min`: boil-off, 0 to 10 000 mL/min. `reserve_percent`: 0 to 500 %.
    Returns mL. Refused (ValueError): outside those ranges.

    >>> pot_water_ml(30, 26.6)
    957.6

    **Source:** arithmetic on `boil_off_ml_min` (estimate); the reserve is a house rule.
    Breaks on the safe side: a lid sends steam back. Heating up before full steam is not counted.
    """
    HOLD_MIN(hold_min)
    BOIL_OFF_ML_MIN(rate_ml_min)
    within("reserve", reserve_percent, 0, 500, "%")
    return hold_min * rate_ml_min * (1.0 + reserve_percent / 100.0)
