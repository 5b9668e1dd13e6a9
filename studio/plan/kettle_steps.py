"""Stages and clocks of a kettle: wet out, make the bath, ramp, hold, cool in the bath."""

from __future__ import annotations

import math

from studio.plan.clocks import cool_timer, presoak_timer, whole
from studio.plan.facts import KettleFacts, ProcedureFacts
from studio.plan.finishing import record_stage, rinse_stage
from studio.plan.mixing_steps import stocks_stage
from studio.plan.preparing import presoak_stage, ready_stage
from studio.plan.shapes import Stage, Step, Timer
from studio.plan.step_parts import near, stage_of_steps

LOOK_MIN = 10.0
"""Longest time between two looks at the thermometer on the way up. House rule."""
TURN_MIN = 15.0
"""Between two turns of the fibre at the top. House rule."""
MORE_MIN = 10.0
"""Held on where the bath is not clear. House rule."""
CLEAR_GRADE = 4
"""Of 5; from here the bath counts as exhausted. House rule; that a clear spoon is the end is a supplier's
rule (Ashford, instruction sheet, undated)."""
NEAR_START_C, UNDER_TOP_C, OVER_TOP_C = 5.0, 4.0, 3.0


def in_a_kettle(facts: ProcedureFacts) -> tuple[tuple[Stage, ...], tuple[Timer, ...]]:
    """Ready, presoak, stocks, bath, heat, cool, rinse, record."""
    kettle = facts.kettle
    assert kettle is not None, "a kettle's facts hold its bath"
    stocks = stocks_stage(facts)
    stages = (
        ready_stage(facts),
        presoak_stage(facts),
        stocks,
        _bath_stage(facts, kettle, stocks.steps[-1].id),
        _heat_stage(facts, kettle),
        _cool_stage(facts),
        rinse_stage(facts, "cool.lift"),
        record_stage(facts),
    )
    return stages, _timers(facts, kettle)


def _bath_stage(facts: ProcedureFacts, kettle: KettleFacts, last_stock: str) -> Stage:
    colour = facts.colours[0]
    part_ml = kettle.dye_ml / kettle.parts
    which = "" if kettle.parts == 1 else f"the first of {kettle.parts} parts of "
    return stage_of_steps(
        "bath",
        Step(
            id="bath.water",
            kind="measure",
            text=f"Pour the bath into the dye pot, about {kettle.start_c:g} degC; the heat stays off.",
            done="Bath water poured",
            quantity="volume",
            unit="mL",
            after=("ready.weight",),
            figures=("kettle.bath", "kettle.water"),
            **near(kettle.fill_ml),
        ),
        Step(
            id="bath.salt",
            kind="measure",
            text="Weigh Glauber's salt and stir it in until it is gone.",
            done="Salt in the bath",
            quantity="mass",
            unit="g",
            figures=("kettle.salt",),
            **near(kettle.salt_g),
        )
        if kettle.salt_g > 0
        else None,
        _acid(
            facts, "bath.acid", kettle.acid_first, "Half of it now" if kettle.acid_rest > 0 else "All of it"
        )
        if kettle.acid_first > 0
        else None,
        Step(
            id="bath.dye",
            kind="measure",
            text=f"Pour {which}the dye for {colour.name} in and stir well, before the fibre is in.",
            done="Dye in the bath",
            quantity="volume",
            unit="mL",
            after=(last_stock,),
            figures=("kettle.dye", "kettle.part"),
            **near(part_ml),
        ),
        Step(
            id="bath.ph",
            kind="measure",
            text="Read the pH of the bath with a strip or meter; a dyed strip is read at its edge.",
            done="pH of the bath read",
            quantity="ph",
            unit="pH",
            expected=round(kettle.ph, 2),
            low=max(0.0, round(kettle.ph - 1, 2)),
            high=min(14.0, round(kettle.ph + (2 if kettle.acid_rest > 0 else 1), 2)),
            figures=("kettle.ph", "kettle.acid.first"),
        ),
        Step(
            id="bath.temperature",
            kind="measure",
            text="Measure the bath: as warm as the wetted fibre, so that it neither felts nor strikes at once.",
            done="Bath temperature read",
            quantity="temperature",
            unit="degC",
            expected=kettle.start_c,
            low=max(0.0, kettle.start_c - NEAR_START_C),
            high=kettle.start_c + NEAR_START_C,
            figures=("kettle.start",),
        ),
        Step(
            id="bath.in",
            kind="do",
            text="Lift the fibre out of the soak, let it drip, and lower it into the bath all at once; move it gently.",
            done="Fibre in the bath",
            after=("presoak.wait",),
        ),
    )


def _acid(facts: ProcedureFacts, step_id: str, amount: float, which: str) -> Step:
    liquid = facts.acid_state == "liquid"
    return Step(
        id=step_id,
        kind="measure",
        text=f"{which}: measure {facts.acid_name} and pour it into the water, never water into acid."
        if step_id == "bath.acid"
        else f"{which}: measure {facts.acid_name}, draw the fibre aside, pour it in clear of it and move it through.",
        done="Acid in the bath" if step_id == "bath.acid" else "Rest of the acid in",
        critical=facts.acid_strong,
        quantity="volume" if liquid else "mass",
        unit="mL" if liquid else "g",
        figures=("kettle.acid", "kettle.acid.first", "kettle.ph")
        if step_id == "bath.acid"
        else ("kettle.acid", "kettle.ph"),
        **near(amount),
    )


def _heat_stage(facts: ProcedureFacts, kettle: KettleFacts) -> Stage:
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
            word="lid",
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
        _acid(facts, "heat.acid", kettle.acid_rest, "The rest of it") if staged else None,
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
            text=f"Measure the bath; the hold begins at {kettle.top_c:g} degC, below the boil.",
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
            text=f"When the bath is at about {_part_c(kettle, number):.0f} degC pour part {number} of {kettle.parts} "
            f"of {name} over one side of the fibre, without stirring.",
            done=f"Part {number} of the dye in",
            quantity="volume",
            unit="mL",
            figures=("kettle.part", "kettle.ramp"),
            **near(part_ml),
        )
        for number in range(2, kettle.parts + 1)
    )


def _part_c(kettle: KettleFacts, number: int) -> float:
    """Temperature at which a part goes in: the ramp cut into as many stretches as there are parts."""
    return kettle.start_c + (kettle.top_c - kettle.start_c) * (number - 1) / kettle.parts


def _cool_stage(facts: ProcedureFacts) -> Stage:
    return stage_of_steps(
        "cool",
        Step(
            id="cool.wait",
            kind="wait",
            text="Leave it in the bath and let both cool together; overnight is as good.",
            done="Cooled in the bath",
            timer="cool",
            after=("heat.off",),
            figures=("cool.time",),
        ),
        Step(
            id="cool.temperature",
            kind="measure",
            text="Measure the bath in the middle of the fibre.",
            done="Bath temperature read",
            quantity="temperature",
            unit="degC",
            expected=facts.unwrap_c,
            low=5.0,
            high=facts.unwrap_c,
            figures=("rinse.temperature",),
        ),
        Step(
            id="cool.lift",
            kind="gate",
            text=f"Lift the fibre out only at {facts.unwrap_c:g} degC or below, gloved, well supported: wet and hot it "
            "stretches and felts.",
            done="Lifted out cool",
            critical=True,
            word="cool",
        ),
    )


def _timers(facts: ProcedureFacts, kettle: KettleFacts) -> tuple[Timer, ...]:
    ramp_min = max(1, whole(kettle.ramp_min))
    look_min = max(1, math.floor(min(LOOK_MIN, kettle.ramp_min / 3.0)))
    timers = [
        presoak_timer(facts, "the fibre can go into the bath when that is ready"),
        Timer(
            id="ramp",
            label="ramp",
            minutes=ramp_min,
            action=f"The bath should be at {kettle.top_c:g} degC: measure it.",
            priority="high",
        ),
        Timer(
            id="ramp-look",
            label="ramp check",
            minutes=look_min,
            action="Read the bath and hold it against the ramp.",
            priority="medium",
            repeats=True,
            with_timer="ramp",
        ),
        Timer(
            id="hold",
            label="hold",
            minutes=max(1, whole(kettle.hold_min)),
            action="The hold is over: look at the bath on a white spoon.",
            priority="high",
        ),
        Timer(
            id="hold-turn",
            label="turn the fibre",
            minutes=max(1, math.floor(min(TURN_MIN, kettle.hold_min / 2.0))),
            action="Turn the fibre over gently; read the bath and look at its level.",
            priority="medium",
            repeats=True,
            with_timer="hold",
        ),
        Timer(
            id="hold-more",
            label="hold on",
            minutes=MORE_MIN,
            action="Look at the bath on a white spoon again.",
            priority="high",
        ),
    ]
    if kettle.acid_rest > 0:
        timers.append(
            Timer(
                id="acid",
                label="rest of the acid",
                minutes=kettle.acid_after_min,
                action="The rest of the acid goes in.",
                priority="high",
                with_timer="ramp",
            )
        )
    timers.extend(
        Timer(
            id=f"part-{number}",
            label=f"part {number} of the dye",
            minutes=max(1, round(kettle.ramp_min * (number - 1) / kettle.parts)),
            action=f"Part {number} of the dye goes in at about {_part_c(kettle, number):.0f} degC.",
            priority="high",
            with_timer="ramp",
        )
        for number in range(2, kettle.parts + 1)
    )
    return (*timers, cool_timer(facts, "The bath should be cool enough to measure."))
