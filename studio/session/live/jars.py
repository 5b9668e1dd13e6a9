"""A jar of stock that holds less dye than its depth takes: what to add."""

from __future__ import annotations

import math

from studio.plan.facts import ColourFacts, StockFacts
from studio.plan.shapes import Caution
from studio.plan.steps.lay import paint_path
from studio.quantity.showing import show
from studio.session.live.given import Thought, facts_of, record_of, warning
from studio.session.sheet import sheet_now
from studio.session.state import State

ENOUGH = 0.98
"""A stock that holds this share of the dye it needs, or more, is let be. House rule."""


def think_jars(state: State) -> Thought:
    """A warning for each stock that holds less dye than its depth takes: what to add, and the depth if it is left.

    More of it, or another volume, needs none: what is poured of it follows from what is in it.
    """
    known = facts_of(state)
    found = [
        _short(state, colour, stock)
        for colour in (known[0].colours if known else ())
        for stock in colour.stocks
    ]
    return Thought((), tuple(caution for caution in found if caution is not None))


def _short(state: State, colour: ColourFacts, stock: StockFacts) -> Caution | None:
    counted = stock.form == "drops"
    record = record_of(state, "count drops" if counted else "weigh dye", stock.slug)
    if record.value is None or record.asked is None or record.value >= ENOUGH * record.asked:
        return None
    unit = "drops" if counted else "g"
    more = f"{math.ceil(record.asked - record.value)}" if counted else show(record.asked - record.value, "g")
    depth = sheet_now(state).figure(paint_path(colour.slug, "depth"))
    left = "" if depth is None else f"; as it is the depth comes to {show(depth.value, '%', 2)}"
    text = f"Add {more}{f' {unit}' if counted else ''} of {stock.dye} for {colour.name} and correct the value{left}."
    return warning(f"stock.{stock.slug}", text, "arithmetic on what was weighed")
