"""What goes on a jar's label and on the card that goes with the yarn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Literal

from studio.craft.leftover import use_by_days
from studio.plaintext import clean
from studio.plan.facts import ColourFacts, StockFacts
from studio.plan.lay import stock_path
from studio.quantity import show
from studio.report.session_page import local
from studio.report.telling import colour_name
from studio.session.live.given import colour_of, record_of
from studio.session.live.paint_room import figure_value
from studio.session.sheet import sheet_now
from studio.session.state import State

NOT_FOR_FOOD = "NOT FOR FOOD"
KEEP = "Keep shut, out of food storage and away from children and animals."
SHEET = "The maker's safety data sheet goes first."
TO_FILL_IN = "____________"


@dataclass(frozen=True, slots=True)
class JarLabel:
    """One jar. Texts are safe to show; a blank line stands where there is something to fill in by hand.

    **Source:** what a label names and the words to keep it shut: common practice; the use-by, `craft.leftover`.
    """

    kind: Literal["stock", "paint"]
    contents: str
    what: str
    """`stock of studio rust`, `paint`."""
    strength: str
    volume: str
    made: str
    use_by: str
    use_by_source: str
    lot: str
    hazard: str


def jar_labels(state: State, name: str) -> tuple[JarLabel, ...]:
    """A label for each stock that is made up in the session, then for each leftover that went into a jar."""
    facts = state.worksheet.facts
    stocks = [
        _stock_label(state, name, colour, stock)
        for colour in (facts.colours if facts is not None else ())
        for stock in colour.stocks
        if stock.form in ("powder", "liquid") and stock.drops is None
    ]
    return (*stocks, *_leftover_labels(state, name))


def lot_of(name: str) -> str:
    """The lot of a session: its date and the last letters of its file name.

    >>> lot_of("20260912-0704-tidewrack-stripes-63ea.jsonl")
    '20260912-63ea'
    """
    stem = name.removesuffix(".jsonl")
    parts = stem.split("-")
    return clean(f"{parts[0]}-{parts[-1]}" if len(parts) > 2 else stem, limit=40)


def _stock_label(state: State, name: str, colour: ColourFacts, stock: StockFacts) -> JarLabel:
    made = record_of(state, "make up", stock.slug)
    limit = use_by_days("stock")
    sheet = sheet_now(state)
    strength = figure_value(sheet, stock_path(stock.slug, "strength"))
    volume = figure_value(sheet, stock_path(stock.slug, "volume")) or 0.0
    made_on = use_by = TO_FILL_IN
    if made.closed and made.at_ns:
        day = local(made.at_ns, state.utc_offset_min)
        made_on, use_by = f"{day:%Y-%m-%d}", f"{day + timedelta(days=limit.days):%Y-%m-%d}"
    return JarLabel(
        kind="stock",
        contents=clean(stock.dye, limit=60),
        what=f"stock for {clean(colour.name, limit=60)}",
        strength=_strength(strength),
        volume=show(volume, "mL"),
        made=made_on,
        use_by=use_by,
        use_by_source=f"{limit.days:g} days from made; {limit.source}",
        lot=lot_of(name),
        hazard=hazard_words(stock.food),
    )


def _leftover_labels(state: State, name: str) -> Sequence[JarLabel]:
    facts = state.worksheet.facts
    labels = []
    for kept in state.leftovers:
        if kept.to != "jar" or kept.ml <= 0:
            continue
        colour = colour_of(facts, kept.colour) if facts is not None else None
        food = colour is not None and all(stock.food for stock in colour.stocks)
        dyes = ", ".join(stock.dye for stock in colour.stocks) if colour is not None else ""
        labels.append(
            JarLabel(
                kind="paint",
                contents=clean(colour_name(state, kept.colour), limit=60),
                what=clean(f"paint left over{f', of {dyes}' if dyes else ''}", limit=120),
                strength=_strength(kept.strength_percent),
                volume=show(kept.ml, "mL"),
                made=_paint_mixed(state, colour),
                use_by=clean(kept.use_by, limit=10) or TO_FILL_IN,
                use_by_source=use_by_days("paint").source,
                lot=lot_of(name),
                hazard=hazard_words(food),
            )
        )
    return labels


def _strength(value: float | None) -> str:
    return "strength not known" if value is None else show(value, "%")


def _paint_mixed(state: State, colour: ColourFacts | None) -> str:
    """The day its oldest stock was made: paint is no younger than what it is made of."""
    slugs = [s.slug for s in colour.stocks] if colour is not None else []
    closed = [record_of(state, "make up", slug).at_ns for slug in slugs]
    day = min([ns for ns in closed if ns] or [state.opened.wall_ns])
    return f"{local(day, state.utc_offset_min):%Y-%m-%d}"


def hazard_words(food: bool) -> str:
    """The words below NOT FOR FOOD.

    >>> hazard_words(food=True)[:36]
    'Food colour that has met dye kit and'
    """
    first = "Food colour that has met dye kit and wool." if food else "Textile dye."
    return f"{first} {KEEP} {SHEET}"
