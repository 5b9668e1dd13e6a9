"""What the materials cost, where the shelf has a price for every one of them."""

from __future__ import annotations

from studio.plan.figure_text import fig
from studio.plan.figures_presoak import PresoakWork
from studio.plan.figures_stocks import StocksWork, StockWork
from studio.plan.settled import Settled
from studio.plan.shapes import Figure


def work_cost(settled: Settled, presoak: PresoakWork, stocks: StocksWork) -> tuple[Figure, ...]:
    """cost.total in the studio's currency; nothing where one price is missing.

    Base, acid, and the dye that is mixed, reserve included. A leftover jar was paid for before.
    """
    terms: list[tuple[str, float]] = []
    if settled.base is None or settled.base.price is None or not settled.shelf.studio.currency:
        return ()
    pieces = settled.dry_g / settled.base.dry_weight_g if settled.base.dry_weight_g else 1.0
    terms.append((settled.base.name, settled.base.price.per_unit * pieces))
    if settled.acid is not None and presoak.acid_amount > 0:
        if settled.acid.price is None:
            return ()
        terms.append((settled.acid.name, settled.acid.price.per_unit * presoak.acid_amount))
    for work in stocks.stocks:
        money = _dye_money(work)
        if money is None:
            return ()
        if money > 0:
            terms.append((work.stock.dye.name, money))
    total = sum(money for _, money in terms)
    return (
        fig(
            "cost.total",
            total,
            "1",
            f"materials, in {settled.shelf.studio.currency}",
            " + ".join(f"{name} {money:.2f}" for name, money in terms) + f" = {total:.2f}",
            "yours",
            "prices on the shelf",
        ),
    )


def _dye_money(work: StockWork) -> float | None:
    """Money in one stock: by weight for powder, by volume for a ready liquid; None without a price."""
    dye = work.stock.dye
    if dye.jar is not None:
        return 0.0
    if dye.price is None:
        return None
    if dye.price.unit == "g":
        return dye.price.per_unit * work.dye_g if work.dye_g is not None else None
    used = work.volume_ml if work.drops is not None else work.from_jar_ml
    return dye.price.per_unit * used if used is not None else None
