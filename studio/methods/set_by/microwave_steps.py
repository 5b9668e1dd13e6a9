"""Steps and clocks at the microwave: bursts, rests, a look, a stand."""

from __future__ import annotations

from studio.methods.set_by.microwave_work import MicrowaveWork
from studio.plan.shapes import Step, Timer
from studio.plan.steps.lay import clock_id
from studio.quantity.showing import show

CLEAR_GRADE = 4
"""Of 5; from here the liquid counts as clear. House rule."""
WET_AGAIN = Step(
    role="wet again",
    kind="do",
    text="Wet it with water as sour as the presoak was, lay it flat and wrap it with a vent again.",
    done="Wrapped again",
)


def burst_steps(made: MicrowaveWork, put_on: str) -> tuple[Step, ...]:
    """At the oven. `put_on`: the step after which the goods are ready for it."""
    return (
        Step(
            role="safe heat",
            kind="gate",
            text="Fibre wet through, liquid round it in a dish that holds it all, one corner of the wrap open, no "
            "metal, no twist tie; you stay beside the oven.",
            done="Wet, vented, no metal",
            critical=True,
            after=(put_on,),
        ),
        *(_burst(made, number) for number in range(1, made.count + 1)),
        Step(
            role="rest",
            kind="wait",
            text="Leave the oven shut until it has stopped and rested.",
            done="Rested",
            timer=clock_id("rest", str(made.count)),
            figures=("microwave.rest",),
        ),
        Step(
            role="look",
            kind="measure",
            text="Open a corner away from you and press the packet with a white spoon: 1 the liquid is as dark as at "
            "first, 3 half gone, 5 clear. Then shut the door: it stands.",
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
            text="Leave it shut and still, so that the steam in the wrap settles.",
            done="Stood",
            timer=clock_id("stand"),
            figures=("microwave.stand",),
        ),
        Step(
            role="out",
            kind="do",
            text="Lift the dish out slowly with dry mitts, face away, still wrapped: liquid can surge and steam burns.",
            done="Dish out, still wrapped",
            critical=True,
            starts=clock_id("cool"),
        ),
    )


def _burst(made: MicrowaveWork, number: int) -> Step:
    """One burst: the look at the liquid, and the oven started by the dyer; its rest follows by itself."""
    look = "Look through the wrap: wet all over, liquid in the dish? Add water if not. "
    return Step(
        role="burst",
        of=str(number),
        kind="do" if number == 1 else "wait",
        text=f"{look}Then start the oven: {_clock(made.burst_min)} at {show(made.power_w, 'W')}, "
        "and Enter as it starts.",
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


def clocks(made: MicrowaveWork) -> tuple[Timer, ...]:
    names = [str(number) for number in range(1, made.count + 1)]
    timers: list[Timer] = []
    for name in [*names, "more"]:
        said = f"{name} of {made.count}" if name != "more" else "once more"
        timers.append(
            Timer(
                role="burst",
                of=name,
                label=f"burst {said}",
                minutes=made.burst_min,
                action="The oven stops: leave it shut, it rests.",
                priority="high",
                then=clock_id("rest", name),
            )
        )
        timers.append(
            Timer(
                role="rest",
                of=name,
                label=f"rest after burst {said}",
                minutes=made.rest_min,
                action="Rested: look at the liquid.",
                priority="high",
            )
        )
    timers.append(
        Timer(
            role="stand",
            label="stands in the oven",
            minutes=made.stand_min,
            action="It has stood: lift it out slowly.",
            priority="medium",
        )
    )
    return tuple(timers)
