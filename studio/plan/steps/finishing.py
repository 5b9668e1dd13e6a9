"""Clocks that every method has, and the last three stages: cool, rinse, record."""

from __future__ import annotations

from typing import Literal, NamedTuple

from studio.plan.shapes import Stage, Step, Timer
from studio.plan.steps.lay import clock_id, laid_stage, step_id
from studio.plan.work.energy import UNWRAP_C
from studio.plan.work.worked import Worked
from studio.quantity.showing import show, show_number


def as_shown(minutes: float) -> float:
    """A clock runs what its figure says: two numbers of one time are one too many.

    >>> as_shown(34.4), as_shown(2.25)
    (34.0, 2.3)
    """
    return float(show_number(minutes, "min").replace(" ", ""))


def presoak_timer(worked: Worked) -> Timer:
    """The soak."""
    return Timer(
        role="soak",
        counts="presoak.time",
        label="presoak",
        minutes=as_shown(worked.presoak.minutes),
        action=f"The soak is over: {worked.method.put_on.soaked}.",
    )


def cool_timer(worked: Worked) -> Timer:
    """The cooling, after which it is measured."""
    return Timer(
        role="cool",
        label="cooling",
        minutes=max(1, as_shown(worked.cool.minutes)),
        action=f"The {worked.method.set_by.cooling.what} should be cool enough to measure.",
    )


RATED = {
    "rinsed clear": "Colour that left in the rinse: 1 keeps running, 3 clears in a few rounds, 5 clear at once.",
    "colour went through": "Colour through the fibre: 1 only the surface, 3 pale patches at the back, "
    "5 through and through.",
    "sharp edges": "Edges between colours: 1 run together, 3 a soft edge, 5 as painted.",
    "even": "How even each colour is: 1 blotched, 3 shaded, 5 even.",
}
"""What is rated from 1 to 5, named for its good end, and what the steps mean. House rule."""


CLEAR_GRADE = 4
"""Of 5; from here the bath counts as exhausted. House rule; that a clear spoon is the end is a supplier's
rule (Ashford, New Zealand, Learn to dye: microwave dyeing yarn, no year)."""


class Cooling(NamedTuple):
    """What cooling is called where the goods lie: how they are left, where they are read, when they are free."""

    what: str
    """What is measured: the packet, the bath."""
    leave: str
    left: str
    read: str
    was_read: str
    role: Literal["unwrap", "lift out"]
    free: str
    """With `{limit}` where the temperature stands."""
    freed: str
    strip: Step | None = None
    """Of what is left in the bath, read once it is cool."""


IN_THE_WRAP = Cooling(
    what="packet",
    leave="Leave it wrapped and let it cool in the air.",
    left="Cooled in the wrap",
    read="Push the probe into the middle of the packet, halfway along, and measure there: the outside is much "
    "cooler.",
    was_read="Middle of the packet read",
    role="unwrap",
    free="Open the packet only at {limit} or cooler, gloved: hot dye liquid is inside.",
    freed="Unwrapped cool",
)


def cool_stage(words: Cooling, off: str) -> Stage:
    """Cool until bare hands are safe. `off`: the step that took the goods from the heat."""
    return laid_stage(
        "cool",
        Step(
            role="cooling",
            kind="wait",
            text=words.leave,
            done=words.left,
            timer=clock_id("cool"),
            limit_c=UNWRAP_C,
            after=(off,),
            figures=("cool.time",),
        ),
        Step(
            role="goods temperature",
            kind="measure",
            text=words.read,
            done=words.was_read,
            quantity="temperature",
            unit="degC",
            expected=UNWRAP_C,
            low=5.0,
            high=UNWRAP_C,
            figures=("rinse.temperature",),
        ),
        *((words.strip,) if words.strip is not None else ()),
        Step(
            role=words.role,
            kind="gate",
            text=words.free.format(limit=show(UNWRAP_C, "degC")),
            done=words.freed,
            critical=True,
            limit_c=UNWRAP_C,
        ),
    )


def rinse_stage(worked: Worked, cooled: str) -> Stage:
    """Rinse without shock, wash, dry, and for a blank the unravelling. `cooled`: the step before."""
    steps = [
        Step(
            role="rinse water",
            kind="measure",
            text="Measure the first rinse water: it should be as warm as the fibre, so that wool does not felt.",
            done="Rinse water as warm as the fibre",
            quantity="temperature",
            unit="degC",
            expected=UNWRAP_C,
            low=max(0.0, UNWRAP_C - 10),
            high=UNWRAP_C + 10,
            after=(cooled,),
            figures=("rinse.temperature",),
        ),
        Step(
            role="rinse rounds",
            kind="measure",
            text="Rinse in fresh water without rubbing, round after round, until it stays clear.",
            done="Rinsed until clear",
            quantity="count",
            unit="rounds",
            expected=3,
            low=1,
            high=3,
        ),
        Step(
            role="wash",
            kind="do",
            text="Wash with a little mild soap at the same temperature, and rinse once more.",
            done="Washed and rinsed",
        ),
        Step(
            role="dry",
            kind="do",
            text="Press the water out in a towel and hang the fibre to dry, away from sun and heat.",
            done="Hung to dry",
        ),
    ]
    if worked.settled.form == "blank":
        steps.append(
            Step(
                role="unravel",
                kind="do",
                text="Unravel into a skein; soak the crimped yarn, hang it, and wind it only when straight and dry.",
                done="Unravelled, relaxed and wound",
            )
        )
    return laid_stage("rinse", *steps)


def record_stage(worked: Worked) -> Stage:
    """Leftovers, kit, the judgement and the close; where no bands are painted there are no edges to judge."""
    dry_g, blank, has_bands = (
        worked.settled.dry_g,
        worked.settled.form == "blank",
        worked.method.put_on.has_bands,
    )
    return laid_stage(
        "record",
        Step(
            role="leftovers",
            kind="gate",
            text="Label leftovers with colour, strength and date. Store them away from food, or dispose of them as "
            "the maker's sheet and local rules say.",
            done="Leftovers labelled or disposed of",
            critical=True,
            after=(step_id("rinse", "unravel" if blank else "dry"),),
        ),
        Step(
            role="kit away",
            kind="check",
            text="Wash the kit and put it back on its own shelf; wipe the bench wet, not dry.",
            done="Kit washed and away",
        ),
        Step(
            role="dyed weight",
            kind="measure",
            text="Weigh the dry, dyed fibre.",
            done="Dyed fibre weighed dry",
            quantity="mass",
            unit="g",
            expected=round(dry_g, 1),
            low=round(dry_g * 0.9, 1),
            high=round(dry_g * 1.1, 1),
        ),
        *(
            Step(
                role="rating",
                of=what,
                kind="measure",
                text=meaning,
                done=what.capitalize(),
                quantity="rating",
                unit="of 5",
            )
            for what, meaning in RATED.items()
            if has_bands or what != "sharp edges"
        ),
        Step(
            role="close",
            kind="gate",
            text="Close the record when you have nothing more to note; you can still add remarks later.",
            done="Record closed",
        ),
    )
