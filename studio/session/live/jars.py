"""What to do about a depth that will not come: dye to add to a jar of stock, or fibre to squeeze further."""

from __future__ import annotations

import math

from studio.methods.put_on.paint_work import PaintWork, squeeze_to_g
from studio.plan.settled import Sharing
from studio.plan.shapes import Caution, listed
from studio.plan.steps.lay import paint_path, stock_path
from studio.plan.work.stocks import colours_of
from studio.quantity.showing import show
from studio.session.live.given import NOTHING, Thought, measured, record_of, warning
from studio.session.sheet import value_now, worked_now
from studio.session.state import State

ENOUGH = 0.98
"""A stock that holds this share of the dye it needs, or more, is let be. House rule."""
SOURCE = "wet pick-up: A. D. Broadbent, Basic Principles of Textile Coloration (SDC 2001), p. 193"
PALER = 0.95
"""A depth this share of the planned one, or more, is not warned about: another lot begins beyond. House rule."""


def think_jars(state: State) -> Thought:
    """A warning for each stock that holds less dye than its depth takes: what to add, and the depth if it is left.

    More of it, or another volume, needs none: what is poured of it follows from what is in it.
    """
    found = (_short(state, jar) for jar in state.choices.jars)
    return Thought((), tuple(caution for caution in found if caution is not None))


def _short(state: State, jar: Sharing) -> Caution | None:
    (colour, stock), *_ = jar
    counted = colour.plan.drops is not None
    record = record_of(state, "count drops" if counted else "weigh dye", stock.slug)
    if record.value is None or record.asked is None or record.value >= ENOUGH * record.asked:
        return None
    unit = "drops" if counted else "g"
    more = f"{math.ceil(record.asked - record.value)}" if counted else show(record.asked - record.value, "g")
    text = (
        f"Add {more}{f' {unit}' if counted else ''} of {stock.dye.name} for {colours_of(jar)} "
        f"and correct the value{_as_it_is(state, jar)}."
    )
    return warning(f"stock.{stock.slug}", text, "arithmetic on what was weighed")


def _as_it_is(state: State, jar: Sharing) -> str:
    """What the depth of each colour comes to without it."""
    depths = [(c.plan.name, value_now(state, paint_path(c.plan.slug, "depth"))) for c, _ in jar]
    told = [(name, show(depth, "%", 2)) for name, depth in depths if depth is not None]
    if len(told) == 1:
        return f"; as it is the depth comes to {told[0][1]}"
    return f"; as it is {listed([f'{name} comes to {depth}' for name, depth in told])}" if told else ""


def think_depth(state: State) -> Thought:
    """A warning for each colour that will come paler than planned, with the weight to squeeze to."""
    worked = worked_now(state)
    if worked is None or measured(state, "squeeze") is None:
        return NOTHING
    thought = NOTHING
    for colour in worked.settled.colours:
        comes = value_now(state, paint_path(colour.plan.slug, "depth"))
        planned = colour.plan.depth.value if colour.plan.depth is not None else 0.0
        if comes is None or comes >= PALER * planned:
            continue
        text = f"{colour.plan.name} will come to {show(comes, '%', 2)}, planned {show(planned, '%', 2)}"
        only = colour.stocks[0] if len(colour.stocks) == 1 else None
        strength = value_now(state, stock_path(only.slug, "strength")) if only else None
        paint = worked.put
        told = (
            squeeze_to_g(worked.settled, paint, colour, strength)
            if isinstance(paint, PaintWork) and strength
            else None
        )
        text += f": squeeze to {show(told, 'g')} and weigh again, or go on as it is." if told else "."
        thought = thought + Thought((), (warning(f"paint.{colour.plan.slug}.pale", text, SOURCE),))
    return thought
