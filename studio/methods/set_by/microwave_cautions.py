"""Cautions about a microwave: dryness, long bursts, steam in the wrap."""

from __future__ import annotations

from collections.abc import Iterator

from studio.methods.set_by.microwave_work import SCHEDULES, MicrowaveWork
from studio.plan.settled import Settled
from studio.plan.shapes import HOUSE, Caution, brief
from studio.plan.shelf import KitItem
from studio.plan.work.cautions import CRAFT
from studio.plan.work.cautions_liquid import hazard
from studio.tables.finding import find_hazard

LONG_BURST_MIN = 2.5
MOST_STEAM = 0.15
"""Share of the packet's liquid that may steam away before it is warned about. House rule."""
HOT_C = 85.0
"""The packet should come to this at the least. House rule, as for the centre of a steamed one."""


def microwave_cautions(settled: Settled, work: MicrowaveWork) -> Iterator[Caution]:
    """method.microwave, microwave.*, and the hazards of dryness, steam and unwrapping."""
    yield from _oven(settled)
    row = find_hazard("microwave")
    yield Caution(
        id="microwave.wet",
        level="note",
        text="Keep the fibre wet all the time, leave a vent in the wrap, no metal and no twist tie, and stay "
        "beside the oven: fibre that runs dry can catch fire.",
        source=row.source if row else HOUSE,
        stage="heat",
    )
    yield Caution(
        id="microwave.superheating",
        level="note",
        text="Still liquid can pass its boiling point and surge when it is moved: let it stand, then lift it "
        "slowly, face away.",
        source="from memory: public warnings about water superheated in a microwave",
        stage="heat",
    )
    yield from _schedule(work)
    if work.steamed_ml > work.liquid_ml * MOST_STEAM:
        yield Caution(
            id="microwave.dries",
            level="warn",
            text=f"{work.count} bursts may steam {brief(work.steamed_ml)} mL out of the {brief(work.liquid_ml)} mL "
            "in the packet: shorten them, lower the power, or lay more water round the fibre.",
            source="heat balance, an upper bound; the share is a house rule",
            stage="heat",
            where=("microwave", "burst"),
        )
    if work.end_c < min(HOT_C, work.boil_c - 3.0):
        yield Caution(
            id="microwave.cold",
            level="warn",
            text=f"The bursts bring the packet to {brief(work.end_c)} degC at most, and dye on wool wants "
            f"{HOT_C:g}: write more or longer bursts.",
            source="heat balance; 85 degC is a house rule",
            stage="heat",
            where=("microwave", "rounds"),
        )
    yield from hazard("unwrap", "cool.unwrap", "note", "cool")


def _schedule(work: MicrowaveWork) -> Iterator[Caution]:
    long_burst, short_rest = work.burst_min > LONG_BURST_MIN, work.rest_min < work.burst_min * 0.99
    if long_burst or short_rest:
        what = f"a burst of {brief(work.burst_min)} min with {brief(work.rest_min)} min of rest"
        yield Caution(
            id="microwave.schedule",
            level="note",
            text=f"{what.capitalize()} is harder than the schedules dyers tell of: watch the wrap, and stop when "
            "it swells or smells.",
            source=SCHEDULES,
            stage="heat",
            where=("microwave", "burst"),
        )


def _oven(settled: Settled) -> Iterator[Caution]:
    """A microwave takes food colour, or is listed on the shelf as kept for dye only."""
    if settled.food_only:
        return
    ovens = [item for item in settled.kit if isinstance(item, KitItem) and item.oven]
    if ovens and all(oven.kept_for == "dye only" for oven in ovens):
        return
    others = ", ".join(d.name for d in settled.dyes if not d.food)
    told = (
        f"{ovens[0].name} is kept for the kitchen"
        if ovens
        else "no microwave kept for dye only is in its kit"
    )
    hazard = find_hazard("microwave")
    yield Caution(
        id="method.microwave",
        level="stop",
        text=f"{others} is no food colour, and {told}: use food colours alone, or an oven that stands on "
        "the shelf as a microwave kept for dye only.",
        source=hazard.source if hazard else CRAFT,
        stage="ready",
        where=("method",),
    )
