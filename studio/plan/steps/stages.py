"""The stages that every way of dyeing has: ready, presoak and stocks before its own, cool, rinse and record after."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import msgspec

from studio.plan.said import Sayings
from studio.plan.shapes import Stage, Step, Timer
from studio.plan.steps.lay import laid_stage, stock_path
from studio.plan.work.energy import UNWRAP_C
from studio.plan.work.stocks import StockWork
from studio.plan.work.worked import Worked
from studio.quantity.showing import show, show_number
from studio.shaping import shaped_json

MOST_ITEMS = 9
"""More items than this are skimmed instead of read. **Source:** Degani & Wiener, Human Factors 35(2), 1993."""
MOST_COLOURS = 5
"""More would need more than nine items in a stage. House rule."""
MOST_STOCKS = 8
"""Jars that one bench is taken to hold. House rule."""

_TABLE = Path(__file__).with_name("steps.json")
step = Sayings(lambda: shaped_json(_TABLE.read_bytes(), dict[str, Step]))
"""What is done, by its stage."""


def most_colours(sides: int) -> int:
    """Two fewer where each side is painted: turning over and the back are items of the same stage."""
    return MOST_COLOURS - 2 * (sides - 1)


# The first stages of the procedure: ready and presoak.


def ready_stage(worked: Worked, warned: bool) -> Stage:
    """Bench, kit and dry weight. `warned`: whether there are warnings to accept."""
    return laid_stage(
        "ready",
        step("ready.sound"),
        step("ready.cautions") if warned else None,
        step("ready.kit of food" if worked.settled.food_only else "ready.kit"),
        step("ready.powder" if any(work.weighed for work in worked.stocks.stocks) else "ready.gloves"),
        step("ready.room"),
        step("ready.jars and brushes" if worked.method.put_on.has_bands else "ready.jars"),
        _paste(worked),
        step("ready.weight"),
    )


def _paste(worked: Worked) -> Step | None:
    """Gum that swells overnight, in all the water of its paints: a session begins once that is done."""
    gum = worked.settled.thickener
    said = [
        f"{show(liquid.added('thickener'), 'g')} in {show(liquid.water_ml, 'mL')} for {liquid.colour.plan.name}"
        for liquid in worked.liquids
        if liquid.added("thickener") and liquid.water_ml
    ]
    return step("ready.paste", gum=gum, paints=said) if gum is not None and gum.overnight and said else None


def presoak_stage(worked: Worked) -> Stage:
    """Water, the acid and its pH where it goes in here, and the soak."""
    soak, acid = worked.presoak, worked.settled.acid
    if worked.method.put_on.acid_at != "presoak":
        acid = None
    measured = {"critical": acid.strong, "quantity": "volume" if acid.liquid else "mass"} if acid else {}
    return laid_stage(
        "presoak",
        step("presoak.water", warm=show(soak.temperature_c, "degC")),
        step("presoak.acid", acid=acid, **measured) if acid and soak.soured.acid_amount > 0 else None,
        step("presoak.ph") if acid else None,
        step("presoak.in"),
        step("presoak.wait"),
    )


def presoak_timer(worked: Worked) -> Timer:
    """The soak."""
    return Timer(
        id="presoak",
        role="soak",
        counts="presoak.time",
        label="presoak",
        minutes=as_shown(worked.presoak.minutes),
        action=f"The soak is over: {worked.method.put_on.soaked}.",
    )


def as_shown(minutes: float) -> float:
    """A clock runs what its figure says: two numbers of one time are one too many.

    >>> as_shown(34.4), as_shown(2.25)
    (34.0, 2.3)
    """
    return float(show_number(minutes, "min").replace(" ", ""))


def end_ph(table: str, where: str, *after: str) -> Step:
    """The strip at the end: what is left of the acid. No dose is judged by it."""
    return step("cool.end-ph", table=table, strip=where, after=after)


# The stage where stocks are weighed, made up, counted or poured off.


def stocks_stage(works: Sequence[StockWork]) -> Stage:
    """The jars in the order of the plan."""
    in_two = len(works) + sum(work.weighed for work in works) + 1 <= MOST_ITEMS
    steps = [one for work in works for one in _stock_steps(work, in_two)]
    steps[0] = msgspec.structs.replace(steps[0], after=("ready.weight",))
    if len(steps) < MOST_ITEMS:
        shown = tuple(stock_path(work.stock.slug, "strength") for work in works)
        weighed = any(work.weighed for work in works)
        steps.append(step("stocks.clear" if weighed else "stocks.clear of liquids", figures=shown))
    return laid_stage("stocks", *steps)


def _stock_steps(work: StockWork, in_two: bool) -> tuple[Step, ...]:
    if work.drops is not None:
        return (step("stocks.{of}.drops", **_of_jar(work)),)
    if not work.weighed or work.dye_g is None:
        how = "shake it, check its label and date, and pour off what you need."
        return (step("stocks.{of}.volume", **_of_jar(work, how)),)
    if not in_two:
        made_up = f", then make it up to {show(work.volume_ml, 'mL')} with hot water."
        weighed = step("stocks.{of}.dye", **_of_jar(work, made_up))
        return (msgspec.structs.replace(weighed, fixes=(stock_path(work.stock.slug, "volume"),)),)
    how = "paste it with a little hot water, then make it up to the mark."
    return (step("stocks.{of}.dye", **_of_jar(work, ".")), step("stocks.{of}.volume", **_of_jar(work, how)))


def _of_jar(work: StockWork, how: str = "") -> dict[str, str]:
    """What a step of a jar tells; for which colours it is, but where the dye's own name says so."""
    dye = work.stock.dye.name
    colours = f" for {work.colours}" if work.colours != dye else ""
    return {"of": work.stock.slug, "dye": dye, "colours": colours, "how": how}


# The last three stages: cool, rinse, record.


def cool_timer(worked: Worked) -> Timer:
    """The cooling, after which it is measured."""
    return Timer(
        id="cool",
        role="cool",
        label="cooling",
        minutes=max(1, as_shown(worked.cool.minutes)),
        action=f"The {worked.method.set_by.cooling.what} should be cool enough to measure.",
    )


CLEAR_GRADE = 4
"""Of 5; from here the bath counts as exhausted. House rule; that a clear spoon is the end is a supplier's
rule (Ashford, New Zealand, Learn to dye: microwave dyeing yarn, no year)."""


SAFE: dict[str, Any] = {"limit": show(UNWRAP_C, "degC"), "limit_c": UNWRAP_C}
"""What a wait and a gate before bare hands ask for."""
READ_SAFE: dict[str, Any] = {"expected": UNWRAP_C, "low": 5.0, "high": UNWRAP_C}
"""What a reading before them is taken to be."""


class Cooling(msgspec.Struct, frozen=True):
    """How goods cool where they lie: how they are left, where they are read, and the gate that they wait behind."""

    what: str
    """What is measured: the packet, the bath."""
    leave: Step
    read: Step
    free: Step
    strip: Step | None = None
    """Of what is left in the bath, read once it is cool."""


IN_THE_WRAP = Cooling(
    what="packet",
    leave=step("cool.wait", **SAFE),
    read=step("cool.temperature", **READ_SAFE),
    free=step("cool.unwrap", **SAFE),
)


def cool_stage(cooling: Cooling, off: str) -> Stage:
    """Cool until bare hands are safe. `off`: the step that took the goods from the heat."""
    leave = msgspec.structs.replace(cooling.leave, after=(off,))
    return laid_stage("cool", leave, cooling.read, cooling.strip, cooling.free)


def rinse_stage(worked: Worked, cooled: str) -> Stage:
    """Rinse without shock, wash, dry, and for a blank the unravelling. `cooled`: the step before."""
    low, high = max(0.0, UNWRAP_C - 10), UNWRAP_C + 10
    return laid_stage(
        "rinse",
        step("rinse.water", expected=UNWRAP_C, low=low, high=high, after=(cooled,)),
        step("rinse.rounds", expected=3, low=1, high=3),
        step("rinse.wash"),
        step("rinse.dry"),
        step("rinse.unravel") if worked.settled.form == "blank" else None,
    )


RATED = ("rinsed-clear", "colour-went-through", "sharp-edges", "even")
"""What is rated from 1 to 5, named for its good end. House rule."""


def record_stage(worked: Worked) -> Stage:
    """Leftovers, kit, the judgement and the close; where no bands are painted there are no edges to judge."""
    dry_g, has_bands = worked.settled.dry_g, worked.method.put_on.has_bands
    last = "rinse.unravel" if worked.settled.form == "blank" else "rinse.dry"
    expected, low, high = (round(dry_g * share, 1) for share in (1.0, 0.9, 1.1))
    return laid_stage(
        "record",
        step("record.leftovers", after=(last,)),
        step("record.kit"),
        step("record.weight", expected=expected, low=low, high=high),
        *(step(f"record.{what}") for what in RATED if has_bands or what != "sharp-edges"),
        step("record.close"),
    )
