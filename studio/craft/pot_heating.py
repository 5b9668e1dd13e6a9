"""How long a pot of water takes to steam, and what its hob really gives."""

from __future__ import annotations

from studio.craft.limits import above, liquid_volume, within

WATER_J_G_K = 4.19
"""J/(g K), water on its way from 20 to 100 degC (4.18 to 4.22 in the IAPWS-95 formulation)."""
COLD_TAP_C = 15.0
"""degC of cold tap water, where nobody measured it (estimate)."""
STEEL_J_G_K = 0.5
"""J/(g K), stainless steel of a pot (from memory)."""


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

    **Source:** heat balance; specific heats as named above; efficiencies: gas 0.3 to 0.5, electric 0.7 to
    0.8, induction 0.8 to 0.9 (from memory).
    Breaks on the early side: the rack, the goods and the air in the pot take heat and time as well. Water
    poured to a boiling pot stops the steam for as long: count its mL and its temperature as the start.
    """
    heat_j = _heat_j(water_ml, start_c, boil_c, pot_g)
    above("power of the hob", power_w, 0, 20_000, "W")
    above("efficiency", efficiency, 0, 1)
    return heat_j / (60.0 * power_w * efficiency)


def _heat_j(water_ml: float, start_c: float, boil_c: float, pot_g: float) -> float:
    liquid_volume("pot water", water_ml)
    within("start temperature of the water", start_c, 0, 120, "degC")
    within("boiling point", boil_c, 65, 120, "degC")
    within("weight of the pot", pot_g, 0, 100_000, "g")
    return (water_ml * WATER_J_G_K + pot_g * STEEL_J_G_K) * max(0.0, boil_c - start_c)
