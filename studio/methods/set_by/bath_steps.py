"""Steps and clocks of a bath on the heat: ramp, later parts of dye and acid, hold, the look, cooling."""

from __future__ import annotations

import math
from collections.abc import Iterator

from studio.methods.put_on.bath import acid_step
from studio.methods.put_on.bath_work import ACID_AFTER_MIN, BathWork
from studio.methods.set_by.bath_work import HeatWork
from studio.plan.materials import AcidAtHand
from studio.plan.shapes import Step, Timer
from studio.plan.steps.finishing import Cooling, whole
from studio.plan.steps.lay import clock_id
from studio.quantity.showing import show

CLEAR_GRADE = 4
"""Of 5; from here the bath counts as exhausted. House rule; that a clear spoon is the end is a supplier's
rule (Ashford, instruction sheet, undated)."""
UNDER_TOP_C, OVER_TOP_C = 4.0, 3.0
"""So far under and over its top a bath may be read. House rule."""


LOOK_MIN = 10.0
"""Longest time between two looks at the thermometer on the way up. House rule."""
TURN_MIN = 15.0
"""Between two turns of the fibre at the top. House rule."""
MORE_MIN = 10.0
"""Held on where the bath is not clear. House rule."""
WET_AGAIN = Step(
    role="wet again",
    kind="do",
    text="Make a fresh bath of lukewarm water as sour as the first one was, without dye, and lower the fibre in.",
    done="Fresh bath made",
)


def heat_steps(acid: AcidAtHand | None, bath: BathWork, heat: HeatWork, put_on: str) -> tuple[Step, ...]:
    """Up the ramp, held and looked at. `put_on`: the step after which the goods are ready for it."""
    return (
        *_onto_the_heat(heat, put_on),
        *_parts(bath, heat),
        *(
            (DRAWS_ON, acid_step(acid, bath, "The rest of it", later=True))
            if acid and bath.rest_acid > 0
            else ()
        ),
        *_up_and_held(heat),
        *UNTIL_CLEAR,
    )


def _onto_the_heat(heat: HeatWork, put_on: str) -> tuple[Step, ...]:
    return (
        Step(
            role="safe heat",
            kind="gate",
            text="A hot bath and its steam burn: lid opens away from you, dry mitts and tongs to hand, sleeves down, "
            "handles turned in, nobody beside it.",
            done="Lid, mitts and tongs ready",
            critical=True,
            after=(put_on,),
        ),
        Step(
            role="heat on",
            kind="do",
            text=f"Heat on: about {heat.slope_c_min:.1f} degC a minute, lid on between looks.",
            done="Heat on",
            starts=clock_id("ramp"),
            figures=("kettle.ramp", "kettle.top", "kettle.power", "kettle.heat-up"),
        ),
    )


DRAWS_ON = Step(
    role="acid draws on",
    once=True,
    kind="wait",
    text="Let the first half of the acid draw on; read the bath and hold it against the ramp.",
    done="First acid drawn on",
    timer=clock_id("acid"),
    figures=("kettle.top",),
)


def _up_and_held(heat: HeatWork) -> tuple[Step, ...]:
    return (
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
            text=f"Measure the bath; the hold begins at {show(heat.top_c, 'degC')}, below the boil.",
            done="Bath at its top",
            critical=True,
            quantity="temperature",
            unit="degC",
            expected=round(heat.top_c, 1),
            low=round(heat.top_c - UNDER_TOP_C, 1),
            high=round(heat.top_c + OVER_TOP_C, 1),
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
    )


UNTIL_CLEAR = (
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
)


def _parts(bath: BathWork, heat: HeatWork) -> tuple[Step, ...]:
    """The later parts of a semi-solid, each at its place on the ramp."""
    name = bath.colours[0].colour.plan.name
    return tuple(
        Step(
            role="dye in",
            of=str(number),
            once=True,
            kind="measure",
            text=f"When the bath is at about {part_c(bath, heat, number):.0f} degC pour part {number} of {bath.parts} "
            f"of {name} over one side of the fibre, without stirring.",
            done=f"Part {number} of the dye in",
            quantity="volume",
            unit="mL",
            stops=clock_id("dye", str(number)),
            figures=(f"kettle.part.{number}", "kettle.ramp"),
            sets=f"kettle.part.{number}",
        )
        for number in range(2, bath.parts + 1)
    )


def part_c(bath: BathWork, heat: HeatWork, number: int) -> float:
    """Temperature at which a part goes in: the ramp cut into as many stretches as there are parts."""
    return heat.start_c + (heat.top_c - heat.start_c) * (number - 1) / bath.parts


IN_THE_BATH = Cooling(
    what="bath",
    leave="Leave it in the bath and let both cool together; overnight is as good.",
    left="Cooled in the bath",
    read="Measure the bath in the middle of the fibre.",
    was_read="Bath temperature read",
    role="lift out",
    free="Lift the fibre out only at {limit} or below, gloved, well supported: wet and hot it stretches and felts.",
    freed="Lifted out cool",
)


def clocks(bath: BathWork, heat: HeatWork) -> Iterator[Timer]:
    yield from _of_the_ramp(heat)
    yield from _of_the_hold(heat)
    yield from _of_what_goes_in(bath, heat)


def _of_the_ramp(heat: HeatWork) -> tuple[Timer, ...]:
    return (
        Timer(
            role="ramp",
            label="ramp",
            minutes=max(1, whole(heat.ramp_min)),
            action=f"The bath should be at {show(heat.top_c, 'degC')}: measure it.",
            priority="high",
        ),
        Timer(
            role="ramp look",
            label="ramp check",
            minutes=max(1, math.floor(min(LOOK_MIN, heat.ramp_min / 3.0))),
            action="Read the bath and hold it against the ramp.",
            priority="medium",
            repeats=True,
            with_timer=clock_id("ramp"),
        ),
    )


def _of_the_hold(heat: HeatWork) -> tuple[Timer, ...]:
    return (
        Timer(
            role="hold",
            of="hold",
            counts="kettle.hold",
            label="hold",
            minutes=max(1, whole(heat.hold_min)),
            action="The hold is over: look at the bath on a white spoon.",
            priority="high",
        ),
        Timer(
            role="turn",
            label="turn the fibre",
            minutes=max(1, math.floor(min(TURN_MIN, heat.hold_min / 2.0))),
            action="Turn the fibre over gently; read the bath and look at its level.",
            priority="medium",
            repeats=True,
            with_timer=clock_id("hold", "hold"),
        ),
        Timer(
            role="hold on",
            counts="kettle.hold",
            label="hold on",
            minutes=MORE_MIN,
            action="Look at the bath on a white spoon again.",
            priority="high",
        ),
    )


def _of_what_goes_in(bath: BathWork, heat: HeatWork) -> Iterator[Timer]:
    """The acts that the ramp is woven with: the rest of the acid, the later parts of the dye."""
    if bath.rest_acid > 0:
        yield Timer(
            role="acid",
            once=True,
            label="rest of the acid",
            minutes=ACID_AFTER_MIN,
            action="The rest of the acid goes in.",
            priority="high",
            with_timer=clock_id("ramp"),
        )
    for number in range(2, bath.parts + 1):
        yield Timer(
            role="dye",
            of=str(number),
            once=True,
            label=f"part {number} of the dye",
            minutes=max(1, round(heat.ramp_min * (number - 1) / bath.parts)),
            action=f"Part {number} of the dye goes in at about {part_c(bath, heat, number):.0f} degC.",
            priority="high",
            with_timer=clock_id("ramp"),
        )
