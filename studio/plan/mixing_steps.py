"""The stage where stocks are weighed, made up, counted or poured off."""

from __future__ import annotations

import msgspec

from studio.plan.facts import ColourFacts, ProcedureFacts, StockFacts
from studio.plan.lay import laid_stage
from studio.plan.shapes import Stage, Step
from studio.plan.step_parts import MOST_ITEMS, near
from studio.quantity import show


def stocks_stage(facts: ProcedureFacts) -> Stage:
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
