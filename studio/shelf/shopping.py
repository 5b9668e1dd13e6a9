"""What plans need, held against what is on hand: jars first, then the shelf, then what must be bought."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from typing import Any, Literal

import msgspec

from studio.plan.materials import DyeAtHand
from studio.plan.settled import Settled
from studio.plan.shapes import brief
from studio.plan.shelf import (
    Jar,
    Price,
    Shelf,
    ShelfAcid,
    ShelfDye,
    ShelfThickener,
    age_of,
    folded,
    read_day,
    use_by_of,
)
from studio.plan.ways import MORE, method_of
from studio.plan.work.costs import Packs
from studio.plan.work.stocks import colours_of
from studio.plan.work.worked import Worked

Kind = Literal["dye", "jar", "acid", "thickener", "base"]
KINDS: tuple[Kind, ...] = ("jar", "dye", "acid", "thickener", "base")
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
    """None where it is on the shelf and nobody wrote down how much."""
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
        return Packs(self.name, self.short, self.price).whole

    @property
    def cost(self) -> float | None:
        """Money for those packs, in the studio's currency."""
        return None if self.packs is None or self.price is None else self.packs * self.price.money


class Use(msgspec.Struct, frozen=True, kw_only=True):
    """One entry of the shelf that a plan takes something of, and the figures that say how much."""

    id: str
    """The same at every time: `stock.rust`, `acid`, `base`."""
    kind: Kind
    name: str
    """As the plan calls it."""
    unit: str
    """`g` or `mL`; of a base the g of its fibre."""
    figures: tuple[str, ...]
    """Together they are what is taken."""
    asks: tuple[str, ...]
    """The figures that a session measures it by, each beside its own of `figures`."""
    later: str = ""
    """Of what a session took beyond the plan; there only where it did."""
    purpose: str = ""
    """`rust`, `the presoak`."""
    price: Price | None = None
    dye_g_each: float | None = None
    """g of dye in one g or mL of it; None where it is no dye, or counted by drops."""
    strength_percent: float = 0.0
    """Of the stock that is made of it; 0 where there is none."""


def uses(settled: Settled) -> tuple[Use, ...]:
    """What a plan takes off the shelf: dyes and jars stock by stock, acid, thickener, base.

    Shopping before a session and drawing down after it read this one table. **Source:** the plan's choices.
    """
    return (*_stocks_used(settled), *_added_used(settled), *_base_used(settled))


def _stocks_used(settled: Settled) -> Iterator[Use]:
    for jar in settled.jars:
        (colour, stock), *_ = jar
        key, dye = f"stock.{stock.slug}", stock.dye
        asks, takes = f"{key}.volume", f"{key}.from_jar"
        if colour.plan.drops is not None:
            asks, takes = f"{key}.drops", f"{key}.volume"
        elif dye.powder:
            asks = takes = f"{key}.dye"
        yield Use(
            id=key,
            kind="dye" if dye.jar is None else "jar",
            name=dye.name,
            unit="g" if takes == f"{key}.dye" else "mL",
            figures=(takes,),
            asks=(asks,),
            later=f"{key}.more",
            purpose=colours_of(jar),
            price=dye.price,
            dye_g_each=None if colour.plan.drops is not None else _dye_g_in(dye),
            strength_percent=stock.strength.value if stock.strength else 0.0,
        )


def _added_used(settled: Settled) -> Iterator[Use]:
    put_on = method_of(settled).put_on
    acid_into = put_on.stage if put_on.acid_at == "colour" else put_on.acid_at
    for what, thing in settled.added.items():
        figures, asks = zip(*put_on.added_figures(settled, what), strict=True)
        yield Use(
            id=what,
            kind=what,
            name=thing.name,
            unit=thing.unit,
            figures=figures,
            asks=asks,
            later=MORE[what],
            purpose=f"the {acid_into if what == 'acid' else 'paint'}",
            price=thing.price,
        )


def _base_used(settled: Settled) -> Iterator[Use]:
    if settled.base is not None:
        weight = "fibre.weight"
        yield Use(
            id="base",
            kind="base",
            name=settled.base.name,
            unit="g",
            figures=(weight,),
            asks=(weight,),
            price=settled.base.price,
        )


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

    @property
    def used(self) -> float:
        """Money for what is used alone, whatever is bought for it: fractions of packs, of all that has a price."""
        return sum(n.price.per_unit * n.needed for n in self.needs if n.price is not None)


def shopping(plans: Sequence[Worked], shelf: Shelf) -> Shopping:
    """What the plans need together, reserve included, and what of it is there.

    A powder or a ready liquid is taken from jars of the same dye first, where they are strong enough and not
    past their day; the rest comes from the shelf. **Source:** the plans' own figures; jars first is a house rule.
    """
    left = {jar.name: jar.volume_ml for jar in shelf.jars}
    needs: dict[tuple[Kind, str], Need] = {}
    for worked in plans:
        amounts = {figure.id: figure.value for figure in worked.figures}
        for use in uses(worked.settled):
            amount = sum(amounts.get(figure, 0.0) for figure in use.figures)
            for need in _NEEDED[use.kind](use, amount, worked.settled, left):
                before = needs.get((need.kind, need.name))
                if need.needed > LEAST:
                    needs[need.kind, need.name] = need if before is None else _both(before, need)
    return Shopping(
        plans=tuple(worked.settled.plan.title for worked in plans),
        needs=tuple(sorted(needs.values(), key=lambda n: KINDS.index(n.kind))),
        notes=tuple(
            dict.fromkeys(
                f"{s.plan.title} names no base of the shelf: {brief(s.dry_g)} g of fibre of its own."
                for s in (worked.settled for worked in plans)
                if s.base is None
            )
        ),
        currency=shelf.studio.currency,
    )


def _both(one: Need, other: Need) -> Need:
    return msgspec.structs.replace(
        one, needed=one.needed + other.needed, because=f"{one.because} + {other.because}"
    )


def _need(use: Use, amount: float, because: str, **shelf: Any) -> Need:
    return Need(
        kind=use.kind,
        name=use.name,
        needed=amount,
        unit=use.unit,
        because=because,
        price=use.price,
        **shelf,
    )


def _on_hand(entries: Sequence[ShelfDye | ShelfAcid | ShelfThickener], name: str) -> dict[str, Any]:
    entry = next((one for one in entries if one.name == name), None)
    if entry is None:
        return {"on_shelf": False, "on_hand": 0.0}
    return {"on_hand": entry.on_hand.value if entry.on_hand else None}


def _jar(use: Use, amount: float, settled: Settled, left: dict[str, float]) -> list[Need]:
    jar = next(jar for jar in settled.shelf.jars if jar.name == use.name)
    left[jar.name] = max(0.0, left[jar.name] - amount)
    return [_need(use, amount, f"{brief(amount)} mL for {use.purpose}", on_hand=jar.volume_ml)]


def _jars_first(use: Use, amount: float, settled: Settled, left: dict[str, float]) -> list[Need]:
    """Jars of the dye that are strong enough and not old, then the dye itself for the rest."""
    found: list[Need] = []
    rest = amount
    today = read_day(settled.shelf.read_on)
    for jar in settled.shelf.jars:
        fits = folded(jar.dye) == folded(use.name) and age_of(jar, today).standing != "old"
        strong = 0 < use.strength_percent <= jar.strength_percent
        if not fits or not strong or use.dye_g_each is None or rest <= LEAST:
            continue
        used_ml = min(left[jar.name], rest * use.dye_g_each * 100.0 / jar.strength_percent)
        if used_ml <= LEAST:
            continue
        left[jar.name] -= used_ml
        grams = used_ml * jar.strength_percent / 100.0
        rest -= grams / use.dye_g_each
        because = f"{brief(used_ml)} mL x {brief(jar.strength_percent)} % = {brief(grams)} g of dye for {use.purpose}"
        taken = msgspec.structs.replace(use, kind="jar", name=jar.name, unit="mL", price=None)
        found.append(_need(taken, used_ml, because, on_hand=jar.volume_ml))
    told = f"{brief(rest)} {use.unit} for {use.purpose}"
    return [*found, _need(use, rest, told, **_on_hand(settled.shelf.dyes, use.name))]


def _dye_g_in(dye: DyeAtHand) -> float | None:
    """g of dye in one g of powder or one mL of a ready liquid."""
    if dye.powder:
        return 1.0
    return dye.ready_percent / 100.0 if dye.ready_percent else None


def _added(use: Use, amount: float, settled: Settled, left: dict[str, float]) -> list[Need]:
    because = f"{brief(amount)} {use.unit} for {use.purpose}"
    entries = settled.shelf.acids if use.kind == "acid" else settled.shelf.thickeners
    return [_need(use, amount, because, **_on_hand(entries, use.name))]


def _base(use: Use, amount: float, settled: Settled, left: dict[str, float]) -> list[Need]:
    base = settled.base
    assert base is not None, "only a plan that names a base takes one"
    because = f"{brief(amount)} g"
    if base.dry_weight_g:
        because = f"{brief(amount)} g, in pieces of {brief(base.dry_weight_g)} g"
    whole = msgspec.structs.replace(use, unit="1")
    return [_need(whole, pieces_of(amount, base.dry_weight_g), because, on_hand=base.on_hand)]


_NEEDED: dict[Kind, Callable[[Use, float, Settled, dict[str, float]], list[Need]]] = {
    "jar": _jar,
    "dye": _jars_first,
    "acid": _added,
    "thickener": _added,
    "base": _base,
}


JAR_SOON_DAYS = 14
"""A jar that keeps no more days than this is to be used up. House rule."""


def jars_to_use(jars: Iterable[Jar], today: date) -> list[tuple[Jar, date, int]]:
    """Jars with something in them that are too old, or soon will be: each with its last day and the days to it.

    **Source:** as `plan.shelf.use_by_of`.
    """
    found = []
    for jar in jars:
        use_by = use_by_of(jar)
        if use_by is not None and jar.volume_ml > 0 and (use_by[0] - today).days <= JAR_SOON_DAYS:
            found.append((jar, use_by[0], (use_by[0] - today).days))
    return sorted(found, key=lambda one: one[2])


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
