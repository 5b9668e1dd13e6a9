"""The heat of a dye bath: what it takes to warm, what the hob can give, what it loses; and the ramp it
should follow.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from studio.craft.heat import STILL_AIR_W_M2_K, WOOL_J_G_K, temperature
from studio.craft.limits import FIBRE_G, LIT_HOB_W, POT_G, Range, above, liquid_volume, within
from studio.craft.pot import STEEL_J_G_K, WATER_J_G_K
from studio.craft.solve import line_through
from studio.craft.steam import latent_heat_j_g, saturation_pressure_pa

BATH_J_K = Range("heat capacity of the bath", 0, math.inf, "J/K", positive=True)
POT_LOSS_W_K = Range("loss of the pot", 0, 10_000, "W/K")

# The heat of a dye bath: what it takes to warm, what the hob can give, what it loses and evaporates.

VAPOUR_J_KG_K = 461.5
"""J/(kg K), gas constant of water vapour (8.314 J/(mol K) over 18.015 g/mol)."""
AIR_J_M3_K = 1_200.0
"""J/(m3 K), density by specific heat of air near 20 degC (1.2 kg/m3, 1005 J/(kg K); any table of air)."""
LEWIS = 0.87
"""Le^(2/3) of water vapour in air (Le about 0.82 to 0.85: Incropera, from memory)."""


def bath_heat_j_k(water_ml: float, fibre_g: float, pot_g: float) -> float:
    """Heat that warms bath, fibre and pot by a degree.

    C = 4.19 water + 1.36 fibre + 0.5 pot

    `water_ml`: 0 to 1 000 000 mL, 1 mL counted as 1 g. `fibre_g`: dry, 0 to 100 000 g. `pot_g`: steel, 0 to
    100 000 g.
    Returns J/K.
    Refused (ValueError): outside those ranges.

    >>> bath_heat_j_k(3000, 100, 1500)
    13456.0

    **Source:** heat balance; water 4.19 between 20 and 100 degC (IAPWS-95, 4.18 to 4.22), wool 1.36 (Morton
    and Hearle, Physical Properties of Textile Fibres, from memory), stainless steel 0.5 (from memory).
    Breaks for a pot of aluminium or cast iron (0.9 and 0.46 J/(g K)), and for the lid and rack left out.
    """
    liquid_volume("bath", water_ml)
    FIBRE_G(fibre_g)
    POT_G(pot_g)
    return water_ml * WATER_J_G_K + fibre_g * WOOL_J_G_K + pot_g * STEEL_J_G_K


def pot_area_m2(bath_ml: float) -> float:
    """Outside of a pot that its bath fills as deep as it is wide: wall, bottom and top.

    D = (4 V / pi)^(1/3); A = 3 pi D^2 / 2

    `bath_ml`: V, above 0 to 1 000 000 mL. Returns m2. Refused (ValueError): outside that range.

    >>> pot_area_m2(3000)
    0.1152

    **Source:** geometry of a cylinder as deep as it is wide (estimate).
    Breaks for a wide low pan, which loses more.
    """
    above("bath", bath_ml, 0, 1_000_000, "mL")
    across_m = math.cbrt(4.0 * bath_ml * 1e-6 / math.pi)
    return 1.5 * math.pi * across_m * across_m


def loss_w_k(bath_ml: float) -> float:
    """Heat that leaves a covered pot, for each degree it is warmer than the room.

    G = 10 W/(m2 K) x A

    `bath_ml`: as in `pot_area_m2`. Returns W/K. Refused (ValueError): outside that range.

    >>> loss_w_k(3000)
    1.152

    **Source:** free convection and radiation of a warm thing in a still room (estimate; Incropera 2 to 25
    W/(m2 K), from memory).
    Breaks with the lid off: evaporation takes far more, see `open_evaporation_ml_min`.
    """
    return STILL_AIR_W_M2_K * pot_area_m2(bath_ml)


def ramp_power_w(heat_j_k: float, rate_c_min: float, loss_per_k_w: float, above_room_c: float) -> float:
    """Power that keeps a bath on its ramp.

    P = C rate / 60 + G (T - room)

    `heat_j_k`: above 0. `rate_c_min`: 0 to 10 degC a minute. `loss_per_k_w`: G, 0 or more, W/K.
    `above_room_c`: of the bath at that moment, 0 to 200 degC.
    Returns W that must reach the pot.
    Refused (ValueError): outside those ranges.

    >>> ramp_power_w(13456, 1.5, 1.152, 70)
    417.04

    **Source:** heat balance.
    Breaks with the lid off.
    """
    BATH_J_K(heat_j_k)
    within("rate of the ramp", rate_c_min, 0, 10, "°C a minute")
    POT_LOSS_W_K(loss_per_k_w)
    within("warmth above the room", above_room_c, 0, 200, "°C")
    return heat_j_k * rate_c_min / 60.0 + loss_per_k_w * above_room_c


def heat_up_minutes(
    heat_j_k: float, power_w: float, loss_per_k_w: float, start_c: float, top_c: float, room_c: float
) -> float:
    """Minutes from start to top with the hob full on.

    t = C / (60 G) ln((P - G (start - room)) / (P - G (top - room)))

    `heat_j_k`: C, above 0. `power_w`: P that reaches the pot, above 0 to 20 000 W. `loss_per_k_w`: G, 0 or
    more, W/K. `start_c`, `top_c`, `room_c`: -50 to 200 degC.
    Returns min; 0 where it is that hot; infinite where the hob only makes good what is lost.
    Refused (ValueError): outside those ranges.

    >>> heat_up_minutes(13456, 1000, 1.152, 40, 93, 18)
    12.6
    >>> heat_up_minutes(13456, 80, 1.152, 40, 93, 18)
    inf

    **Source:** lumped heat balance, C dT/dt = P - G (T - room), solved.
    Breaks on the early side: a ring takes minutes to get hot itself.
    """
    BATH_J_K(heat_j_k)
    LIT_HOB_W(power_w)
    POT_LOSS_W_K(loss_per_k_w)
    for what, value in (("start", start_c), ("top of the ramp", top_c), ("temperature of the room", room_c)):
        temperature(what, value)
    if top_c <= start_c:
        return 0.0
    at_start_w, at_top_w = (power_w - loss_per_k_w * max(0.0, c - room_c) for c in (start_c, top_c))
    if at_top_w <= 0:
        return math.inf
    if loss_per_k_w * (top_c - start_c) < 1e-6 * power_w:
        return heat_j_k * (top_c - start_c) / (60.0 * at_start_w)
    return heat_j_k / (60.0 * loss_per_k_w) * math.log(at_start_w / at_top_w)


def open_evaporation_ml_min(bath_ml: float, bath_c: float, room_c: float) -> float:
    """Water that leaves the open surface of a hot bath below the boil.

    rate = 60 A h / (rho c Le^(2/3)) p(T) / (R (T + 273.15)), as dry room air, with h = 10 W/(m2 K)

    `bath_ml`: sets the surface of a pot as deep as it is wide, above 0 to 1 000 000 mL. `bath_c`: 0 to 100
    degC. `room_c`: 0 to 60 degC; nothing evaporates from a bath no warmer than the room.
    Returns mL/min, 1 g counted as 1 mL.
    Refused (ValueError): outside those ranges.

    >>> open_evaporation_ml_min(3000, 90, 18)
    4.6

    **Source:** Lewis' analogy of heat and mass transfer (Incropera, Fundamentals of Heat and Mass Transfer,
    chapter 6, from memory) with vapour pressure of IAPWS R7-97(2012), eq. 30; h is an estimate.
    Breaks near the boil, where vapour streams away faster than it diffuses: it is then a lower bound.
    """
    within("temperature of the bath", bath_c, 0, 100, "°C")
    within("temperature of the room", room_c, 0, 60, "°C")
    if bath_c <= room_c:
        return 0.0
    surface_m2 = pot_area_m2(bath_ml) / 6.0  # Top of a cylinder whose whole outside is 3 pi D^2 / 2.
    vapour_kg_m3 = saturation_pressure_pa(bath_c) / (VAPOUR_J_KG_K * (bath_c + 273.15))
    return 60_000.0 * surface_m2 * STILL_AIR_W_M2_K / (AIR_J_M3_K * LEWIS) * vapour_kg_m3


def evaporation_w(rate_ml_min: float, bath_c: float) -> float:
    """Heat that evaporation takes from a bath.

    P = rate / 60 x L(T)

    `rate_ml_min`: 0 to 10 000 mL/min. `bath_c`: 65 to 120 degC.
    Returns W. Refused (ValueError): outside those ranges.

    >>> evaporation_w(4.6, 90)
    175.0

    **Source:** heat balance with `steam.latent_heat_j_g`.
    Breaks below 65 degC, where little evaporates.
    """
    within("evaporation", rate_ml_min, 0, 10_000, "mL/min")
    return rate_ml_min / 60.0 * latent_heat_j_g(bath_c)


def cooling_k_per_min(heat_j_k: float, loss_per_k_w: float) -> float:
    """Cooling rate of a covered bath left to itself.

    k = 60 G / C

    `heat_j_k`: C, above 0. `loss_per_k_w`: G, 0 to 10 000 W/K.
    Returns 1/min, for `heat.newton_minutes`.
    Refused (ValueError): outside those ranges.

    >>> cooling_k_per_min(13456, 1.152)
    0.0051

    **Source:** lumped heat balance.
    Breaks with the lid off (faster), or wrapped in blankets (slower).
    """
    BATH_J_K(heat_j_k)
    return 60.0 * POT_LOSS_W_K(loss_per_k_w) / heat_j_k


# The ramp of a dye bath: where it should be, where it is, and how fast it climbs.

SLOWEST_C_MIN, FASTEST_C_MIN = 0.1, 10.0
"""degC a minute a ramp may be planned at. House rule, catches a slipped unit."""
RATE_OVER_MIN = 6.0
"""min; the slope is taken over the readings of this last stretch. House rule."""


def ramp_minutes(start_c: float, top_c: float, rate_c_min: float) -> float:
    """Minutes from the start of a ramp to its top.

    minutes = (top - start) / rate

    `start_c`, `top_c`: -50 to 200 degC. `rate_c_min`: 0.1 to 10 degC a minute.
    Returns min; 0 where the bath is at the top already.
    Refused (ValueError): outside those ranges.

    >>> ramp_minutes(40, 88, 1.5)
    32.0

    **Source:** arithmetic; rates of 1 to 2 degC a minute: D. M. Lewis, Wool Dyeing (from memory).
    Breaks where the hob cannot give the rate, see `bath_heat.heat_up_minutes`.
    """
    within("rate of the ramp", rate_c_min, SLOWEST_C_MIN, FASTEST_C_MIN, "°C a minute")
    rise = temperature("top of the ramp", top_c) - temperature("start of the ramp", start_c)
    return max(0.0, rise) / rate_c_min


def planned_c(start_c: float, top_c: float, rate_c_min: float, minutes: float) -> float:
    """Temperature the ramp asks for at a minute of its own clock: a straight line up, then level.

    T = min(top, start + rate x minutes)

    `start_c`, `top_c`, `rate_c_min`: as in `ramp_minutes`. `minutes`: since the heat went on, 0 or more.
    Returns degC.
    Refused (ValueError): outside those ranges.

    >>> planned_c(40, 88, 1.5, 20), planned_c(40, 88, 1.5, 60)
    (70.0, 88.0)

    **Source:** arithmetic.
    Breaks with a pause that the plan does not know of.
    """
    full_min = ramp_minutes(start_c, top_c, rate_c_min)
    within("time", minutes, 0, 100_000, "min")
    return float(top_c) if minutes >= full_min else start_c + rate_c_min * minutes


def rate_now_c_min(readings: Sequence[tuple[float, float]]) -> float | None:
    """How fast the bath climbs, from its latest readings.

    least squares slope of the readings of the last six minutes; of the last two where those are fewer

    `readings`: (minute, degC) in order of time.
    Returns degC a minute; None for fewer than two readings at different minutes.
    Refused (ValueError): a temperature out of range.

    >>> rate_now_c_min([(0, 40), (10, 50), (12, 53)])
    1.5

    **Source:** ordinary least squares; the stretch is a house rule.
    Breaks where the thermometer hangs in another place each time: stir, then read.
    """
    points = [(minute, temperature("reading", c)) for minute, c in readings]
    if len(points) < 2:
        return None
    last_min = points[-1][0]
    recent = [point for point in points if last_min - point[0] <= RATE_OVER_MIN]
    if len({minute for minute, _ in recent}) < 2:
        recent = points[-2:]
    if len({minute for minute, _ in recent}) < 2:
        return None
    return line_through([(minute, c, 1.0) for minute, c in recent]).slope


def minutes_to_top(reading_c: float, top_c: float, rate_c_min: float) -> float:
    """Minutes to the top of the ramp if the bath goes on climbing as it does.

    minutes = (top - reading) / rate

    `reading_c`, `top_c`: -50 to 200 degC. `rate_c_min`: above 0 to 100 degC a minute.
    Returns min; 0 where it is there.
    Refused (ValueError): outside those ranges; a bath that does not climb never arrives.

    >>> minutes_to_top(70, 88, 1.2)
    15.0

    **Source:** arithmetic.
    Breaks late in the ramp: a bath loses more heat the hotter it is.
    """
    above("rate", rate_c_min, 0, 100, "°C a minute")
    return max(0.0, temperature("top of the ramp", top_c) - temperature("reading", reading_c)) / rate_c_min
