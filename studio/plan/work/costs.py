"""What a lot costs, part by part, what to ask for it, and how long hands are at work in it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import msgspec

from studio.craft import pot
from studio.plan.materials import AcidAtHand, ThickenerAtHand
from studio.plan.settled import Settled
from studio.plan.shapes import Added, Figure, Known, Origin, fig, listed, num, weakest
from studio.plan.shelf import Price
from studio.plan.ways import Method, method_of
from studio.plan.work.energy import EnergyUse
from studio.plan.work.stocks import StocksWork

# How long hands are at work in a session: by what there is to do, before the studio's own sessions tell.

READY_MIN = 10.0
SOAK_MIN = 5.0
POWDER_MIN = 5.0
READY_STOCK_MIN = 2.0
RINSE_MIN = 12.0
RECORD_MIN = 5.0
"""Minutes with hands on the work, waits left out. All of them estimates of ours."""

COUNTED = "minutes by stage, counted from the jars, colours and grams of the plan"


def hands_on_stages(
    method: Method, powders: int, ready_stocks: int, colours: int, painted_g: float, pieces: int = 1
) -> dict[str, float]:
    """Minutes of hands-on work by stage (estimate).

    powders: jars of powder to weigh and make up; ready_stocks: liquids to pour or drops to count, both 0 and
    more. colours: jars of paint, 0 and more. painted_g: fibre under paint, g, 0 and more. pieces: 1 and more.

    >>> from studio.methods import METHODS
    >>> [sum(hands_on_stages(m, 2, 0, 2, 60.0).values()) for m in METHODS]
    [78.0, 65.0, 90.0]

    **Source:** estimate; linear in what there is to do.
    Breaks with practice, with stripes many and narrow, and with talk: sessions that were kept tell better.
    """
    put_on, set_by = method.put_on, method.set_by
    by_itself = pieces if put_on.has_bands else 1
    return {
        "ready": READY_MIN,
        "presoak": SOAK_MIN,
        "stocks": powders * POWDER_MIN + ready_stocks * READY_STOCK_MIN,
        put_on.stage: put_on.hands_on(colours, painted_g, pieces),
        set_by.stage: set_by.hands_min * by_itself,
        "rinse": RINSE_MIN * by_itself,
        "record": RECORD_MIN,
    }


def hands_on_words(stages: Mapping[str, float]) -> str:
    """`ready 10, presoak 5, ... = 78 min`."""
    parts = ", ".join(f"{stage} {minutes:.3g}" for stage, minutes in stages.items() if minutes > 0)
    return f"{parts} = {sum(stages.values()):.3g} min"


# The parts of a cost: base, dye, acid, energy and labour, each with its price or the word for what is
# missing.

ON_SHELF = "prices on the shelf"


class Packs(msgspec.Struct, frozen=True):
    """So much of what is sold by the pack."""

    name: str
    amount: float
    price: Price

    @property
    def money(self) -> float:
        """For the fraction of a pack that is used."""
        return self.price.per_unit * self.amount

    @property
    def whole(self) -> int:
        """Packs as they are sold that cover it; what is less than 1e-6 of one is nothing."""
        return math.ceil(self.amount / self.price.amount - 1e-6)

    @property
    def told(self) -> str:
        """`studio rust: 0.0157 of a pack of 25 g for 7.80 = 0.1226`."""
        price = self.price
        size = num(price.amount) + ("" if price.unit == "1" else f" {price.unit}")
        share = num(self.amount / price.amount)
        return f"{self.name}: {share} of a pack of {size} for {price.money:.2f} = {self.money:.4f}"


class CostPart(msgspec.Struct, frozen=True, kw_only=True):
    """One part of the cost; money is None where its price is not known."""

    id: str
    label: str = ""
    """What it is called, if not by its id."""
    money: float | None = None
    because: str = ""
    origin: Origin = "yours"
    source: str = ON_SHELF
    missing: tuple[str, ...] = ()
    """Prices that are not known, in words."""
    packs: tuple[Packs, ...] = ()
    """What it takes of packs."""


def work_hands_on(settled: Settled, stocks: StocksWork) -> Known:
    """Minutes of hands-on work for the plan."""
    used = [work for work in stocks.stocks if work.volume_ml > 0]
    powders = sum(work.weighed for work in used)
    painted_g = sum(colour.fibre_g for colour in settled.colours)
    ready, pieces = len(used) - powders, settled.pieces
    stages = hands_on_stages(method_of(settled), powders, ready, len(settled.colours), painted_g, pieces)
    minutes, told = sum(stages.values()), f"{COUNTED}: {hands_on_words(stages)}"
    worked = settled.measured.get("labour.hands_on")
    if worked is not None:
        return Known(worked, "measured", "time between the steps of this session, without waits and breaks")
    own = settled.own("hands-on")
    if own is None:
        return Known(minutes, "estimate", told)
    return Known(minutes * own.value / 100.0, "estimate", f"{num(own.value)} % of that: {own.source}; {told}")


def pieces_of(settled: Settled) -> float | None:
    """Skeins or blanks of the base that the plan's weight comes to, whatever they weigh at last; None where that is
    not known."""
    base = settled.base
    if settled.pieces > 1:
        return float(settled.pieces)
    return (
        settled.dry_g / settled.scale / base.dry_weight_g if base is not None and base.dry_weight_g else None
    )


def _without(missing: Sequence[str]) -> str:
    return f", without {listed(missing)}" if missing else ""


def base_part(settled: Settled) -> CostPart:
    base = settled.base
    if base is None or base.price is None:
        name = f"the base {base.name}" if base is not None else "the yarn (name a base of the shelf)"
        return CostPart(id="base", label="undyed base", missing=(name,))
    packs = Packs(base.name, pieces_of(settled) or 1.0, base.price)
    return CostPart(id="base", label="undyed base", money=packs.money, because=packs.told, packs=(packs,))


def dye_part(stocks: StocksWork) -> CostPart:
    """The dye that is mixed, reserve included."""
    paid, missing, packs = [], [], list[Packs]()
    for work in stocks.stocks:
        if work.volume_ml <= 0 and not work.taken:
            continue
        dye = work.stock.dye
        if dye.jar is not None:
            paid.append(f"{dye.name}: a leftover jar, paid for before")
        elif dye.price is None or work.taken is None:
            missing.append(dye.name)
        else:
            packs.append(Packs(dye.name, work.taken, dye.price))
    total, because = sum(pack.money for pack in packs), "; ".join([*paid, *(pack.told for pack in packs)])
    return CostPart(
        id="dye",
        money=total if because or not missing else None,
        because=f"{because}; together {total:.4f}" if because else "",
        origin=weakest("yours", *(work.origin for work in stocks.stocks)),
        missing=tuple(dict.fromkeys(missing)),
        packs=tuple(packs),
    )


def added_part(what: Added, at_hand: AcidAtHand | ThickenerAtHand, amount: float, of: Origin) -> CostPart:
    """The acid or the gum that is poured."""
    if amount <= 0:
        return CostPart(id=what, money=0.0)
    if at_hand.price is None:
        return CostPart(id=what, missing=(at_hand.name,))
    packs, origin = Packs(at_hand.name, amount, at_hand.price), weakest("yours", of)
    return CostPart(id=what, money=packs.money, because=packs.told, origin=origin, packs=(packs,))


def energy_part(settled: Settled, use: EnergyUse) -> CostPart:
    price = settled.shelf.studio.energy_price
    if price is None:
        return CostPart(id="energy", missing=("electricity per kWh",))
    money = use.kwh * price
    told = f"{use.because}; {num(use.kwh)} kWh x {num(price)} = {money:.4f}"
    return CostPart(id="energy", money=money, because=told, origin="estimate", source=use.source)


def labour_part(settled: Settled, hands_on: Known) -> CostPart:
    rate = settled.shelf.studio.hourly_rate
    if rate is None:
        return CostPart(id="labour", missing=("your hourly rate",))
    money = hands_on.value / 60.0 * rate
    return CostPart(
        id="labour",
        money=money,
        because=f"{num(hands_on.value)} min of hands-on work / 60 x {rate:.2f} an hour = {money:.2f}",
        origin=hands_on.origin,
        source=hands_on.source,
    )


# What a lot costs, part by part, and what to ask for it; a part without a price is left out and named.

MARGIN = "gross margin = (price - cost) / price, markup = (price - cost) / cost: common practice of the trade"


class CostWork(msgspec.Struct, frozen=True, kw_only=True):
    figures: tuple[Figure, ...] = ()
    missing: tuple[str, ...] = ()
    """Prices that are not known; empty also where the studio counts no costs."""


def work_cost(
    settled: Settled, poured: Mapping[Added, tuple[float, Origin]], stocks: StocksWork, energy: EnergyUse
) -> CostWork:
    """cost.base, .dye, .acid, .thickener, .energy, .labour, .total, .per_100g, .per_piece and price.suggested.

    Nothing where the studio has no currency, or no price at all. A leftover jar was paid for before.
    """
    parts = (
        base_part(settled),
        dye_part(stocks),
        *(added_part(what, thing, *poured[what]) for what, thing in settled.added.items()),
        energy_part(settled, energy),
        labour_part(settled, work_hands_on(settled, stocks)),
    )
    known = [part for part in parts if part.money is not None and part.because]
    if not settled.shelf.studio.currency or not any(part.money for part in known):
        return CostWork()
    missing = tuple(name for part in parts for name in part.missing)
    without = tuple(part.id for part in parts if part.missing)
    figures = [*(_figure(settled, part) for part in known), *_together(settled, known, without)]
    return CostWork(figures=tuple(figures), missing=missing)


def _money(settled: Settled, figure: Figure) -> Figure:
    return msgspec.structs.replace(figure, currency=settled.shelf.studio.currency)


def _figure(settled: Settled, part: CostPart) -> Figure:
    label = f"{part.label or part.id}{_without(part.missing)}"
    return _money(
        settled, fig(f"cost.{part.id}", part.money or 0.0, "1", label, part.because, part.origin, part.source)
    )


def _together(settled: Settled, known: Sequence[CostPart], without: Sequence[str]) -> list[Figure]:
    """Totals; the price only where nothing is left out."""
    total = sum(part.money or 0.0 for part in known)
    origin = weakest(*(part.origin for part in known))
    tail = _without(without)
    said = " + ".join(f"{part.id} {part.money:.2f}" for part in known) + f" = {total:.2f}"
    source = f"sum of the parts{', those without a price left out' if without else ''}"
    dry_g, pieces = settled.dry_g, pieces_of(settled)
    bought, told_packs = _in_whole_packs(known)
    per_100g = total / dry_g * 100.0
    found = [
        fig("cost.total", total, "1", f"cost of the lot{tail}", said + tail, origin, source),
        fig("cost.packs", bought, "1", f"the lot, bought in whole packs{tail}", told_packs, origin, source),
        fig(
            "cost.per_100g",
            per_100g,
            "1",
            f"cost of 100 g{tail}",
            f"{total:.2f} / {num(dry_g)} g x 100 g = {per_100g:.2f}",
            origin,
            source,
        ),
    ]
    if pieces:
        told = f"{total:.2f} / {num(pieces)} = {total / pieces:.2f}"
        label = f"cost of one {settled.form}{tail}"
        found.append(fig("cost.per_piece", total / pieces, "1", label, told, origin, source))
    if settled.shelf.studio.margin_percent is not None and not without:
        found.append(_price(settled, total, pieces, origin))
    return [_money(settled, figure) for figure in found]


def _in_whole_packs(known: Sequence[CostPart]) -> tuple[float, str]:
    """The lot if all that is sold by the pack were bought for it, and how that is told."""
    taken: dict[str, Packs] = {}
    for pack in (pack for part in known for pack in part.packs):
        before = taken.get(pack.name)
        taken[pack.name] = (
            pack if before is None else msgspec.structs.replace(pack, amount=before.amount + pack.amount)
        )
    terms = []
    for name, pack in taken.items():
        money = pack.whole * pack.price.money
        terms.append((f"{pack.whole} of {name} {money:.2f}", money))
    terms += [(f"{part.id} {part.money:.2f}", part.money or 0.0) for part in known if not part.packs]
    total = sum(money for _, money in terms)
    return total, " + ".join(told for told, _ in terms) + f" = {total:.2f}"


def _price(settled: Settled, total: float, pieces: float | None, origin: Origin) -> Figure:
    """For one piece where pieces are known, else for the lot."""
    margin = settled.shelf.studio.margin_percent or 0.0
    cost = total / pieces if pieces else total
    price = pot.price_for_margin(cost, margin)
    return fig(
        "price.suggested",
        price,
        "1",
        f"price suggested for {f'one {settled.form}' if pieces else 'the lot'}",
        f"{cost:.2f} / (1 - {num(margin)} / 100) = {price:.2f}: a margin of {num(margin)} % of the price, which "
        f"is a markup of {num(pot.markup_percent(margin))} % on cost; fees, postage and tax are not in it",
        origin,
        f"margin on the shelf; {MARGIN}",
    )
