"""What the room in the squeezed fibre does to the depth, and how far to squeeze for the depth that is planned."""

from __future__ import annotations

from studio.plan.facts import ColourFacts
from studio.plan.shapes import Worksheet
from studio.plan.steps.lay import paint_path, stock_path
from studio.quantity.showing import show
from studio.session.live.given import NOTHING, Thought, measured, warning
from studio.session.sheet import sheet_now
from studio.session.state import State

SOURCE = "wet pick-up: A. D. Broadbent, Basic Principles of Textile Coloration (SDC 2001), p. 193"
PALER = 0.95
"""A depth this share of the planned one, or more, is not warned about: another lot begins beyond. House rule."""


def figure_value(sheet: Worksheet, figure_id: str) -> float | None:
    """The value a figure stands at; None where the sheet has none of that name."""
    figure = sheet.figure(figure_id)
    return None if figure is None else figure.value


def room_ml(state: State) -> float | None:
    """Liquid the squeezed fibre can take; None before the squeeze was weighed."""
    if measured(state, "squeeze") is None:
        return None
    return figure_value(sheet_now(state), "paint.capacity")


def think_depth(state: State) -> Thought:
    """A warning for each colour that will come paler than planned, with the weight to squeeze to."""
    sheet = sheet_now(state)
    if sheet.facts is None or sheet.facts.live is None or measured(state, "squeeze") is None:
        return NOTHING
    thought = NOTHING
    for colour in sheet.facts.colours:
        comes, planned = figure_value(sheet, paint_path(colour.slug, "depth")), colour.depth_percent
        if comes is None or not planned or comes >= PALER * planned:
            continue
        text = f"{colour.name} will come to {show(comes, '%', 2)}, planned {show(planned, '%', 2)}"
        told = _squeeze_to(sheet, colour)
        text += f": squeeze to {show(told, 'g')} and weigh again, or go on as it is." if told else "."
        thought = thought + Thought((), (warning(f"paint.{colour.slug}.pale", text, SOURCE),))
    return thought


def _squeeze_to(sheet: Worksheet, colour: ColourFacts) -> float | None:
    """g to which the fibre must be squeezed for the stock of a colour to fit; None where it already does."""
    facts = sheet.facts
    assert facts is not None and facts.live is not None, "asked only of a sheet with facts"
    if colour.fibre_g <= 0 or not colour.depth_percent:
        return None
    strength = figure_value(sheet, stock_path(colour.slug, "strength"))
    if strength is None or strength <= 0:
        return None
    zone_ml = colour.fibre_g * colour.depth_percent / strength
    room = zone_ml * facts.dry_weight_g / colour.fibre_g
    weight = facts.dry_weight_g * (1 + facts.live.target_percent / 100.0) - room
    return weight if facts.dry_weight_g <= weight < facts.squeezed_g - 0.5 else None
