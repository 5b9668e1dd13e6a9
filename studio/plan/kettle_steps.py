"""Stages and clocks of a kettle: wet out, make the bath, ramp, hold, cool in the bath."""

from __future__ import annotations

import math

from studio.plan.clocks import cool_timer, presoak_timer, whole
from studio.plan.facts import KettleFacts, ProcedureFacts
from studio.plan.finishing import record_stage, rinse_stage
from studio.plan.kettle_bath import bath_stage
from studio.plan.kettle_heat import heat_stage, part_c
from studio.plan.lay import Laid, clock_id, laid_clocks, laid_stage, step_id
from studio.plan.mixing_steps import stocks_stage
from studio.plan.preparing import presoak_stage, ready_stage
from studio.plan.shapes import Stage, Step, Timer
from studio.quantity import show

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


def in_a_kettle(facts: ProcedureFacts) -> Laid:
    """Ready, presoak, stocks, bath, heat, cool, rinse, record."""
    kettle = facts.kettle
    assert kettle is not None, "a kettle's facts hold its bath"
    stocks = stocks_stage(facts)
    stages = (
        ready_stage(facts),
        presoak_stage(facts),
        stocks,
        bath_stage(facts, kettle, stocks.steps[-1].id),
        heat_stage(facts, kettle),
        _cool_stage(facts),
        rinse_stage(facts, step_id("cool", "lift out")),
        record_stage(facts),
    )
    return Laid(
        stages=stages,
        timers=laid_clocks(*_timers(facts, kettle)),
        wet_again=WET_AGAIN,
        allows=("top up", "more acid") if facts.acid_amount > 0 else ("top up",),
        read_at="bath",
    )


def _cool_stage(facts: ProcedureFacts) -> Stage:
    return laid_stage(
        "cool",
        Step(
            role="cooling",
            kind="wait",
            text="Leave it in the bath and let both cool together; overnight is as good.",
            done="Cooled in the bath",
            timer=clock_id("cool"),
            limit_c=facts.unwrap_c,
            after=(step_id("heat", "heat off"),),
            figures=("cool.time",),
        ),
        Step(
            role="goods temperature",
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
            role="lift out",
            kind="gate",
            text=f"Lift the fibre out only at {show(facts.unwrap_c, 'degC')} or below, gloved, well supported: "
            "wet and hot it stretches and felts.",
            done="Lifted out cool",
            critical=True,
            limit_c=facts.unwrap_c,
        ),
    )


def _timers(facts: ProcedureFacts, kettle: KettleFacts) -> tuple[Timer, ...]:
    ramp_min = max(1, whole(kettle.ramp_min))
    look_min = max(1, math.floor(min(LOOK_MIN, kettle.ramp_min / 3.0)))
    timers = [
        presoak_timer(facts, "the fibre can go into the bath when that is ready"),
        Timer(
            role="ramp",
            label="ramp",
            minutes=ramp_min,
            action=f"The bath should be at {show(kettle.top_c, 'degC')}: measure it.",
            priority="high",
        ),
        Timer(
            role="ramp look",
            label="ramp check",
            minutes=look_min,
            action="Read the bath and hold it against the ramp.",
            priority="medium",
            repeats=True,
            with_timer=clock_id("ramp"),
        ),
        Timer(
            role="hold",
            of="hold",
            counts="kettle.hold",
            label="hold",
            minutes=max(1, whole(kettle.hold_min)),
            action="The hold is over: look at the bath on a white spoon.",
            priority="high",
        ),
        Timer(
            role="turn",
            label="turn the fibre",
            minutes=max(1, math.floor(min(TURN_MIN, kettle.hold_min / 2.0))),
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
    ]
    if kettle.acid_rest > 0:
        timers.append(
            Timer(
                role="acid",
                once=True,
                label="rest of the acid",
                minutes=kettle.acid_after_min,
                action="The rest of the acid goes in.",
                priority="high",
                with_timer=clock_id("ramp"),
            )
        )
    timers.extend(
        Timer(
            role="dye",
            of=str(number),
            once=True,
            label=f"part {number} of the dye",
            minutes=max(1, round(kettle.ramp_min * (number - 1) / kettle.parts)),
            action=f"Part {number} of the dye goes in at about {part_c(kettle, number):.0f} degC.",
            priority="high",
            with_timer=clock_id("ramp"),
        )
        for number in range(2, kettle.parts + 1)
    )
    return (*timers, cool_timer(facts, "The bath should be cool enough to measure."))
