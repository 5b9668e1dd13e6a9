"""The energy a plan draws: pot and goods brought to the boil, and the hob while the steam is held."""

from __future__ import annotations

import msgspec

from studio.craft import energy
from studio.plan.figure_text import num
from studio.plan.figures_kettle import HeatWork
from studio.plan.figures_microwave import MicrowaveWork
from studio.plan.figures_paint import PaintWork
from studio.plan.figures_pieces import rounds_in_steamer
from studio.plan.figures_set import SetWork
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


def _again(settled: Settled, heat_j: float, end_c: float) -> tuple[float, str]:
    """J for every set and for the water filled up, and how that is told: both known of a session alone."""
    sets, filled_ml = settled.measured.get("energy.sets", 1.0), settled.measured.get("energy.filled", 0.0)
    told = f" x {num(sets)} sets" if sets != 1 else ""
    if filled_ml > 0:
        told += f" + {num(filled_ml)} mL filled up x 4.19 x {num(end_c - COLD_C)} K"
    return heat_j * sets + energy.sensible_j(filled_ml, COLD_C, end_c), told


def _held_min(settled: Settled, planned_min: float) -> float:
    """As the clocks ran; no more than a week, which is what `energy.held_kwh` takes."""
    return min(10_000.0, settled.measured.get("energy.held", planned_min))


def steam_energy(settled: Settled, steam: SetWork, paint: PaintWork) -> EnergyUse:
    """Pot water, wet goods and pot from room to boiling, then the hob at full power for the hold (estimate)."""
    written = settled.packet.hob_efficiency
    share = written or EFFICIENCY
    start, end = settled.room.value, steam.steam_c
    held_ml = max(0.0, paint.room.squeezed_g - settled.dry_g) + sum(
        colour.applied_ml for colour in paint.colours
    )
    pots_ml = steam.pot_ml * rounds_in_steamer(settled)
    once_j = energy.sensible_j(pots_ml, start, end, settled.dry_g, held_ml, POT_G)
    heat_j, again = _again(settled, once_j, end)
    hold_min = _held_min(settled, steam.hold_min * rounds_in_steamer(settled))
    heat_up, held = energy.kwh(heat_j, share), energy.held_kwh(settled.hob_w.value, hold_min)
    because = (
        f"({num(pots_ml)} mL in the pot x 4.19 + {num(held_ml)} mL in the goods x 4.19 + "
        f"{num(settled.dry_g)} g of fibre x 1.36 + {num(POT_G)} g of pot x 0.5 J/gK) x ({num(end)} - {num(start)}) K"
        f"{again} = {num(heat_j / 1000)} kJ, / {num(share)} = {num(heat_up)} kWh; {num(settled.hob_w.value)} W x "
        f"{num(hold_min)} min = {num(held)} kWh"
    )
    told = "as written" if written else "0.75 from memory"
    return EnergyUse(
        kwh=heat_up + held,
        because=because,
        source=f"heat balance; efficiency {told}; the hob at full power throughout, an upper estimate; warm water "
        f"from the tap is not in it; hob: {settled.hob_w.source}",
    )


OVEN_EFFICIENCY = 0.6
"""Share of what an oven draws that comes out as microwaves: 0.5 to 0.65. From memory."""


def bath_energy(settled: Settled, heat: HeatWork) -> EnergyUse:
    """Bath, fibre and pot up the ramp, then what the covered pot loses while it is held (estimate)."""
    written = settled.kettle.hob_efficiency
    share = written or EFFICIENCY
    heat_j, again = _again(settled, heat.ramp_j, heat.top_c)
    hold_min = _held_min(settled, heat.hold_min)
    heat_up, held = energy.kwh(heat_j, share), energy.held_kwh(heat.hold_w / share, hold_min)
    because = (
        f"{num(heat.ramp_j / 1000)} kJ up the ramp{again}, / {num(share)} = {num(heat_up)} kWh; "
        f"{num(heat.hold_w)} W lost / {num(share)} x {num(hold_min)} min = {num(held)} kWh"
    )
    told = "as written" if written else "0.75 from memory"
    return EnergyUse(
        kwh=heat_up + held,
        because=because,
        source=f"heat balance, loss of a covered pot: estimate; efficiency {told}; warm tap water is not in it",
    )


def oven_energy(settled: Settled, work: MicrowaveWork) -> EnergyUse:
    """What the oven draws in its bursts (estimate)."""
    minutes, drawn_w = _held_min(settled, work.burst_min * work.count), work.power_w / OVEN_EFFICIENCY
    held = energy.held_kwh(drawn_w, minutes)
    return EnergyUse(
        kwh=held,
        because=f"{num(work.power_w)} W / {num(OVEN_EFFICIENCY)} x {num(minutes)} min = {num(held)} kWh",
        source=f"share that leaves the oven as microwaves {num(OVEN_EFFICIENCY)}, from memory",
    )
