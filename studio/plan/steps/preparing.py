"""The first stages of the procedure: ready, presoak and stocks."""

from __future__ import annotations

from typing import TypedDict

import msgspec

from studio.plan.facts import ColourFacts, ProcedureFacts, StockFacts
from studio.plan.shapes import Stage, Step
from studio.plan.steps.lay import clock_id, laid_stage, step_id
from studio.quantity.showing import show

# What the stages of a procedure are put together from.

MOST_ITEMS = 9
"""More items than this are skimmed instead of read. **Source:** Degani & Wiener, Human Factors 35(2), 1993."""
WEIGHT_SLACK = 0.1
"""A weighing or pouring off by more than a tenth is asked about once. House rule."""


class Expected(TypedDict):
    """What a measured step expects, in its unit."""

    expected: float
    low: float
    high: float


def near(expected: float) -> Expected:
    """Expected value and the range outside which the bench asks once."""
    return {
        "expected": expected,
        "low": expected * (1 - WEIGHT_SLACK),
        "high": expected * (1 + WEIGHT_SLACK),
    }


# The first stages of the procedure: ready and presoak.

SOUND = Step(
    role="sound",
    kind="check",
    text="Sound the bell: you must hear it from where the pot stands.",
    done="Sound heard at the pot",
)
CAUTIONS = Step(
    role="accept cautions",
    kind="gate",
    text="Read each warning of this plan and say why you go on.",
    done="Warnings taken on",
)
POWDER = Step(
    role="open powder",
    kind="gate",
    text="Open dye powder only in a dust respirator and gloves, in still air, over damp paper.",
    done="Respirator and gloves on for powder",
    critical=True,
)
GLOVES = Step(
    role="gloves",
    kind="check",
    text="Gloves and apron on; no open powder in this session.",
    done="Gloves and apron on",
)
ROOM = Step(
    role="room",
    kind="check",
    text="Air moves, hob is clear, children and animals are out, no food or drink on the bench.",
    done="Room is ready",
)


def ready_stage(facts: ProcedureFacts) -> Stage:
    """Bench, kit and dry weight."""
    return laid_stage(
        "ready",
        SOUND,
        CAUTIONS if facts.has_warnings else None,
        _kit(facts),
        POWDER if facts.any_powder else GLOVES,
        ROOM,
        _jars(facts),
        Step(
            role="dry weight",
            kind="measure",
            text="Weigh the dry fibre.",
            done="Dry fibre weighed",
            quantity="mass",
            unit="g",
            figures=("fibre.dyeable",),
            sets="fibre.weight",
            **near(facts.dry_weight_g),
        ),
    )


def _kit(facts: ProcedureFacts) -> Step:
    rule = (
        "All dyes are food colours: use clean kitchen or dye kit, never one that has held other dye as well."
        if facts.food_only
        else "Every pot, jar, brush, spoon and steamer is kept for dyeing and never goes back to food."
    )
    return Step(role="kit", kind="gate", text=rule, done="Kit is right for these dyes", critical=True)


def _jars(facts: ProcedureFacts) -> Step:
    """Brushes too, where bands are painted."""
    jars, done = ("jar and brush", "Jars and brushes labelled") if facts.bands else ("jar", "Jars labelled")
    text = f"Each {jars} has its colour's label before anything goes in."
    return Step(role="label jars", kind="check", text=text, done=done)


def presoak_stage(facts: ProcedureFacts) -> Stage:
    """Water, the acid and its pH where it goes in here, and the soak."""
    soured = facts.presoak_ph is not None
    return laid_stage(
        "presoak",
        Step(
            role="soak water",
            kind="measure",
            text=f"Pour lukewarm water, about {show(facts.presoak_c, 'degC')}, into the soaking basin.",
            done="Soaking water poured",
            quantity="volume",
            unit="mL",
            after=(step_id("ready", "dry weight"),),
            figures=("presoak.water",),
            sets="presoak.water",
            **near(facts.presoak_water_ml),
        ),
        _acid(facts) if soured and facts.acid_amount > 0 else None,
        _ph(facts.presoak_ph) if facts.presoak_ph is not None else None,
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
            text="Let it soak until it is wet to the core.",
            done="Fibre wetted out",
            timer=clock_id("soak"),
            figures=("presoak.time",),
        ),
    )


def _acid(facts: ProcedureFacts) -> Step:
    liquid = facts.acid_state == "liquid"
    return Step(
        role="acid",
        kind="measure",
        text=f"Measure {facts.acid_name} and pour it into the water, never water into acid.",
        done="Acid in the water",
        critical=facts.acid_strong,
        quantity="volume" if liquid else "mass",
        unit="mL" if liquid else "g",
        figures=("presoak.acid", "presoak.ph", "presoak.bound"),
        sets="presoak.acid",
        **near(facts.acid_amount),
    )


def _ph(ph: float) -> Step:
    return Step(
        role="pH",
        kind="measure",
        text="Read the pH with a strip or meter.",
        done="pH of the soak read",
        quantity="ph",
        unit="pH",
        expected=round(ph, 2),
        low=max(0.0, round(ph - 1, 2)),
        high=min(14.0, round(ph + 1, 2)),
        figures=("presoak.ph",),
        sets="presoak.ph",
    )


# The stage where stocks are weighed, made up, counted or poured off.


def stocks_stage(facts: ProcedureFacts) -> Stage:
    stocks = [(colour, stock) for colour in facts.colours for stock in colour.stocks]
    powders = sum(stock.form == "powder" for _, stock in stocks)
    in_two = len(stocks) + powders + 1 <= MOST_ITEMS
    steps: list[Step] = []
    for colour, stock in stocks:
        steps.extend(_stock_steps(colour, stock, in_two))
    steps[0] = msgspec.structs.replace(steps[0], after=(step_id("ready", "dry weight"),))
    if len(steps) < MOST_ITEMS:
        steps.append(
            Step(
                role="clear stocks",
                kind="check",
                text="Stir each jar until no grain is left, then hold it to the light.",
                done="Stocks dissolved and clear",
                figures=tuple(f"stock.{stock.slug}.strength" for _, stock in stocks),
            )
        )
    return laid_stage("stocks", *steps)


def _stock_steps(colour: ColourFacts, stock: StockFacts, in_two: bool) -> list[Step]:
    volume = show(stock.volume_ml, "mL")
    key = f"stock.{stock.slug}"
    if stock.form == "powder" and stock.dye_g is not None:
        tail = "." if in_two else f", then make it up to {volume} with hot water."
        weigh = Step(
            role="weigh dye",
            of=stock.slug,
            kind="measure",
            text=f"Weigh {stock.dye} powder for {colour.name}{tail}",
            done=f"{stock.dye} weighed for {colour.name}",
            quantity="mass",
            unit="g",
            figures=(f"{key}.dye", f"{key}.volume", f"{key}.weighing"),
            sets=f"{key}.dye",
            fixes=() if in_two else (f"{key}.volume",),
            **near(stock.dye_g),
        )
        if not in_two:
            return [weigh]
        return [
            weigh,
            _make_up(colour, stock, "Paste it with a little hot water, then make it up to the mark."),
        ]
    if stock.form == "drops":
        return [
            Step(
                role="count drops",
                of=stock.slug,
                kind="measure",
                text=f"Count drops of {stock.dye} for {colour.name} into its jar.",
                done=f"{stock.dye} counted for {colour.name}",
                quantity="count",
                unit="drops",
                figures=(f"{key}.drops", f"{key}.volume"),
                sets=f"{key}.drops",
                **near(stock.drops or 0.0),
            )
        ]
    return [_make_up(colour, stock, "Shake it, check its label and date, and pour off what is needed.")]


def _make_up(colour: ColourFacts, stock: StockFacts, how: str) -> Step:
    return Step(
        role="make up",
        of=stock.slug,
        kind="measure",
        text=f"{stock.dye} stock for {colour.name}: {how[0].lower()}{how[1:]}",
        done=f"{stock.dye} stock for {colour.name} ready",
        quantity="volume",
        unit="mL",
        figures=(f"stock.{stock.slug}.volume", f"stock.{stock.slug}.strength"),
        sets=f"stock.{stock.slug}.volume",
        **near(stock.volume_ml),
    )
