"""The parts of a cost: base, dye, acid, energy and labour, each with its price or the word for what is missing."""

from __future__ import annotations

import msgspec

from studio.plan.figure_text import num
from studio.plan.figures_energy import EnergyUse
from studio.plan.figures_stocks import StocksWork, StockWork
from studio.plan.hands_on import ESTIMATE, hands_on_stages, hands_on_words
from studio.plan.settled import Known, Settled
from studio.plan.shapes import Origin
from studio.plan.ways import Soured, method_of

ON_SHELF = "prices on the shelf"


class CostPart(msgspec.Struct, frozen=True, kw_only=True):
    """One part of the cost; money is None where its price is not known."""

    id: str
    label: str
    money: float | None
    because: str = ""
    origin: Origin = "yours"
    source: str = ON_SHELF
    missing: tuple[str, ...] = ()
    """Prices that are not known, in words."""


def work_hands_on(settled: Settled, stocks: StocksWork) -> Known:
    """Minutes of hands-on work for the plan."""
    used = [work for work in stocks.stocks if work.volume_ml > 0]
    powders = sum(work.stock.dye.powder and work.drops is None for work in used)
    painted_g = sum(colour.fibre_g for colour in settled.colours)
    ready, pieces = len(used) - powders, settled.pieces
    stages = hands_on_stages(method_of(settled), powders, ready, len(settled.colours), painted_g, pieces)
    minutes, told = sum(stage.minutes for stage in stages), f"{ESTIMATE}: {hands_on_words(stages)}"
    worked = settled.measured.get("labour.hands_on")
    if worked is not None:
        return Known(worked, "measured", "time between the steps of this session, without waits and breaks")
    own = settled.own("hands-on")
    if own is None:
        return Known(minutes, "estimate", told)
    return Known(minutes * own.value / 100.0, own.origin, f"{num(own.value)} % of that: {own.source}; {told}")


def pieces_of(settled: Settled) -> float | None:
    """Skeins or blanks of the base that the plan's weight comes to, whatever they weigh at last; None where that is
    not known."""
    base = settled.base
    if settled.pieces > 1:
        return float(settled.pieces)
    return (
        settled.dry_g / settled.scale / base.dry_weight_g if base is not None and base.dry_weight_g else None
    )


def base_part(settled: Settled) -> CostPart:
    base = settled.base
    if base is None or base.price is None:
        name = f"the base {base.name}" if base is not None else "the yarn (name a base of the shelf)"
        return CostPart(id="base", label="undyed base", money=None, missing=(name,))
    pieces = pieces_of(settled) or 1.0
    money = base.price.per_unit * pieces
    told = f"{num(pieces)} x {base.price.per_unit:.2f} for {base.name} = {money:.2f}"
    return CostPart(id="base", label="undyed base", money=money, because=told)


def dye_part(stocks: StocksWork) -> CostPart:
    """The dye that is mixed, reserve included."""
    terms, missing = [], []
    for work in stocks.stocks:
        if work.volume_ml <= 0 and not work.taken:
            continue
        name, money = work.stock.dye.name, dye_money(work)
        if money is None:
            missing.append(name)
        else:
            paid = " (a leftover jar, paid for before)" if work.stock.dye.jar is not None else ""
            terms.append((f"{name}{paid} {money:.4f}", money))
    total = sum(money for _, money in terms)
    because = " + ".join(told for told, _ in terms)
    if missing and not terms:
        return CostPart(id="dye", label="dye", money=None, missing=tuple(dict.fromkeys(missing)))
    return CostPart(
        id="dye",
        label="dye",
        money=total,
        because=f"{because} = {total:.4f}" if because else "",
        missing=tuple(dict.fromkeys(missing)),
    )


def dye_money(work: StockWork) -> float | None:
    """Money in one stock: by weight for powder, by volume for a ready liquid; None without a price."""
    dye = work.stock.dye
    if dye.jar is not None:
        return 0.0
    return None if dye.price is None or work.taken is None else dye.price.per_unit * work.taken


def acid_part(settled: Settled, soured: Soured) -> CostPart:
    acid = settled.acid
    if acid is None or soured.acid_amount <= 0:
        return CostPart(id="acid", label="acid", money=0.0)
    if acid.price is None:
        return CostPart(id="acid", label="acid", money=None, missing=(acid.name,))
    money = acid.price.per_unit * soured.acid_amount
    told = (
        f"{num(soured.acid_amount)} {acid.unit} of {acid.name} x {num(acid.price.money)} / "
        f"{num(acid.price.amount)} {acid.unit} = {money:.4f}"
    )
    return CostPart(id="acid", label="acid", money=money, because=told)


def energy_part(settled: Settled, use: EnergyUse) -> CostPart:
    price = settled.shelf.studio.energy_price
    if price is None:
        return CostPart(id="energy", label="energy", money=None, missing=("energy (energy_price)",))
    money = use.kwh * price
    told = f"{use.because}; {num(use.kwh)} kWh x {num(price)} = {money:.4f}"
    return CostPart(
        id="energy", label="energy", money=money, because=told, origin="estimate", source=use.source
    )


def labour_part(settled: Settled, hands_on: Known) -> CostPart:
    rate = settled.shelf.studio.hourly_rate
    if rate is None:
        return CostPart(id="labour", label="labour", money=None, missing=("labour (hourly_rate)",))
    money = hands_on.value / 60.0 * rate
    return CostPart(
        id="labour",
        label="labour",
        money=money,
        because=f"{num(hands_on.value)} min of hands-on work / 60 x {rate:.2f} an hour = {money:.2f}",
        origin=hands_on.origin,
        source=hands_on.source,
    )
