"""The procedure of a painted, steamed session: stages, steps, gates and clocks.

Order within a stage is the order of work; across stages `after` names what physics wants first, so that
stocks are mixed while the fibre soaks. No stage has more than nine items.
Source: checklist practice (short lists, values instead of ticks, critical items early), from Degani &
Wiener, Human Factors 35(2), 1993; the work itself is common practice.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec

from studio.plan.facts import ColourFacts, ProcedureFacts, StockFacts
from studio.plan.finishing import cool_stage, record_stage, rinse_stage
from studio.plan.shapes import Caution, Figure, Stage, StageId, Step, Timer
from studio.quantity import show

MOST_ITEMS = 9
MOST_COLOURS = 5
"""More would need more than nine items in a stage. House rule."""
MOST_STOCKS = 8

CAUTIONS_STEP = "ready.cautions"
WEIGHT_SLACK = 0.1
"""A weighing or pouring off by more than a tenth is asked about once. House rule."""


def build_procedure(
    plan: object,
    figures: Mapping[str, Figure],
    cautions: Sequence[Caution],
    facts: ProcedureFacts,
) -> tuple[tuple[Stage, ...], tuple[Timer, ...]]:
    """Stages and timers for the plan; the figures a step shows are only those that exist."""
    stocks = _stocks(facts)
    stages = (
        _ready(facts),
        _presoak(facts),
        stocks,
        _paint(facts, stocks.steps[-1].id),
        _steam(facts),
        cool_stage(facts),
        rinse_stage(facts),
        record_stage(facts),
    )
    by_stage: dict[str, tuple[str, ...]] = {}
    for caution in cautions:
        by_stage[caution.stage] = (*by_stage.get(caution.stage, ()), caution.id)
    return tuple(_tidy(s, figures, by_stage.get(s.stage, ())) for s in stages), _timers(facts)


def _tidy(stage: Stage, figures: Mapping[str, Figure], caution_ids: tuple[str, ...]) -> Stage:
    """Drop figures the plan does not have; hang the stage's cautions on its first step."""
    steps = []
    for index, step in enumerate(stage.steps):
        kept = tuple(f for f in step.figures if f in figures)
        here = caution_ids if index == 0 else ()
        steps.append(msgspec.structs.replace(step, figures=kept, cautions=(*step.cautions, *here)))
    return Stage(stage=stage.stage, steps=tuple(steps))


def near(expected: float) -> dict[str, float]:
    """Expected value and the range outside which the bench asks once."""
    return {
        "expected": round(expected, 4),
        "low": round(expected * (1 - WEIGHT_SLACK), 4),
        "high": round(expected * (1 + WEIGHT_SLACK), 4),
    }


def _stage(stage: StageId, *steps: Step | None) -> Stage:
    return Stage(stage=stage, steps=tuple(s for s in steps if s is not None))


def _ready(facts: ProcedureFacts) -> Stage:
    kit_rule = (
        "All dyes are food colours: use clean kitchen or dye kit, never one that has held other dye as well."
        if facts.food_only
        else "Every pot, jar, brush, spoon and steamer is kept for dyeing and never goes back to food."
    )
    return _stage(
        "ready",
        Step(
            id=CAUTIONS_STEP,
            kind="gate",
            text="Read each warning of this plan and say why you go on.",
            done="Warnings taken on",
        )
        if facts.has_warnings
        else None,
        Step(
            id="ready.sound",
            kind="check",
            text="Press B for the bell: you must hear it from where the pot stands.",
            done="Sound heard at the pot",
        ),
        Step(
            id="ready.kit",
            kind="gate",
            text=kit_rule,
            done="Kit is right for these dyes",
            critical=True,
            word="clean" if facts.food_only else "dye-only",
        ),
        Step(
            id="ready.powder",
            kind="gate",
            text="Open dye powder only in a dust respirator and gloves, in still air, over damp paper.",
            done="Respirator and gloves on for powder",
            critical=True,
            word="masked",
        )
        if facts.any_powder
        else Step(
            id="ready.gloves",
            kind="check",
            text="Gloves and apron on; no open powder in this session.",
            done="Gloves and apron on",
        ),
        Step(
            id="ready.room",
            kind="check",
            text="Air moves, hob is clear, children and animals are out, no food or drink on the bench.",
            done="Room is ready",
        ),
        Step(
            id="ready.jars",
            kind="check",
            text="Each jar and brush has its colour's label before anything goes in.",
            done="Jars and brushes labelled",
        ),
        Step(
            id="ready.weight",
            kind="measure",
            text="Weigh the dry fibre.",
            done="Dry fibre weighed",
            quantity="mass",
            unit="g",
            figures=("fibre.dyeable",),
            **near(facts.dry_weight_g),
        ),
    )


def _presoak(facts: ProcedureFacts) -> Stage:
    acid = None
    if facts.acid_amount > 0:
        liquid = facts.acid_state == "liquid"
        acid = Step(
            id="presoak.acid",
            kind="measure",
            text=f"Measure {facts.acid_name} and pour it into the water, never water into acid.",
            done="Acid in the water",
            critical=facts.acid_strong,
            quantity="volume" if liquid else "mass",
            unit="mL" if liquid else "g",
            figures=("presoak.acid", "presoak.ph", "presoak.bound"),
            **near(facts.acid_amount),
        )
    return _stage(
        "presoak",
        Step(
            id="presoak.water",
            kind="measure",
            text=f"Pour lukewarm water, about {facts.presoak_c:g} degC, into the soaking basin.",
            done="Soaking water poured",
            quantity="volume",
            unit="mL",
            after=("ready.weight",),
            figures=("presoak.water",),
            **near(facts.presoak_water_ml),
        ),
        acid,
        Step(
            id="presoak.ph",
            kind="measure",
            text="Read the pH with a strip or meter.",
            done="pH of the soak read",
            quantity="ph",
            unit="pH",
            expected=round(facts.presoak_ph, 2),
            low=max(0.0, round(facts.presoak_ph - 1, 2)),
            high=min(14.0, round(facts.presoak_ph + 1, 2)),
            figures=("presoak.ph",),
        )
        if facts.presoak_ph is not None
        else None,
        Step(
            id="presoak.in",
            kind="do",
            text="Lower the fibre in and press the air out gently until it sinks.",
            done="Fibre in the soak",
            starts="presoak",
            figures=("presoak.time",),
        ),
        Step(
            id="presoak.wait",
            kind="wait",
            text="Let it soak until it is wet to the core.",
            done="Fibre wetted out",
            timer="presoak",
            figures=("presoak.time",),
        ),
    )


def _stocks(facts: ProcedureFacts) -> Stage:
    stocks = [(colour, stock) for colour in facts.colours for stock in colour.stocks]
    powders = sum(stock.form == "powder" for _, stock in stocks)
    in_two = len(stocks) + powders + 1 <= MOST_ITEMS
    steps: list[Step] = []
    for colour, stock in stocks:
        steps.extend(_stock_steps(colour, stock, in_two))
    first_after = ("ready.weight",)
    steps[0] = msgspec.structs.replace(steps[0], after=first_after)
    if len(steps) < MOST_ITEMS:
        steps.append(
            Step(
                id="stocks.clear",
                kind="check",
                text="Stir each jar until no grain is left, then hold it to the light.",
                done="Stocks dissolved and clear",
            )
        )
    return _stage("stocks", *steps)


def _stock_steps(colour: ColourFacts, stock: StockFacts, in_two: bool) -> list[Step]:
    volume = show(stock.volume_ml, "mL")
    key = f"stock.{stock.slug}"
    if stock.form == "powder" and stock.dye_g is not None:
        tail = "." if in_two else f", then make it up to {volume} with hot water."
        weigh = Step(
            id=f"stocks.{stock.slug}.dye",
            kind="measure",
            text=f"Weigh {stock.dye} powder for {colour.name}{tail}",
            done=f"{stock.dye} weighed for {colour.name}",
            quantity="mass",
            unit="g",
            figures=(f"{key}.dye", f"{key}.volume", f"{key}.weighing"),
            **near(stock.dye_g),
        )
        if not in_two:
            return [weigh]
        return [weigh, _make_up(colour, stock, "Paste it with a little hot water, then make it up to the mark.")]
    if stock.form == "drops":
        return [
            Step(
                id=f"stocks.{stock.slug}.drops",
                kind="measure",
                text=f"Count drops of {stock.dye} for {colour.name} into its jar.",
                done=f"{stock.dye} counted for {colour.name}",
                quantity="count",
                unit="drops",
                figures=(f"{key}.drops", f"{key}.volume"),
                **near(stock.drops or 0.0),
            )
        ]
    return [_make_up(colour, stock, "Shake it, check its label and date, and pour off what is needed.")]


def _make_up(colour: ColourFacts, stock: StockFacts, how: str) -> Step:
    return Step(
        id=f"stocks.{stock.slug}.volume",
        kind="measure",
        text=f"{stock.dye} stock for {colour.name}: {how[0].lower()}{how[1:]}",
        done=f"{stock.dye} stock for {colour.name} ready",
        quantity="volume",
        unit="mL",
        figures=(f"stock.{stock.slug}.volume", f"stock.{stock.slug}.dye"),
        **near(stock.volume_ml),
    )


def _paint(facts: ProcedureFacts, last_stock: str) -> Stage:
    mixes = [_mix(colour) for colour in facts.colours]
    return _stage(
        "paint",
        Step(
            id="paint.squeezed",
            kind="measure",
            text="Squeeze the fibre, without wringing, and weigh it wet.",
            done="Fibre squeezed and weighed",
            quantity="mass",
            unit="g",
            expected=round(facts.squeezed_g, 1),
            low=round(facts.dry_weight_g, 1),
            high=round(facts.dry_weight_g * 4, 1),
            after=("presoak.wait", last_stock),
            figures=("paint.held", "paint.capacity"),
        ),
        *mixes,
        Step(
            id="paint.apply",
            kind="do",
            text=f"Lay it out flat on film and paint in this order: {facts.bands}.",
            done="All bands painted",
            figures=tuple(f"paint.{c.slug}.liquid" for c in facts.colours),
        ),
        Step(
            id="paint.wrap",
            kind="do",
            text=(
                "Blot stray liquid, fold the film over, roll it up without squeezing: pressure drives colour "
                "into its neighbour."
                if facts.shape == "roll"
                else "Blot stray liquid and fold the film into a flat, closed packet without pressing it."
            ),
            done="Wrapped and closed",
        ),
    )


def _mix(colour: ColourFacts) -> Step:
    if colour.water_ml > 0.05 and colour.stock_ml > 0:
        text = f"{colour.name}: {show(colour.stock_ml, 'mL')} of stock and {show(colour.water_ml, 'mL')} of water."
    else:
        text = f"{colour.name}: its liquid is ready as mixed; stir it."
    return Step(
        id=f"paint.{colour.slug}.mix",
        kind="measure",
        text=f"Mix the paint for {text} How much is in the jar?",
        done=f"Paint for {colour.name} mixed",
        quantity="volume",
        unit="mL",
        figures=(
            f"paint.{colour.slug}.liquid",
            f"paint.{colour.slug}.stock",
            f"paint.{colour.slug}.water",
        ),
        **near(colour.liquid_ml),
    )


def _steam(facts: ProcedureFacts) -> Stage:
    return _stage(
        "steam",
        Step(
            id="steam.water",
            kind="measure",
            text="Pour the pot water; the rack must stand clear above it.",
            done="Pot water in",
            quantity="volume",
            unit="mL",
            after=("paint.wrap",),
            figures=("set.pot_water", "set.boil_off", "set.pot_lasts"),
            **near(facts.pot_water_ml),
        ),
        Step(
            id="steam.lid",
            kind="gate",
            text="Steam burns: lid opens away from you, dry mitts and tongs to hand, sleeves down, nobody beside it.",
            done="Lid, mitts and tongs ready",
            critical=True,
            word="lid",
        ),
        Step(
            id="steam.on",
            kind="do",
            text="Packet on the rack, lid on, heat on.",
            done="Pot on",
        ),
        Step(
            id="steam.rolling",
            kind="do",
            text="Wait until steam rolls steadily from under the lid; only then does the set begin.",
            done="Steam is rolling",
            critical=True,
            starts="steam",
            figures=("set.hold", "set.heat_through", "set.boiling_point"),
        ),
        Step(
            id="steam.hold",
            kind="wait",
            text="Keep the steam rolling with the lid on.",
            done="Set held",
            timer="steam",
            figures=("set.hold", "set.heat_through", "set.pot_lasts"),
        ),
        Step(
            id="steam.off",
            kind="do",
            text="Heat off. Open the lid away from you and let the steam go.",
            done="Heat off, lid opened away",
        ),
        Step(
            id="steam.out",
            kind="do",
            text="Lift the packet out with tongs and set it down, still wrapped.",
            done="Packet out, still wrapped",
            starts="cool",
        ),
    )


def _timers(facts: ProcedureFacts) -> tuple[Timer, ...]:
    return (
        Timer(
            id="presoak",
            label="presoak",
            minutes=facts.presoak_min,
            action="The soak is over: squeeze the fibre when the paints are ready.",
            priority="medium",
        ),
        Timer(
            id="steam",
            label="steam set",
            minutes=facts.hold_min,
            action="The set is over: heat off, lid away from you.",
            priority="high",
        ),
        Timer(
            id="pot-water",
            label="pot water",
            minutes=facts.pot_check_min,
            action="Look at the pot water and top it up with boiling water before it runs low.",
            priority="medium",
            repeats=True,
            with_timer="steam",
        ),
        Timer(
            id="cool",
            label="cooling",
            minutes=facts.cool_min,
            action="The packet should be cool enough to measure.",
            priority="medium",
        ),
    )
