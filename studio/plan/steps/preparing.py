"""The first stages of the procedure: ready, presoak and stocks."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from studio.plan.materials import AcidAtHand
from studio.plan.shapes import Stage, Step, listed
from studio.plan.steps.lay import clock_id, laid_stage, step_id, stock_path
from studio.plan.work.stocks import StockWork
from studio.plan.work.worked import Worked
from studio.quantity.showing import show

MOST_ITEMS = 9
"""More items than this are skimmed instead of read. **Source:** Degani & Wiener, Human Factors 35(2), 1993."""
MOST_COLOURS = 5
"""More would need more than nine items in a stage. House rule."""
MOST_STOCKS = 8
"""Jars that one bench is taken to hold. House rule."""


def most_colours(sides: int) -> int:
    """Two fewer where each side is painted: turning over and the back are items of the same stage."""
    return MOST_COLOURS - 2 * (sides - 1)


# The first stages of the procedure: ready and presoak.

SOUND = Step(
    role="sound",
    kind="check",
    text="Sound the bell: you must hear it from where you heat the fibre.",
    done="Sound heard",
)
CAUTIONS = Step(
    role="accept cautions",
    kind="gate",
    text="Read each warning and say why you go on.",
    done="Warnings accepted",
)
POWDER = Step(
    role="open powder",
    kind="gate",
    text="Put on a dust respirator and gloves; open dye powder in still air, over damp paper.",
    done="Respirator and gloves on for powder",
    critical=True,
)
GLOVES = Step(
    role="gloves",
    kind="check",
    text="Put on gloves and an apron; there is no open powder in this session.",
    done="Gloves and apron on",
)
ROOM = Step(
    role="room",
    kind="check",
    text="Window open, heat source clear, children and animals out, no food or drink on the bench.",
    done="Room is ready",
)


def ready_stage(worked: Worked, warned: bool) -> Stage:
    """Bench, kit and dry weight. `warned`: whether there are warnings to accept."""
    return laid_stage(
        "ready",
        SOUND,
        CAUTIONS if warned else None,
        _kit(worked.settled.food_only),
        POWDER if any(work.weighed for work in worked.stocks.stocks) else GLOVES,
        ROOM,
        _jars(worked.method.put_on.has_bands),
        _paste(worked),
        Step(
            role="dry weight",
            kind="measure",
            text="Weigh the dry fibre.",
            done="Dry fibre weighed",
            quantity="mass",
            unit="g",
            figures=("fibre.dyeable",),
            sets="fibre.weight",
        ),
    )


def _kit(food_only: bool) -> Step:
    rule = (
        "All dyes are food colours: use clean kitchen or dye kit, never one that has held other dye as well."
        if food_only
        else "Every vessel, jar, brush, spoon and heater is kept for dyeing and never goes back to food."
    )
    return Step(role="kit", kind="gate", text=rule, done="Kit is right for these dyes", critical=True)


def _jars(has_bands: bool) -> Step:
    """Brushes too, where bands are painted."""
    jars, done = ("jar and brush", "Jars and brushes labelled") if has_bands else ("jar", "Jars labelled")
    text = f"Label each {jars} with its colour before anything goes in."
    return Step(role="label jars", kind="check", text=text, done=done)


def _paste(worked: Worked) -> Step | None:
    """Gum that swells overnight, in all the water of its paints: a session begins once that is done."""
    gum = worked.settled.thickener
    said = [
        f"{show(liquid.added('thickener'), 'g')} in {show(liquid.water_ml, 'mL')} for {liquid.colour.plan.name}"
        for liquid in worked.liquids
        if liquid.added("thickener") and liquid.water_ml
    ]
    if gum is None or not gum.overnight or not said:
        return None
    return Step(
        role="paste",
        kind="check",
        text=f"Have at hand the {gum.name} you mixed into plain water the evening before: {listed(said)}.",
        done=f"{gum.name} smooth after standing overnight",
        figures=("paint.swell",),
    )


def presoak_stage(worked: Worked) -> Stage:
    """Water, the acid and its pH where it goes in here, and the soak."""
    soak, acid = worked.presoak, worked.settled.acid
    if worked.method.put_on.acid_at != "presoak":
        acid = None
    return laid_stage(
        "presoak",
        Step(
            role="soak water",
            kind="measure",
            text=f"Pour lukewarm water, about {show(soak.temperature_c, 'degC')}, into the soaking basin.",
            done="Soaking water poured",
            quantity="volume",
            unit="mL",
            after=(step_id("ready", "dry weight"),),
            figures=("presoak.water",),
            sets="presoak.water",
        ),
        _acid(acid) if acid and soak.acid_amount > 0 else None,
        PH if acid else None,
        Step(
            role="into the soak",
            kind="do",
            text="Lower the fibre in and press the air out gently until it sinks.",
            done="Fibre in the soak",
            starts=clock_id("soak"),
            figures=("presoak.time",),
        ),
        Step(
            role="soaking",
            kind="wait",
            text="Let the fibre soak until it is wet to the core.",
            done="Fibre wetted out",
            timer=clock_id("soak"),
            figures=("presoak.time",),
        ),
    )


def end_ph(table: str, text: str, *after: str) -> Step:
    """The strip at the end: what is left of the acid. No dose is judged by it."""
    return Step(
        role="end pH",
        kind="measure",
        text=f"{text}, so it is higher than at first.",
        done="Final pH read",
        quantity="ph",
        unit="pH",
        once=True,
        after=after,
        figures=(f"{table}.ph",),
        sets=f"{table}.ph",
    )


def _acid(acid: AcidAtHand) -> Step:
    return Step(
        role="acid",
        kind="measure",
        text=f"Pour {acid.name} into the water, never water into acid.",
        done="Acid in the water",
        critical=acid.strong,
        quantity="volume" if acid.liquid else "mass",
        unit=acid.unit,
        figures=("presoak.acid", "presoak.ph.first", "presoak.ph"),
        sets="presoak.acid",
    )


PH = Step(
    role="pH",
    kind="measure",
    text="Read the pH with a strip or meter, before the fibre goes in.",
    done="pH of the soak read",
    quantity="ph",
    unit="pH",
    figures=("presoak.ph.first", "presoak.ph"),
    sets="presoak.ph.first",
)


# The stage where stocks are weighed, made up, counted or poured off.


def stocks_stage(works: Sequence[StockWork]) -> Stage:
    """The jars in the order of the plan."""
    in_two = len(works) + sum(work.weighed for work in works) + 1 <= MOST_ITEMS
    steps = [step for work in works for step in _stock_steps(work, in_two)]
    steps[0] = msgspec.structs.replace(steps[0], after=(step_id("ready", "dry weight"),))
    if len(steps) < MOST_ITEMS:
        steps.append(
            Step(
                role="clear stocks",
                kind="check",
                text="Stir each jar until no grain is left, then hold it to the light.",
                done="Stocks dissolved and clear",
                figures=tuple(stock_path(work.stock.slug, "strength") for work in works),
            )
        )
    return laid_stage("stocks", *steps)


def _stock_steps(work: StockWork, in_two: bool) -> tuple[Step, ...]:
    if work.drops is not None:
        return (_count(work),)
    if not work.weighed or work.dye_g is None:
        return (_make_up(work, "shake it, check its label and date, and pour off what you need."),)
    if not in_two:
        tail = f", then make it up to {show(work.volume_ml, 'mL')} with hot water."
        return (_weigh(work, tail, fixes=(stock_path(work.stock.slug, "volume"),)),)
    return (
        _weigh(work, "."),
        _make_up(work, "paste it with a little hot water, then make it up to the mark."),
    )


def _for(work: StockWork) -> str:
    """For which colours it is; nothing where the dye's own name says so."""
    return f" for {work.colours}" if work.colours != work.stock.dye.name else ""


def _weigh(work: StockWork, tail: str, fixes: tuple[str, ...] = ()) -> Step:
    slug, dye = work.stock.slug, work.stock.dye.name
    return Step(
        role="weigh dye",
        of=slug,
        kind="measure",
        text=f"Weigh {dye} powder{_for(work)}{tail}",
        done=f"{dye} powder weighed{_for(work)}",
        quantity="mass",
        unit="g",
        figures=tuple(stock_path(slug, what) for what in ("dye", "volume", "weighing", "round")),
        sets=stock_path(slug, "dye"),
        fixes=fixes,
    )


def _count(work: StockWork) -> Step:
    slug, dye = work.stock.slug, work.stock.dye.name
    return Step(
        role="count drops",
        of=slug,
        kind="measure",
        text=f"Count drops of {dye}{_for(work)} into its jar.",
        done=f"{dye} drops counted{_for(work)}",
        quantity="count",
        unit="drops",
        figures=(stock_path(slug, "drops"), stock_path(slug, "volume")),
        sets=stock_path(slug, "drops"),
    )


def _make_up(work: StockWork, how: str) -> Step:
    slug, dye = work.stock.slug, work.stock.dye.name
    return Step(
        role="make up",
        of=slug,
        kind="measure",
        text=f"{dye} stock{_for(work)}: {how}",
        done=f"{dye} stock{_for(work)} ready",
        quantity="volume",
        unit="mL",
        figures=(stock_path(slug, "volume"), stock_path(slug, "strength")),
        sets=stock_path(slug, "volume"),
    )
