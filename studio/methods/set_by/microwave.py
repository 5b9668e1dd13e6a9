"""Set in a microwave: bursts and rests of a wrapped packet, a look, a stand, cooled in its wrap."""

from __future__ import annotations

from collections.abc import Iterator

from studio.methods.put_on.paint_work import PaintWork
from studio.methods.set_by import cautioned
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
from studio.plan.shapes import Caution, Step, Timer, brief
from studio.plan.shelf import KitItem
from studio.plan.steps.lay import clock_id
from studio.plan.steps.stages import CLEAR_GRADE, IN_THE_WRAP
from studio.plan.ways import SetBy
from studio.plan.work.cautions import caution
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

WET_AGAIN = Step(
    role="wet again",
    kind="do",
    text="Wet it with water of the same pH as the presoak, lay it flat and wrap it with a vent again.",
    done="Wrapped again",
)


class Microwave(SetBy[PaintWork, MicrowaveWork]):
    """Bursts of a microwave oven."""

    table = "microwave"
    stage = "microwave"
    shade = ("microwave.burst", "microwave.rest", "microwave.bursts")
    section = SECTION
    own = MicrowavePlan
    wet_again = WET_AGAIN
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
        return (
            Step(
                role="safe heat",
                kind="gate",
                text="Fibre wet through, liquid round it in a dish that holds it all, one corner of the wrap open, no "
                "metal, no twist tie. Stay beside the oven.",
                done="Wet, vented, no metal",
                critical=True,
                after=(put_on,),
            ),
            *(_burst(heat, number) for number in range(1, heat.count + 1)),
            Step(
                role="rest",
                kind="wait",
                text="Leave the oven shut until it has stopped and rested.",
                done="Rested",
                timer=clock_id("rest", str(heat.count)),
                figures=("microwave.rest",),
            ),
            Step(
                role="look",
                kind="measure",
                text="Open a corner away from you and press the packet with a white spoon: 1 the liquid is as dark as "
                "at first, 3 half gone, 5 clear. Then shut the oven.",
                done="Liquid clear",
                quantity="look",
                unit="of 5",
                low=CLEAR_GRADE,
                starts=clock_id("stand"),
                stops=clock_id("burst", "more"),
                waiting="Not clear: leave the oven shut until this burst and its rest are over, then look again.",
                figures=("microwave.end",),
            ),
            Step(
                role="stand",
                kind="wait",
                text="Leave the oven shut and the packet still, so that the steam in the wrap settles.",
                done="Stood in the oven",
                timer=clock_id("stand"),
                figures=("microwave.stand",),
            ),
            Step(
                role="out",
                kind="do",
                text="Lift the dish out slowly with dry mitts, face away, still wrapped: liquid can surge and steam "
                "burns.",
                done="Dish out, still wrapped",
                critical=True,
                starts=clock_id("cool"),
            ),
        )

    def clocks(self, put: PaintWork, heat: MicrowaveWork) -> tuple[Timer, ...]:
        """Bursts, rests and the stand."""
        names = [str(number) for number in range(1, heat.count + 1)]
        timers: list[Timer] = []
        for name in [*names, "more"]:
            burst = f"burst {name} of {heat.count}" if name != "more" else "extra burst"
            timers.append(
                Timer(
                    role="burst",
                    of=name,
                    label=burst,
                    minutes=heat.burst_min,
                    action="The burst is over: leave the oven shut to rest.",
                    priority="high",
                    then=clock_id("rest", name),
                )
            )
            timers.append(
                Timer(
                    role="rest",
                    of=name,
                    label=f"rest after {burst}",
                    minutes=heat.rest_min,
                    action="The rest is over: look at the liquid.",
                    priority="high",
                )
            )
        timers.append(
            Timer(
                role="stand",
                label="standing in the oven",
                minutes=heat.stand_min,
                action="It has stood long enough: lift the dish out slowly.",
            )
        )
        return tuple(timers)


def _burst(made: MicrowaveWork, number: int) -> Step:
    """One burst: the look at the liquid, and the oven started by the dyer; its rest follows by itself."""
    look = "Look through the wrap: wet all over, liquid in the dish? Add water if not. "
    return Step(
        role="burst",
        of=str(number),
        kind="do" if number == 1 else "wait",
        text=f"{look}Then start the oven, {_clock(made.burst_min)} min at {show(made.power_w, 'W')}, and its clock "
        "here as it starts.",
        done=f"Burst {number} of {made.count} started",
        critical=number == 1,
        starts=clock_id("burst", str(number)),
        timer="" if number == 1 else clock_id("rest", str(number - 1)),
        waiting="" if number == 1 else "Leave the oven shut until it has stopped and rested.",
        figures=(
            "microwave.burst",
            "microwave.first" if number == 1 else "microwave.end",
            "microwave.steamed",
        ),
    )


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
    text = (
        "Fibre that runs dry can catch fire: keep it wet all the time, leave a vent in the wrap, no metal and "
        "no twist tie, and stay beside the oven."
    )
    yield cautioned("microwave.wet", "note", text, hazards()["microwave"].source)
    text = (
        "Liquid can pass its boiling point without a bubble and surge when it is moved: let it stand, then "
        "lift it slowly, face away."
    )
    source = "from memory: public warnings about water superheated in a microwave"
    yield cautioned("microwave.superheating", "note", text, source)
    yield from _schedule(work)
    if work.steamed_ml > work.liquid_ml * MOST_STEAM:
        text = (
            f"{work.count} bursts may steam {brief(work.steamed_ml)} mL out of the {brief(work.liquid_ml)} mL "
            "in the packet: shorten them, lower the power, or lay more water round the fibre."
        )
        source = "heat balance, an upper bound; the share is a house rule"
        yield cautioned("microwave.dries", "warn", text, source, "burst")
    if work.end_c < min(HOT_C, work.boil_c - 3.0):
        text = (
            f"The bursts bring the packet to {brief(work.end_c)} °C at most, and dye on wool needs "
            f"{HOT_C:g} °C: write more or longer bursts."
        )
        yield cautioned("microwave.cold", "warn", text, "heat balance; 85 °C is a house rule", "rounds")
    yield caution("cool.unwrap")


def _schedule(work: MicrowaveWork) -> Iterator[Caution]:
    long_burst, short_rest = work.burst_min > LONG_BURST_MIN, work.rest_min < work.burst_min * 0.99
    if long_burst or short_rest:
        what = f"a burst of {brief(work.burst_min)} min with {brief(work.rest_min)} min of rest"
        text = (
            f"{what.capitalize()} is harder than the schedules dyers share: watch the wrap, and stop when it "
            "swells or smells."
        )
        yield cautioned("microwave.schedule", "note", text, SCHEDULES, "burst")


def _oven(settled: Settled) -> Iterator[Caution]:
    """A microwave takes food colour, or is listed on the shelf as kept for dye only."""
    if settled.food_only:
        return
    ovens = [item for item in settled.kit if isinstance(item, KitItem) and item.oven]
    if ovens and all(oven.kept_for == "dye only" for oven in ovens):
        return
    others = ", ".join(d.name for d in settled.dyes if not d.food)
    told = f"{ovens[0].name} is kept for the kitchen" if ovens else "the plan's kit has none"
    text = (
        f"A microwave for {others} must be kept for dye only, and {told}: use food colours alone, or an oven "
        "your shelf lists as kept for dye only."
    )
    source = hazards()["microwave"].source
    yield Caution(
        id="method.microwave", level="stop", text=text, source=source, stage="ready", where=("method",)
    )
