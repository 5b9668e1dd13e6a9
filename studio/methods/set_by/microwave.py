"""Set in a microwave: bursts and rests of a wrapped packet, a look, a stand, cooled in its wrap."""

from __future__ import annotations

from collections.abc import Iterator

from studio.methods.put_on.paint_work import PaintWork
from studio.methods.said import caution, clock, step
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
from studio.plan.shapes import Caution, Step, Timer
from studio.plan.shelf import KitItem
from studio.plan.steps.lay import clock_id
from studio.plan.steps.stages import CLEAR_GRADE, IN_THE_WRAP
from studio.plan.ways import SetBy
from studio.plan.work.energy import CoolWork, EnergyUse, work_cool
from studio.quantity.showing import show
from studio.tables.rows import hazards

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
    wet_again = step("microwave.again")
    cooling = IN_THE_WRAP
    job = (
        ("{} bursts of {}", "microwave.bursts", "microwave.burst"),
        ("{} rest after each", "microwave.rest"),
        ("then {} shut", "microwave.stand"),
    )
    hands_min = 20.0
    """One stays beside it."""

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
        told = {"count": heat.count, "clock": _clock(heat.burst_min), "power": show(heat.power_w, "W")}
        bursts = [
            step(
                "microwave.burst",
                number=number,
                starts=clock_id("burst", str(number)),
                timer=clock_id("rest", str(number - 1)),
                **told,
            )
            for number in range(2, heat.count + 1)
        ]
        return (
            step("microwave.safe", after=(put_on,)),
            step("microwave.first burst", starts=clock_id("burst", "1"), **told),
            *bursts,
            step("microwave.rest", timer=clock_id("rest", str(heat.count))),
            step("microwave.clear", low=CLEAR_GRADE),
            step("microwave.stand"),
            step("microwave.out"),
        )

    def clocks(self, put: PaintWork, heat: MicrowaveWork) -> Iterator[Timer]:
        """Bursts, rests and the stand."""
        for name in (*map(str, range(1, heat.count + 1)), "more"):
            burst = f"burst {name} of {heat.count}" if name != "more" else "extra burst"
            told = {"name": name, "burst": burst}
            yield clock("microwave.burst", minutes=heat.burst_min, rest=clock_id("rest", name), **told)
            yield clock("microwave.rest", minutes=heat.rest_min, **told)
        yield clock("microwave.stand", minutes=heat.stand_min)


def _clock(minutes: float) -> str:
    """As an oven's clock shows it.

    >>> _clock(2.5), _clock(0.25)
    ('2:30', '0:15')
    """
    whole, seconds = divmod(round(minutes * 60), 60)
    return f"{whole}:{seconds:02d}"


# Cautions: dryness, long bursts, steam in the wrap.

LONG_BURST_MIN = 2.5
"""A burst is taken to be long from here on. House rule."""
MOST_STEAM = 0.15
"""Share of the packet's liquid that may steam away before it is warned about. House rule."""
HOT_C = 85.0
"""The packet should come to this at the least. House rule, as for the centre of a steamed one."""


def microwave_cautions(settled: Settled, work: MicrowaveWork) -> Iterator[Caution]:
    """method.microwave, microwave.*, and the hazards of dryness, steam and unwrapping."""
    yield from _oven(settled)
    yield caution("microwave.wet", source=hazards()["microwave"].source)
    yield caution("microwave.superheating")
    if work.burst_min > LONG_BURST_MIN or work.rest_min < work.burst_min * 0.99:
        yield caution("microwave.schedule", heat=work, source=SCHEDULES)
    if work.steamed_ml > work.liquid_ml * MOST_STEAM:
        yield caution("microwave.dries", heat=work)
    if work.end_c < min(HOT_C, work.boil_c - 3.0):
        yield caution("microwave.cold", heat=work, hot=HOT_C)
    yield caution("cool.unwrap")


def _oven(settled: Settled) -> Iterator[Caution]:
    """A microwave takes food colour, or is listed on the shelf as kept for dye only."""
    if settled.food_only:
        return
    ovens = [item for item in settled.kit if isinstance(item, KitItem) and item.oven]
    if ovens and all(oven.kept_for == "dye only" for oven in ovens):
        return
    others = ", ".join(d.name for d in settled.dyes if not d.food)
    told = f"{ovens[0].name} is kept for the kitchen" if ovens else "the plan's kit has none"
    yield caution("method.microwave", others=others, told=told, source=hazards()["microwave"].source)
