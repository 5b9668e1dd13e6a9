"""Cautions about a microwave: dryness, long bursts, steam in the wrap."""

from __future__ import annotations

from collections.abc import Iterator

from studio.methods.put_on.paint_work import PaintWork
from studio.methods.set_by.microwave_steps import WET_AGAIN, burst_steps, clocks
from studio.methods.set_by.microwave_work import (
    SCHEDULES,
    MicrowavePlan,
    MicrowaveWork,
    microwaved_packet,
    oven_energy,
    work_microwave,
)
from studio.plan.fields import FieldSection, figure, row, usual
from studio.plan.settled import Settled
from studio.plan.shapes import HOUSE, Caution, Step, Timer, brief
from studio.plan.shelf import KitItem
from studio.plan.steps.finishing import IN_THE_WRAP
from studio.plan.ways import SetBy, StageHands
from studio.plan.work.cautions import CRAFT
from studio.plan.work.cautions_liquid import hazard
from studio.plan.work.costs import MICROWAVE_MIN
from studio.plan.work.energy import CoolWork, EnergyUse, work_cool
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


MOST_BURSTS = 4
"""More would need more than nine items in a stage. House rule."""
SECTION = FieldSection(
    name="microwave",
    table="microwave",
    figures=("microwave", "cool and rinse"),
    fields=(
        row("power", "power", "power", "600 W", "What the oven gives at the setting used.", needed=True, low=80.0,
           high=3_000.0),
        row("burst", "burst", "duration", "2 min", "Each time.", figure("microwave.burst"), low=0.25, high=5.0),
        row("rest", "rest", "duration", "2 min", "After each burst.", figure("microwave.rest"), low=0.5, high=30.0),
        row("rounds", "bursts", "whole", "2", "How many, before the first look.", figure("microwave.bursts"),
           low=1, high=MOST_BURSTS),
        row("stand", "stand", "duration", "10 min", "In the shut oven, before it is lifted out.",
           figure("microwave.stand"), low=1.0, high=12 * 60.0),
        row("thickness", "thickness", "length", "3 cm", "Of the packet in its dish.", usual("3 cm", "estimate"),
           low=0.2, high=15.0),
    ),
)  # fmt: skip


class Microwave(SetBy[PaintWork, MicrowaveWork]):
    """Bursts of a microwave oven."""

    table = "microwave"
    stage = "microwave"
    shade = ("microwave.burst", "microwave.rest", "microwave.bursts")
    section = SECTION
    own = MicrowavePlan
    wet_again = WET_AGAIN
    cooling = IN_THE_WRAP

    def work(self, settled: Settled, put: PaintWork) -> MicrowaveWork:
        """microwave.*"""
        return work_microwave(settled, put)

    def cool(self, settled: Settled, put: PaintWork, heat: MicrowaveWork) -> CoolWork:
        """In the wrap, in the air."""
        return work_cool(settled, microwaved_packet(settled), heat.end_c, put.target_percent)

    def energy(self, settled: Settled, put: PaintWork, heat: MicrowaveWork) -> EnergyUse:
        """The bursts."""
        return oven_energy(settled, heat)

    def cautions(self, settled: Settled, put: PaintWork, heat: MicrowaveWork) -> Iterator[Caution]:
        """microwave.*"""
        return microwave_cautions(settled, heat)

    def steps(self, settled: Settled, put: PaintWork, heat: MicrowaveWork, put_on: str) -> tuple[Step, ...]:
        """At the oven."""
        return burst_steps(heat, put_on)

    def clocks(self, put: PaintWork, heat: MicrowaveWork) -> tuple[Timer, ...]:
        """Bursts, rests and the stand."""
        return clocks(heat)

    def hands_on(self, pieces: int) -> StageHands:
        """One stays beside it. Estimate."""
        return StageHands("microwave", MICROWAVE_MIN * pieces)
