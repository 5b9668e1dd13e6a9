"""The stocks that the colours of a plan are made of: which dye, how strong, and which colours share a jar."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from studio.plan import materials
from studio.plan.errors import KeyPath, write
from studio.plan.keys import DROPS_IN
from studio.plan.materials import DyeAtHand
from studio.plan.model import ColourPlan, MixPart, Plan
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


def in_shared_jars(
    plan: Plan, stocks: Sequence[tuple[StockPlan, ...]], least: Sequence[float]
) -> list[tuple[StockPlan, ...]]:
    """The stocks of each colour, those of one dye in one strength out of one jar; a powder whose strength is not
    written is made up as that of another colour is, where that leaves room. Drops are counted into the jar of their
    colour.

    `least`: % that stock of each colour must have at least to go into its liquid.
    """
    counted = {colour.slug for colour in plan.colours if colour.drops is not None}
    made = [s for own in reversed(stocks) for s in reversed(own) if s.slug not in counted]
    written = {s.dye.name: s.strength for s in made if s.strength and s.strength.origin == "plan"}
    jars: dict[tuple[str, float], str] = {}

    def in_jar(stock: StockPlan, strength: Known) -> StockPlan:
        jar = jars.setdefault((stock.dye.name, strength.value), stock.slug)
        return msgspec.structs.replace(stock, slug=jar, strength=strength)

    def shared(own: tuple[StockPlan, ...], percent: float) -> tuple[StockPlan, ...]:
        alone = [s.strength for s in own if s.strength and s.slug not in counted]
        if len(alone) < len(own):
            return own
        followed = [
            written.get(stock.dye.name, mine) if mine.origin != "plan" and stock.dye.powder else mine
            for stock, mine in zip(own, alone, strict=True)
        ]
        fits = percent * sum(s.share / made.value for s, made in zip(own, followed, strict=True)) <= 1.0001
        return tuple(
            in_jar(stock, other if fits else max(other, mine, key=lambda known: known.value))
            for stock, mine, other in zip(own, alone, followed, strict=True)
        )

    return [shared(own, percent) for own, percent in zip(stocks, least, strict=True)]


def stocks_of(plan: Plan, shelf: Shelf, colour: ColourPlan) -> tuple[StockPlan, ...]:
    """The stocks of a colour, by itself."""
    parts = colour.mix or (MixPart(dye=colour.dye, share_percent=100.0),)
    total = sum(part.share_percent for part in parts)
    found: list[StockPlan] = []
    for number, part in enumerate(parts, start=1):
        key: KeyPath = ("colour", colour.name, *(("mix", number) if colour.mix else ()))
        dye = materials.find_dye_at_hand(plan, shelf, part.dye, (*key, "dye"))
        drops = colour.drops is not None
        strength = _strength(plan, dye, part.stock or colour.stock, (*key, "stock"), drops=drops)
        slug = f"{colour.slug}.{dye.slug}" if colour.mix else colour.slug
        if any(other.slug == slug for other in found):
            raise plan.wrong((*key, "dye"), f"is {dye.name} once more; write it once, with both its shares.")
        share, where = part.share_percent / total, (*key, "dye")
        found.append(StockPlan(dye=dye, slug=slug, share=share, strength=strength, key=where))
    return tuple(found)


def _strength(
    plan: Plan, dye: DyeAtHand, stock: Quantity | None, key: KeyPath, *, drops: bool
) -> Known | None:
    """Strength of the stock: the plan's, the jar's, or 1 %; a jar cannot give more than it holds."""
    ready = dye.ready_percent
    if ready is None and not dye.powder and not drops:
        raise plan.wrong(
            key,
            f"cannot be worked out: the strength of {dye.name} is not known. Write it on the shelf (",
            write("strength", "2 %"),
            "), or use ",
            *DROPS_IN,
            ".",
        )
    if stock is not None:
        if ready is not None and stock.value > ready * 1.0001:
            raise plan.wrong(
                key, f"is stronger than {dye.name} itself; write at most {ready:g} %, or leave it out."
            )
        return Known(stock.value, "plan", "the plan")
    if ready is not None:
        return Known(ready, "yours", "the shelf's jar" if dye.jar else "the shelf's ready liquid")
    return None if drops else DEFAULT_STOCK
