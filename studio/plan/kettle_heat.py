"""The bath of a kettle on the heat: ramp, later parts of dye and acid, hold, and the look at a white spoon."""

from __future__ import annotations

from studio.plan.facts import KettleFacts, ProcedureFacts
from studio.plan.kettle_bath import acid_step
from studio.plan.shapes import Stage, Step
from studio.plan.step_parts import near, stage_of_steps
from studio.quantity import show

CLEAR_GRADE = 4
"""Of 5; from here the bath counts as exhausted. House rule; that a clear spoon is the end is a supplier's
rule (Ashford, instruction sheet, undated)."""
UNDER_TOP_C, OVER_TOP_C = 4.0, 3.0
"""So far under and over its top a bath may be read. House rule."""


def heat_stage(facts: ProcedureFacts, kettle: KettleFacts) -> Stage:
    staged = kettle.acid_rest > 0
    return stage_of_steps(
        "heat",
        Step(
            id="heat.safe",
            kind="gate",
            text="A hot bath and its steam burn: lid opens away from you, dry mitts and tongs to hand, sleeves down, "
            "handles turned in, nobody beside it.",
            done="Lid, mitts and tongs ready",
            critical=True,
            after=("bath.in",),
        ),
        Step(
            id="heat.on",
            kind="do",
            text=f"Heat on: about {kettle.rate_c_min:.1f} degC a minute, lid on between looks.",
            done="Heat on",
            starts="ramp",
            figures=("kettle.ramp", "kettle.top", "kettle.power", "kettle.heat-up"),
        ),
        *_parts(facts, kettle),
        Step(
            id="heat.acid-wait",
            kind="wait",
            text="Let the first half of the acid draw on; read the bath and hold it against the ramp.",
            done="First acid drawn on",
            timer="acid",
            figures=("kettle.top",),
        )
        if staged
        else None,
        acid_step(facts, "heat.acid", kettle.acid_rest, "The rest of it") if staged else None,
        Step(
            id="heat.ramp",
            kind="wait",
            text="Bring the bath up evenly; read it and turn the ring by what the curve says.",
            done="Ramp run",
            timer="ramp",
            figures=("kettle.top",),
        ),
        Step(
            id="heat.top",
            kind="measure",
            text=f"Measure the bath; the hold begins at {show(kettle.top_c, 'degC')}, below the boil.",
            done="Bath at its top",
            critical=True,
            quantity="temperature",
            unit="degC",
            expected=round(kettle.top_c, 1),
            low=round(kettle.top_c - UNDER_TOP_C, 1),
            high=round(kettle.top_c + OVER_TOP_C, 1),
            starts="hold",
            figures=("kettle.top", "kettle.hold"),
        ),
        Step(
            id="heat.hold",
            kind="wait",
            text="Turn the ring down so that it holds; turn the fibre over gently now and then.",
            done="Held at the top",
            timer="hold",
            figures=("kettle.hold", "kettle.top", "kettle.evaporation"),
        ),
        Step(
            id="heat.clear",
            kind="measure",
            text="Take a little of the bath on a white spoon: 1 as dark as at first, 3 half gone, 5 clear.",
            done="Bath exhausted",
            quantity="look",
            unit="of 5",
            low=CLEAR_GRADE,
            stops="hold-more",
            waiting="Not clear: hold it on until the clock is over, then look again on a white spoon.",
            figures=("kettle.hold",),
        ),
        Step(
            id="heat.off",
            kind="do",
            text="Heat off, lid on. The fibre stays in the bath.",
            done="Heat off",
            starts="cool",
            figures=("cool.time",),
        ),
    )


def _parts(facts: ProcedureFacts, kettle: KettleFacts) -> tuple[Step, ...]:
    """The later parts of a semi-solid, each at its place on the ramp."""
    part_ml = kettle.dye_ml / kettle.parts
    name = facts.colours[0].name
    return tuple(
        Step(
            id=f"heat.part-{number}",
            kind="measure",
            text=f"When the bath is at about {part_c(kettle, number):.0f} degC pour part {number} of {kettle.parts} "
            f"of {name} over one side of the fibre, without stirring.",
            done=f"Part {number} of the dye in",
            quantity="volume",
            unit="mL",
            stops=f"part-{number}",
            figures=(f"kettle.part.{number}", "kettle.ramp"),
            sets=f"kettle.part.{number}",
            **near(part_ml),
        )
        for number in range(2, kettle.parts + 1)
    )


def part_c(kettle: KettleFacts, number: int) -> float:
    """Temperature at which a part goes in: the ramp cut into as many stretches as there are parts."""
    return kettle.start_c + (kettle.top_c - kettle.start_c) * (number - 1) / kettle.parts
