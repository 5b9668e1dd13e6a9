"""The stocks that the colours of a plan are made of: which dye, how strong, and which colours share a jar."""

from __future__ import annotations

import msgspec

from studio.plan import materials
from studio.plan.errors import KeyPath, refuse, write
from studio.plan.keys import DROPS_IN
from studio.plan.materials import DyeAtHand
from studio.plan.model import ColourPlan, Plan
from studio.plan.shapes import Known
from studio.plan.shelf import Shelf
from studio.quantity.kinds import Quantity

DEFAULT_STOCK = Known(1.0, "common practice", "common practice")


class StockPlan(msgspec.Struct, frozen=True, kw_only=True):
    """One dye of a colour with the strength of its stock."""

    dye: DyeAtHand
    slug: str
    """Of its jar: `rust`, or `moss.food-blue` in a mix; of a shared one that of the first colour it is for."""
    share: float
    """Of the dye of the colour, 0 to 1."""
    strength: Known | None
    """g per 100 mL; None for drops of unknown strength."""
    key: KeyPath
    """Of the plan, for cautions."""


def stocks_of(plan: Plan, shelf: Shelf) -> list[tuple[StockPlan, ...]]:
    """The stocks of each colour, those of one dye in one strength out of one jar; a powder whose strength is not
    written is made up as that of another colour is. Drops are counted into the jar of their colour.
    """
    stocks = [_stocks(plan, shelf, colour) for colour in plan.colours]
    counted = {colour.slug for colour in plan.colours if colour.drops is not None}
    made = [s for own in reversed(stocks) for s in reversed(own) if s.slug not in counted]
    written = {s.dye.name: s.strength for s in made if s.strength and s.strength.origin == "plan"}
    jars: dict[tuple[str, float], str] = {}

    def shared(stock: StockPlan) -> StockPlan:
        strength = stock.strength
        if strength is None or stock.slug in counted:
            return stock
        if strength.origin != "plan" and stock.dye.powder:
            strength = written.get(stock.dye.name, strength)
        jar = jars.setdefault((stock.dye.name, strength.value), stock.slug)
        return msgspec.structs.replace(stock, slug=jar, strength=strength)

    return [tuple(shared(stock) for stock in own) for own in stocks]


def _stocks(plan: Plan, shelf: Shelf, colour: ColourPlan) -> tuple[StockPlan, ...]:
    where: KeyPath = ("colour", colour.name)
    if not colour.mix:
        dye = materials.find_dye_at_hand(plan, shelf, colour.dye, (*where, "dye"))
        strength = _strength(plan, dye, colour.stock, (*where, "stock"), drops=colour.drops is not None)
        return (StockPlan(dye=dye, slug=colour.slug, share=1.0, strength=strength, key=(*where, "dye")),)
    total = sum(part.share_percent for part in colour.mix)
    found = []
    for number, part in enumerate(colour.mix, start=1):
        key = (*where, "mix", number)
        dye = materials.find_dye_at_hand(plan, shelf, part.dye, (*key, "dye"))
        strength = _strength(plan, dye, part.stock or colour.stock, (*key, "stock"), drops=False)
        slug = f"{colour.slug}.{dye.slug}"
        found.append(
            StockPlan(
                dye=dye, slug=slug, share=part.share_percent / total, strength=strength, key=(*key, "dye")
            )
        )
    return tuple(found)


def _strength(
    plan: Plan, dye: DyeAtHand, stock: Quantity | None, key: KeyPath, *, drops: bool
) -> Known | None:
    """Strength of the stock: the plan's, the jar's, or 1 %; a jar cannot give more than it holds."""
    ready = dye.ready_percent
    if ready is None and not dye.powder and not drops:
        raise refuse(
            plan.file,
            key,
            f"cannot be worked out: the strength of {dye.name} is not known. Write it on the shelf (",
            write("strength", "2 %"),
            "), or use ",
            *DROPS_IN,
            ".",
        )
    if stock is not None:
        if ready is not None and stock.value > ready * 1.0001:
            raise refuse(
                plan.file,
                key,
                f"is stronger than {dye.name} itself; write at most {ready:g} %, or leave it out.",
            )
        return Known(stock.value, "plan", "the plan")
    if ready is not None:
        return Known(ready, "yours", "the shelf's jar" if dye.jar else "the shelf's ready liquid")
    return None if drops else DEFAULT_STOCK
