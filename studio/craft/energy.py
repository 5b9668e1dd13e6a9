"""Energy of a set from its heat balance: heating up, and boiling on while the steam is held."""

from __future__ import annotations

from studio.craft.limits import above, fibre_weight, liquid_volume, within
from studio.craft.pot import STEEL_J_G_K, WATER_J_G_K

__all__ = ["J_PER_KWH", "WOOL_J_G_K", "held_kwh", "kwh", "sensible_j"]

WOOL_J_G_K = 1.36
"""J/(g K), dry wool (Morton & Hearle, Physical Properties of Textile Fibres, from memory)."""
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
    within("weight of the pot", pot_g, 0, 100_000, "g")
    per_k = WATER_J_G_K * water + WOOL_J_G_K * fibre_weight(fibre_g) + STEEL_J_G_K * pot_g
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
    above("efficiency", efficiency, 0, 1)
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
    within("power of the hob", power_w, 0, 20_000, "W")
    within("hold", hold_min, 0, 10_000, "min")
    return power_w * hold_min / 60_000.0
