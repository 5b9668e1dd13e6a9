"""The heat a set takes: the pot until it steams, boiling on while it is held, and a burst of the
microwave.
"""

from __future__ import annotations

from dataclasses import dataclass

from studio.craft.heat import WOOL_J_G_K, temperature
from studio.craft.limits import (
    BOIL_C,
    EFFICIENCY,
    FIBRE_G,
    HOB_W,
    HOLD_MIN,
    POT_G,
    above,
    liquid_volume,
    within,
)
from studio.craft.pot import STEEL_J_G_K, WATER_J_G_K
from studio.craft.steam import latent_heat_j_g

# Energy of a set from its heat balance: heating up, and boiling on while the steam is held.

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
    within("start temperature", start_c, 0, 120, "degC")
    within("end temperature", end_c, 0, 120, "degC")
    POT_G(pot_g)
    per_k = WATER_J_G_K * water + WOOL_J_G_K * FIBRE_G(fibre_g) + STEEL_J_G_K * pot_g
    return per_k * max(0.0, end_c - start_c)


def kwh(heat_j: float, efficiency: float) -> float:
    """Energy drawn for a heat, where a share of it arrives.

    E = Q / efficiency / 3 600 000

    `heat_j`: 0 to 1e12 J. `efficiency`: above 0 to 1. Returns kWh. Refused (ValueError): outside those ranges.

    >>> kwh(3_600_000, 0.75)
    1.33333

    **Source:** 1 kWh = 3.6 MJ (SI Brochure, 9th ed., table 8: hour); efficiencies: gas 0.3 to 0.5, electric 0.7
    to 0.8, induction 0.8 to 0.9 (from memory).
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


@dataclass(frozen=True, slots=True)
class Burst:
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
    within("temperature at the start", temperature("temperature at the start", start_c), 0, boil_c, "degC")
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
