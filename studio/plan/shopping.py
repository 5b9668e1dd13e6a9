"""What plans need, held against what is on hand: jars first, then the shelf, then what must be bought."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

import msgspec

from studio.plan.figure_text import brief
from studio.plan.figures_stocks import StockWork
from studio.plan.jar_age import age_of, day_of
from studio.plan.materials import DyeAtHand
from studio.plan.shelf import Jar, Price, Shelf
from studio.plan.worked import Worked

Kind = Literal["dye", "jar", "acid", "base"]
KINDS: tuple[Kind, ...] = ("jar", "dye", "acid", "base")
LEAST = 1e-6
"""Less of a g, mL or piece than this is nothing. House rule."""


class Need(msgspec.Struct, frozen=True, kw_only=True):
    """So much of one thing for one or several plans."""

    kind: Kind
    name: str
    needed: float
    unit: str
    """`g`, `mL` or `1`."""
    because: str
    on_shelf: bool = True
    """Whether the shelf has an entry of that name."""
    on_hand: float | None = None
    """None where nobody wrote it down."""
    price: Price | None = None

    @property
    def short(self) -> float | None:
        """What is missing; None where nobody knows what is there."""
        if self.on_hand is None:
            return None
        missing = self.needed - self.on_hand
        return missing if missing > LEAST else 0.0

    @property
    def packs(self) -> int | None:
        """Whole packs that cover what is missing; None where nothing is sold by the pack or nobody knows."""
        if self.price is None or self.short is None or self.price.amount <= 0:
            return None
        return math.ceil(self.short / self.price.amount - LEAST)

    @property
    def cost(self) -> float | None:
        """Money for those packs, in the studio's currency."""
        return None if self.packs is None or self.price is None else self.packs * self.price.money


class Shopping(msgspec.Struct, frozen=True, kw_only=True):
    """What some plans need, kind by kind."""

    plans: tuple[str, ...]
    needs: tuple[Need, ...]
    notes: tuple[str, ...]
    """What could not be counted, one sentence each."""
    currency: str

    @property
    def unknown(self) -> tuple[Need, ...]:
        """Needs of which nobody wrote down what is there."""
        return tuple(n for n in self.needs if n.short is None)

    @property
    def to_buy(self) -> tuple[Need, ...]:
        """Needs that what is there does not cover."""
        return tuple(n for n in self.needs if n.short)

    @property
    def cost(self) -> float | None:
        """Money for all packs to buy; None where one has no price or an amount on hand is not known."""
        if self.unknown or any(n.cost is None for n in self.to_buy):
            return None
        return sum(n.cost or 0.0 for n in self.to_buy)


def shopping(plans: Sequence[Worked], shelf: Shelf) -> Shopping:
    """What the plans need together, reserve included, and what of it is there.

    A powder or a ready liquid is taken from jars of the same dye first, where they are strong enough and not
    past their day; the rest comes from the shelf. **Source:** the plans' own figures; jars first is a house rule.
    """
    left = {jar.name: jar.volume_ml for jar in shelf.jars}
    needs: dict[tuple[Kind, str], Need] = {}
    notes: list[str] = []
    for worked in plans:
        for need in (*_dyes(worked, shelf, left, notes), *_acid(worked), *_base(worked, notes)):
            before = needs.get((need.kind, need.name))
            needs[need.kind, need.name] = need if before is None else _both(before, need)
    return Shopping(
        plans=tuple(worked.settled.plan.title for worked in plans),
        needs=tuple(sorted(needs.values(), key=lambda n: KINDS.index(n.kind))),
        notes=tuple(dict.fromkeys(notes)),
        currency=shelf.studio.currency,
    )


def _both(one: Need, other: Need) -> Need:
    return msgspec.structs.replace(
        one, needed=one.needed + other.needed, because=f"{one.because} + {other.because}"
    )


def _dyes(worked: Worked, shelf: Shelf, left: dict[str, float], notes: list[str]) -> list[Need]:
    found: list[Need] = []
    for work in worked.stocks.stocks:
        dye = work.stock.dye
        amount, unit = _amount(work)
        if amount is None:
            notes.append(
                f"How much {dye.name} the plan takes cannot be worked out: its strength is not known."
            )
        elif dye.jar is not None:
            found.append(_jar(dye.jar, amount, work.colour))
            left[dye.jar.name] = max(0.0, left[dye.jar.name] - amount)
        else:
            found.extend(_jars_first(work, amount, unit, shelf, left))
    return [need for need in found if need.needed > LEAST]


def _amount(work: StockWork) -> tuple[float | None, str]:
    """What is taken of the dye as it stands on the shelf: g of powder, mL of a liquid or a jar."""
    if work.drops is not None:
        return work.volume_ml, "mL"
    if work.stock.dye.powder:
        return work.dye_g, "g"
    return work.from_jar_ml, "mL"


def _jar(jar: Jar, amount_ml: float, colour: str) -> Need:
    return Need(
        kind="jar",
        name=jar.name,
        needed=amount_ml,
        unit="mL",
        because=f"{brief(amount_ml)} mL for {colour}",
        on_hand=jar.volume_ml,
    )


def _jars_first(
    work: StockWork, amount: float, unit: str, shelf: Shelf, left: dict[str, float]
) -> list[Need]:
    """Jars of the dye that are strong enough and not old, then the dye itself for the rest."""
    dye, wanted = work.stock.dye, work.stock.strength
    per_unit = _dye_g_in(dye)
    found: list[Need] = []
    rest = amount
    today = day_of(shelf.read_on)
    for jar in shelf.jars:
        fits = jar.dye.casefold() == dye.name.casefold() and age_of(jar, today).standing != "old"
        strong = wanted is not None and jar.strength_percent >= wanted.value
        if not fits or not strong or per_unit is None or work.drops is not None or rest <= LEAST:
            continue
        used_ml = min(left[jar.name], rest * per_unit * 100.0 / jar.strength_percent)
        if used_ml <= LEAST:
            continue
        left[jar.name] -= used_ml
        rest -= used_ml * jar.strength_percent / 100.0 / per_unit
        found.append(
            Need(
                kind="jar",
                name=jar.name,
                needed=used_ml,
                unit="mL",
                because=f"{brief(used_ml)} mL x {brief(jar.strength_percent)} % = "
                f"{brief(used_ml * jar.strength_percent / 100.0)} g of dye for {work.colour}",
                on_hand=jar.volume_ml,
            )
        )
    on_hand, on_shelf = _on_hand(dye, shelf)
    because = f"{brief(rest)} {unit} for {work.colour}"
    return [
        *found,
        Need(
            kind="dye",
            name=dye.name,
            needed=rest,
            unit=unit,
            because=because,
            on_shelf=on_shelf,
            on_hand=on_hand,
            price=dye.price,
        ),
    ]


def _dye_g_in(dye: DyeAtHand) -> float | None:
    """g of dye in one g of powder or one mL of a ready liquid."""
    if dye.powder:
        return 1.0
    return dye.ready_percent / 100.0 if dye.ready_percent else None


def _on_hand(dye: DyeAtHand, shelf: Shelf) -> tuple[float | None, bool]:
    entry = next((d for d in shelf.dyes if d.name == dye.name), None)
    return (entry.on_hand.value if entry and entry.on_hand else None), entry is not None


def _acid(worked: Worked) -> list[Need]:
    acid, amount = worked.settled.acid, worked.presoak.acid_amount
    if acid is None or amount <= LEAST:
        return []
    entry = next((a for a in worked.settled.shelf.acids if a.name == acid.name), None)
    return [
        Need(
            kind="acid",
            name=acid.name,
            needed=amount,
            unit=acid.unit,
            because=f"{brief(amount)} {acid.unit} for the presoak",
            on_shelf=entry is not None,
            on_hand=entry.on_hand.value if entry and entry.on_hand else None,
            price=acid.price,
        )
    ]


def _base(worked: Worked, notes: list[str]) -> list[Need]:
    base, dry_g = worked.settled.base, worked.settled.dry_g
    if base is None:
        notes.append(
            f"{worked.settled.plan.title} names no base of the shelf: {brief(dry_g)} g of fibre of its own."
        )
        return []
    pieces = pieces_of(dry_g, base.dry_weight_g)
    because = f"{brief(dry_g)} g"
    if base.dry_weight_g:
        because = f"{brief(dry_g)} g of pieces of {brief(base.dry_weight_g)} g"
    return [
        Need(
            kind="base",
            name=base.name,
            needed=pieces,
            unit="1",
            because=because,
            on_hand=base.on_hand,
            price=base.price,
        )
    ]


PIECE_SLACK = 0.1
"""A piece may weigh so much of its weight more or less than its label says. House rule, as for a weighing."""


def pieces_of(weight_g: float, piece_g: float | None) -> float:
    """Whole pieces a weight is; a piece that is cut into counts whole, and there is never less than one.

    >>> pieces_of(104.0, 100.0), pieces_of(150.0, 100.0), pieces_of(50.0, None)
    (1.0, 2.0, 1.0)

    **Source:** house rule.
    """
    if not piece_g:
        return 1.0
    return max(1.0, float(math.ceil(weight_g / piece_g - PIECE_SLACK)))
