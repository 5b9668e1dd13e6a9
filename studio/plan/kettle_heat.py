"""The bath of a kettle on the heat: ramp, later parts of dye and acid, hold, and the look at a white spoon."""

from __future__ import annotations

from studio.plan.facts import KettleFacts, ProcedureFacts
from studio.plan.kettle_bath import acid_step
from studio.plan.lay import clock_id, laid_stage, step_id
from studio.plan.shapes import Stage, Step
from studio.plan.step_parts import near
from studio.quantity import show

CLEAR_GRADE = 4
"""Of 5; from here the bath counts as exhausted. House rule; that a clear spoon is the end is a supplier's
rule (Ashford, instruction sheet, undated)."""
UNDER_TOP_C, OVER_TOP_C = 4.0, 3.0
"""So far under and over its top a bath may be read. House rule."""


def heat_stage(facts: ProcedureFacts, kettle: KettleFacts) -> Stage:
    staged = kettle.acid_rest > 0
    return laid_stage(
        "heat",
        Step(
            role="safe heat",
            kind="gate",
            text="A hot bath and its steam burn: lid opens away from you, dry mitts and tongs to hand, sleeves down, "
            "handles turned in, nobody beside it.",
            done="Lid, mitts and tongs ready",
            critical=True,
            after=(step_id("bath", "into the bath"),),
        ),
        Step(
            role="heat on",
            kind="do",
            text=f"Heat on: about {kettle.rate_c_min:.1f} degC a minute, lid on between looks.",
            done="Heat on",
            starts=clock_id("ramp"),
            figures=("kettle.ramp", "kettle.top", "kettle.power", "kettle.heat-up"),
        ),
        *_parts(facts, kettle),
        Step(
            role="acid draws on",
            once=True,
            kind="wait",
            text="Let the first half of the acid draw on; read the bath and hold it against the ramp.",
            done="First acid drawn on",
            timer=clock_id("acid"),
            figures=("kettle.top",),
        )
        if staged
        else None,
        acid_step(facts, kettle.acid_rest, "The rest of it", later=True) if staged else None,
        Step(
            role="ramp",
            kind="wait",
            text="Bring the bath up evenly; read it and turn the ring by what the curve says.",
            done="Ramp run",
            timer=clock_id("ramp"),
            figures=("kettle.top",),
        ),
        Step(
            role="at the top",
            kind="measure",
            text=f"Measure the bath; the hold begins at {show(kettle.top_c, 'degC')}, below the boil.",
            done="Bath at its top",
            critical=True,
            quantity="temperature",
            unit="degC",
            expected=round(kettle.top_c, 1),
            low=round(kettle.top_c - UNDER_TOP_C, 1),
            high=round(kettle.top_c + OVER_TOP_C, 1),
            starts=clock_id("hold", "hold"),
            figures=("kettle.top", "kettle.hold"),
        ),
        Step(
            role="hold",
            kind="wait",
            text="Turn the ring down so that it holds; turn the fibre over gently now and then.",
            done="Held at the top",
            timer=clock_id("hold", "hold"),
            figures=("kettle.hold", "kettle.top", "kettle.evaporation"),
        ),
        Step(
            role="look",
            kind="measure",
            text="Take a little of the bath on a white spoon: 1 as dark as at first, 3 half gone, 5 clear.",
            done="Bath exhausted",
            quantity="look",
            unit="of 5",
            low=CLEAR_GRADE,
            stops=clock_id("hold on"),
            waiting="Not clear: hold it on until the clock is over, then look again on a white spoon.",
            figures=("kettle.hold",),
        ),
        Step(
            role="heat off",
            kind="do",
            text="Heat off, lid on. The fibre stays in the bath.",
            done="Heat off",
            starts=clock_id("cool"),
            figures=("cool.time",),
        ),
        heat=True,
    )


def _parts(facts: ProcedureFacts, kettle: KettleFacts) -> tuple[Step, ...]:
    """The later parts of a semi-solid, each at its place on the ramp."""
    part_ml = kettle.dye_ml / kettle.parts
    name = facts.colours[0].name
    return tuple(
        Step(
            role="dye in",
            of=str(number),
            once=True,
            kind="measure",
            text=f"When the bath is at about {part_c(kettle, number):.0f} degC pour part {number} of {kettle.parts} "
            f"of {name} over one side of the fibre, without stirring.",
            done=f"Part {number} of the dye in",
            quantity="volume",
            unit="mL",
            stops=clock_id("dye", str(number)),
            figures=(f"kettle.part.{number}", "kettle.ramp"),
            sets=f"kettle.part.{number}",
            **near(part_ml),
        )
        for number in range(2, kettle.parts + 1)
    )


def part_c(kettle: KettleFacts, number: int) -> float:
    """Temperature at which a part goes in: the ramp cut into as many stretches as there are parts."""
    return kettle.start_c + (kettle.top_c - kettle.start_c) * (number - 1) / kettle.parts
