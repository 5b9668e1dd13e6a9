"""The pot: time to steam, water left, energy to heat it up and to hold it; bursts of an oven; and what a
lot costs.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import msgspec

from studio.craft.heat import WOOL_J_G_K, Stretch, in_order, minutes_within, temperature
from studio.craft.limits import (
    BOIL_C,
    BOIL_OFF_ML_MIN,
    EFFICIENCY,
    FIBRE_G,
    HOB_W,
    HOLD_MIN,
    LIT_HOB_W,
    POT_G,
    Range,
    above,
    liquid_volume,
    within,
)
from studio.craft.steam import latent_heat_j_g, pot_minutes

# The pot of water under the steam: how long it takes to steam, what is left in it, when to fill it up.

WATER_J_G_K = 4.19
"""J/(g K), water on its way from 20 to 100 degC (4.18 to 4.22 in the IAPWS-95 formulation)."""
COLD_TAP_C = 15.0
"""degC of cold tap water, where nobody measured it (estimate)."""
STEEL_J_G_K = 0.5
"""J/(g K), stainless steel of a pot (from memory)."""
HOB_EFFICIENCY, LEAST_HOB_EFFICIENCY, MOST_HOB_EFFICIENCY = 0.75, 0.3, 0.9
"""Share of a hob's power that reaches the water, while it heats up and while it boils: an electric ring, a gas flame
and induction at their ends (from memory)."""


def minutes_to_steam(
    water_ml: float, start_c: float, boil_c: float, power_w: float, efficiency: float, pot_g: float = 0.0
) -> float:
    """Minutes from pot on to boiling (estimate).

    minutes = (water x 4.19 + pot x 0.5) x (boil - start) / (60 x power x efficiency)

    `water_ml`: 0 to 1 000 000 mL, 1 mL counted as 1 g. `start_c`: 0 to 120 degC. `boil_c`: 65 to 120 degC.
    `power_w`: of the hob, above 0 to 20 000 W. `efficiency`: share that reaches the water, above 0 to 1.
    `pot_g`: steel that is warmed too, 0 to 100 000 g.
    Returns min; 0 where the water is that hot.
    Refused (ValueError): outside those ranges.

    >>> minutes_to_steam(1500, 20, 100, 1000, 0.75)
    11.173

    **Source:** heat balance; specific heats as named above; efficiencies as in `HOB_EFFICIENCY`.
    Breaks on the early side: the rack, the goods and the air in the pot take heat and time as well. Water
    poured to a boiling pot stops the steam for as long: count its mL and its temperature as the start.
    """
    heat_j = _heat_j(water_ml, start_c, boil_c, pot_g)
    LIT_HOB_W(power_w)
    EFFICIENCY(efficiency)
    return heat_j / (60.0 * power_w * efficiency)


def _heat_j(water_ml: float, start_c: float, boil_c: float, pot_g: float) -> float:
    liquid_volume("pot water", water_ml)
    within("start temperature of the water", start_c, 0, 120, "°C")
    BOIL_C(boil_c)
    POT_G(pot_g)
    return (water_ml * WATER_J_G_K + pot_g * STEEL_J_G_K) * max(0.0, boil_c - start_c)


REFILL_SHARE = 0.25
"""Of the water at the start, left when the pot is to be filled up (house rule)."""
REFILL_LEFT_MIN = 10.0
"""min of boiling left when the pot is to be filled up, where that comes first (house rule)."""


def pot_level_ml(
    start_ml: float,
    rate_ml_min: float,
    boiling: Sequence[Stretch],
    at_min: float,
    refills: Sequence[tuple[float, float]] = (),
) -> float:
    """Pot water left at a time, through stops and refills (estimate).

    level = start + refills - rate x minutes of boiling, never below an empty pot on the way

    `start_ml`: 0 to 1 000 000 mL. `rate_ml_min`: boil-off, 0 to 10 000 mL/min. `boiling`: (from, to) minutes,
    in order; the last may end at infinity. `at_min`: on the same clock. `refills`: (minute, mL) in order of
    time; those after `at_min` do not count yet.
    Returns mL, never negative.
    Refused (ValueError): outside those ranges, times out of order.

    >>> pot_level_ml(1500, 25, [(0, 20), (30, 60)], at_min=40)
    750.0

    **Source:** conservation of mass on an estimated boil-off.
    Breaks on the safe side: a lid sends steam back, and a cold refill stops the boiling for a while. Not
    when the hob is turned up: give the higher rate.
    """
    level_ml = liquid_volume("pot water", start_ml)
    BOIL_OFF_ML_MIN(rate_ml_min)
    in_order("boiling", boiling)
    in_order("refills", [(minute, minute) for minute, _ in refills])
    if not math.isfinite(at_min):
        raise ValueError("The time to tell the pot water for must be a number of minutes.")
    since_min = -math.inf
    for minute, added_ml in refills:
        if minute > at_min:
            break
        boiled_ml = rate_ml_min * minutes_within(boiling, since_min, minute)
        level_ml = max(0.0, level_ml - boiled_ml) + liquid_volume("water poured in", added_ml)
        since_min = minute
    return max(0.0, level_ml - rate_ml_min * minutes_within(boiling, since_min, at_min))


class PotClock(msgspec.Struct, frozen=True):
    """Minutes of boiling until the refill line and until dry; `line_ml`: the level of the refill line.

    `line_is`: which rule draws the line, `share` (a quarter left) or `time` (ten minutes left).

    **Source:** estimate; see `pot_clock`.
    """

    line_ml: float
    line_is: str
    refill_min: float
    dry_min: float


def pot_clock(level_ml: float, full_ml: float, rate_ml_min: float) -> PotClock:
    """How long the pot still boils: until it is to be filled up, and until it is dry.

    line = max(0.25 x full, 10 min x rate); minutes = (level - line) / rate, and level / rate

    `level_ml`: now, 0 to 1 000 000 mL. `full_ml`: at the start or after the last refill, 0 to 1 000 000 mL.
    `rate_ml_min`: boil-off, 0 to 10 000 mL/min.
    Returns `PotClock`; 0 where the line is passed, infinite where nothing boils off.
    Refused (ValueError): outside those ranges.

    >>> pot_clock(1000, 1500, 25)
    PotClock(line_ml=375.0, line_is='share', refill_min=25.0, dry_min=40.0)

    **Source:** arithmetic on an estimated boil-off; a quarter or ten minutes, whichever comes first, is a
    house rule. A look at the water every 30 min is common practice.
    Breaks on the safe side: a lid sends steam back.
    """
    liquid_volume("pot water", level_ml)
    liquid_volume("pot water at the start", full_ml)
    dry_min = pot_minutes(level_ml, rate_ml_min)
    share_ml, time_ml = REFILL_SHARE * full_ml, REFILL_LEFT_MIN * rate_ml_min
    line_ml = max(share_ml, time_ml)
    return PotClock(
        line_ml=line_ml,
        line_is="share" if share_ml >= time_ml else "time",
        refill_min=pot_minutes(max(0.0, level_ml - line_ml), rate_ml_min) if level_ml > line_ml else 0.0,
        dry_min=dry_min,
    )


# From what a thing costs to what to ask for it.
MOST_MARGIN_PERCENT = 95.0
"""Beyond it a price is twenty times its cost. House rule."""
MARGIN_PERCENT = Range("margin", 0, MOST_MARGIN_PERCENT, "%")
COST = Range("cost", 0, 1e9)


def price_for_margin(cost: float, margin_percent: float) -> float:
    """The price that leaves a gross margin: the share of the price that is not cost.

    price = cost / (1 - margin / 100)

    `cost`: 0 to 1e9 in any currency. `margin_percent`: 0 to 95 % of the price.
    Returns the price in the same currency. Refused (ValueError): outside those ranges.

    >>> price_for_margin(30.0, 40.0)
    50.0

    **Source:** trade usage: gross margin = (price - cost) / price; markup = (price - cost) / cost
    (common practice).
    Breaks where a sale costs more than making: fees, postage, tax and unsold lots are not in the cost.
    """
    COST(cost)
    MARGIN_PERCENT(margin_percent)
    return cost / (1.0 - margin_percent / 100.0)


def markup_percent(margin_percent: float) -> float:
    """The markup on cost that a gross margin on the price comes to.

    markup = margin / (100 - margin) x 100

    `margin_percent`: 0 to 95 %. Returns % of the cost. Refused (ValueError): outside that range.

    >>> markup_percent(50.0), markup_percent(20.0)
    (100.0, 25.0)

    **Source:** the two definitions, solved (common practice).
    """
    MARGIN_PERCENT(margin_percent)
    return margin_percent / (100.0 - margin_percent) * 100.0


def gross_margin_percent(price: float, cost: float) -> float:
    """The gross margin that a price left once the cost is known; negative where the lot lost money.

    margin = (price - cost) / price x 100

    `price`: above 0 to 1e9. `cost`: 0 to 1e9. Returns % of the price. Refused (ValueError): outside those ranges.

    >>> gross_margin_percent(50.0, 30.0)
    40.0

    **Source:** trade usage: gross margin = (price - cost) / price (common practice).
    """
    COST(cost)
    within("price", price, 1e-9, 1e9)
    return (price - cost) / price * 100.0


# The heat a set takes: the pot until it steams, boiling on while it is held, and a burst of the
# microwave.

J_PER_KWH = 3_600_000.0


def sensible_j(
    water_ml: float,
    start_c: float,
    end_c: float,
    fibre_g: float = 0.0,
    held_ml: float = 0.0,
    pot_g: float = 0.0,
) -> float:
    """Heat that brings pot water, wet goods and pot from one temperature to another (estimate).

    Q = (4.19 (water + held) + 1.36 fibre + 0.5 pot) (end - start)

    `water_ml`, `held_ml` (liquid in the goods): 0 to 1 000 000 mL, 1 mL counted as 1 g. `start_c`, `end_c`: 0 to
    120 degC. `fibre_g`: dry, 0 to 100 000 g. `pot_g`: steel, 0 to 100 000 g.
    Returns J; 0 where the end is not above the start. Refused (ValueError): outside those ranges.

    >>> sensible_j(1000, 20, 100)
    335200.0

    **Source:** heat balance; water 4.19 J/(g K) (4.18 to 4.22 in the IAPWS-95 formulation), wool 1.36 and steel
    0.5 J/(g K) from memory.
    Breaks on the low side: rack, lid, air and what the pot gives to the room are not in it.
    """
    water = liquid_volume("pot water", water_ml) + liquid_volume("liquid in the goods", held_ml)
    within("start temperature", start_c, 0, 120, "°C")
    within("end temperature", end_c, 0, 120, "°C")
    POT_G(pot_g)
    per_k = WATER_J_G_K * water + WOOL_J_G_K * FIBRE_G(fibre_g) + STEEL_J_G_K * pot_g
    return per_k * max(0.0, end_c - start_c)


def kwh(heat_j: float, efficiency: float) -> float:
    """Energy drawn for a heat, where a share of it arrives.

    E = Q / efficiency / 3 600 000

    `heat_j`: 0 to 1e12 J. `efficiency`: above 0 to 1. Returns kWh. Refused (ValueError): outside those ranges.

    >>> kwh(3_600_000, 0.75)
    1.33333

    **Source:** 1 kWh = 3.6 MJ (SI Brochure, 9th ed., table 8: hour); efficiencies as in `pot.HOB_EFFICIENCY`.
    Breaks for gas bought by volume: count its kWh as the bill does.
    """
    within("heat", heat_j, 0, 1e12, "J")
    EFFICIENCY(efficiency)
    return heat_j / efficiency / J_PER_KWH


def held_kwh(power_w: float, hold_min: float) -> float:
    """Energy drawn by a hob at full power while the steam is held (upper estimate).

    E = power x minutes / 60 000

    `power_w`: 0 to 20 000 W. `hold_min`: 0 to 10 000 min. Returns kWh. Refused (ValueError): outside those ranges.

    >>> held_kwh(1000, 45)
    0.75

    **Source:** definition of the kWh; an upper estimate: a hob that is turned down to a simmer draws less.
    Breaks where the hob is not the only heat.
    """
    HOB_W(power_w)
    HOLD_MIN(hold_min)
    return power_w * hold_min / 60_000.0


# What a burst of the microwave does to a wet packet: warmer first, steam after.
class Burst(msgspec.Struct, frozen=True):
    """The packet after a burst.

    **Source:** estimate; see `burst`.
    """

    end_c: float
    """Mean temperature; never above the boiling point."""
    steamed_ml: float
    """Liquid that went off as steam in it."""


def burst(
    fibre_g: float, liquid_g: float, power_w: float, burst_min: float, start_c: float, boil_c: float
) -> Burst:
    """Temperature after a burst, and what went off as steam, if all of the power goes into the packet.

    E = 60 P t; T = start + E / (1.36 fibre + 4.19 liquid); beyond the boil, steam = (E - C (boil - start)) / L

    `fibre_g`: dry, 0 to 100 000 g. `liquid_g`: in it and round it, above 0 to 100 000 g. `power_w`: 0 to
    20 000 W. `burst_min`: 0 to 60 min. `start_c`: 0 degC to the boil. `boil_c`: 65 to 120 degC.
    Returns end temperature and mL of steam; no more than there is liquid.
    Refused (ValueError): outside those ranges.

    >>> burst(100, 220, 600, 2, 20, 100)
    Burst(end_c=88.07, steamed_ml=0.0)
    >>> burst(100, 220, 600, 2, 80, 100)
    Burst(end_c=100.0, steamed_ml=22.53)

    **Source:** heat balance, specific heats as in `bath_heat.bath_heat_j_k`, latent heat IAPWS R7-97(2012).
    IEC 60705 (from memory) rates an oven by the warming of a litre of water.
    Breaks on the hot side: a small load takes up less than the rated power, and the dish warms too.
    """
    FIBRE_G(fibre_g)
    above("liquid", liquid_g, 0, 100_000, "mL")
    within("power of the oven", power_w, 0, 20_000, "W")
    within("length of the burst", burst_min, 0, 60, "min")
    BOIL_C(boil_c)
    within("temperature at the start", temperature("temperature at the start", start_c), 0, boil_c, "°C")
    heat_j_k = fibre_g * WOOL_J_G_K + liquid_g * WATER_J_G_K
    energy_j = 60.0 * power_w * burst_min
    to_boil_j = heat_j_k * (boil_c - start_c)
    if energy_j <= to_boil_j:
        return Burst(start_c + energy_j / heat_j_k, 0.0)
    return Burst(float(boil_c), min(liquid_g, (energy_j - to_boil_j) / latent_heat_j_g(boil_c)))


def bursts(
    fibre_g: float,
    liquid_g: float,
    power_w: float,
    burst_min: float,
    start_c: float,
    boil_c: float,
    count: int,
) -> tuple[Burst, ...]:
    """Several bursts on end, each on what the one before left; a rest is counted as keeping all the heat.

    `count`: 1 to 20; the rest as in `burst`. Returns one `Burst` for each.
    Refused (ValueError): outside those ranges.

    >>> [round(b.end_c) for b in bursts(100, 220, 600, 2, 20, 100, 2)]
    [88, 100]

    **Source:** `burst`, again and again.
    Breaks on the hot side: while it rests the packet loses heat to the dish and the oven.
    """
    within("number of bursts", count, 1, 20)
    found: list[Burst] = []
    for _ in range(count):
        if liquid_g <= 0:
            found.append(Burst(start_c, 0.0))
            continue
        done = burst(fibre_g, liquid_g, power_w, burst_min, start_c, boil_c)
        liquid_g, start_c = liquid_g - done.steamed_ml, done.end_c
        found.append(done)
    return tuple(found)
