"""Steam setting: when the middle of a packet is hot, how long to hold, how much pot water that takes.

One door to `boiling` (pressure, boiling point, latent heat, boil-off), `packet` (heat-through), and the
series of `conduction` and `eigenvalues`.
"""

from __future__ import annotations

import math

from studio.craft.boiling import (
    boil_off_ml_min,
    boiling_point_c,
    latent_heat_j_g,
    pressure_pa,
    saturation_pressure_pa,
)
from studio.craft.conduction import centre_theta_cylinder, centre_theta_slab
from studio.craft.eigenvalues import cylinder_coefficient, cylinder_root, slab_coefficient, slab_root
from studio.craft.limits import liquid_volume, within
from studio.craft.packet import HEAT_THROUGH_C, WET_WOOL_ALPHAS_M2_S, Heating, heat_through

__all__ = [
    "HEAT_THROUGH_C",
    "HOLD_MARGIN_MIN",
    "WET_WOOL_ALPHAS_M2_S",
    "Heating",
    "boil_off_ml_min",
    "boiling_point_c",
    "centre_theta_cylinder",
    "centre_theta_slab",
    "cylinder_coefficient",
    "cylinder_root",
    "heat_through",
    "hold_min",
    "latent_heat_j_g",
    "pot_minutes",
    "pot_water_ml",
    "pressure_pa",
    "saturation_pressure_pa",
    "slab_coefficient",
    "slab_root",
]

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
    within("boil-off", rate_ml_min, 0, 10_000, "mL/min")
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
    within("hold", hold_min, 0, 10_000, "min")
    within("boil-off", rate_ml_min, 0, 10_000, "mL/min")
    within("reserve", reserve_percent, 0, 500, "%")
    return hold_min * rate_ml_min * (1.0 + reserve_percent / 100.0)
