"""The energy a plan draws: pot and goods brought to the boil, and the hob while the steam is held."""

from __future__ import annotations

import msgspec

from studio.craft import energy
from studio.plan.figure_text import num
from studio.plan.settled import Settled

POT_G = 1_500.0
"""A steel pot with its rack and lid. Estimate."""
EFFICIENCY = 0.75
"""Share of an electric hob's power that reaches the water while it heats up: 0.7 to 0.8. From memory."""


class EnergyUse(msgspec.Struct, frozen=True, kw_only=True):
    """What heating up and holding draw, and why."""

    kwh: float
    because: str
    source: str


COLD_C = 20.0
"""Water that is filled up, before it was heated; from a cold tap it takes a little more. Estimate."""


def every_set(settled: Settled, heat_j: float, end_c: float) -> tuple[float, str]:
    """J for every set and for the water filled up, and how that is told: both known of a session alone."""
    sets, filled_ml = settled.measured.get("energy.sets", 1.0), settled.measured.get("energy.filled", 0.0)
    told = f" x {num(sets)} sets" if sets != 1 else ""
    if filled_ml > 0:
        told += f" + {num(filled_ml)} mL filled up x 4.19 x {num(end_c - COLD_C)} K"
    return heat_j * sets + energy.sensible_j(filled_ml, COLD_C, end_c), told


def held_min(settled: Settled, planned_min: float) -> float:
    """As the clocks ran; no more than a week, which is what `energy.held_kwh` takes."""
    return min(10_000.0, settled.measured.get("energy.held", planned_min))
