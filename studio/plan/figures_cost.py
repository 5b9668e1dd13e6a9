"""What a lot costs, part by part, and what to ask for it; a part without a price is left out and named."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from studio.craft import pricing
from studio.plan.cost_parts import (
    CostPart,
    acid_part,
    base_part,
    dye_part,
    energy_part,
    labour_part,
    pieces_of,
    work_hands_on,
)
from studio.plan.figure_text import fig, num
from studio.plan.figures_energy import EnergyUse
from studio.plan.figures_stocks import StocksWork
from studio.plan.settled import Settled
from studio.plan.shapes import Figure, Origin
from studio.plan.ways import Soured

MARGIN = "gross margin = (price - cost) / price, markup = (price - cost) / cost: common practice of the trade"


class CostWork(msgspec.Struct, frozen=True, kw_only=True):
    figures: tuple[Figure, ...] = ()
    missing: tuple[str, ...] = ()
    """Prices that are not known; empty also where the studio counts no costs."""


def work_cost(settled: Settled, soured: Soured, stocks: StocksWork, energy: EnergyUse) -> CostWork:
    """cost.base, .dye, .acid, .energy, .labour, .total, .per_100g, .per_piece and price.suggested.

    Nothing where the studio has no currency, or no price at all. A leftover jar was paid for before.
    """
    parts = (
        base_part(settled),
        dye_part(stocks),
        acid_part(settled, soured),
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
    label = f"{part.label}, without {_list(part.missing)}" if part.missing else part.label
    return _money(
        settled, fig(f"cost.{part.id}", part.money or 0.0, "1", label, part.because, part.origin, part.source)
    )


def _list(words: Sequence[str]) -> str:
    return " and ".join((", ".join(words[:-1]), words[-1])) if len(words) > 1 else words[0]


def _together(settled: Settled, known: Sequence[CostPart], without: Sequence[str]) -> list[Figure]:
    """Totals; the price only where nothing is left out."""
    total = sum(part.money or 0.0 for part in known)
    origin: Origin = "estimate" if any(part.origin == "estimate" for part in known) else "yours"
    tail = f", without {_list(without)}" if without else ""
    said = " + ".join(f"{part.id} {part.money:.2f}" for part in known) + f" = {total:.2f}"
    source = f"sum of the parts{', those without a price left out' if without else ''}"
    dry_g, pieces = settled.dry_g, pieces_of(settled)
    per_100g = total / dry_g * 100.0
    found = [
        fig("cost.total", total, "1", f"cost of the lot{tail}", said + tail, origin, source),
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


def _price(settled: Settled, total: float, pieces: float | None, origin: Origin) -> Figure:
    """For one piece where pieces are known, else for the lot."""
    margin = settled.shelf.studio.margin_percent or 0.0
    cost = total / pieces if pieces else total
    price = pricing.price_for_margin(cost, margin)
    return fig(
        "price.suggested",
        price,
        "1",
        f"price suggested for {f'one {settled.form}' if pieces else 'the lot'}",
        f"{cost:.2f} / (1 - {num(margin)} / 100) = {price:.2f}: a gross margin of {num(margin)} % of the price, which "
        f"is a markup of {num(pricing.markup_percent(margin))} % on cost; fees, postage and tax are not in it",
        origin,
        f"margin on the shelf; {MARGIN}",
    )
