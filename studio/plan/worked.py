"""Everything worked out of a plan, before it becomes cautions, a procedure and a worksheet."""

from __future__ import annotations

import msgspec

from studio.plan.figures_cool import CoolWork, work_cool
from studio.plan.figures_cost import CostWork, work_cost
from studio.plan.figures_energy import steam_energy
from studio.plan.figures_fibre import FibreWork, work_fibre
from studio.plan.figures_paint import PaintWork, work_paint
from studio.plan.figures_presoak import PresoakWork, work_presoak
from studio.plan.figures_set import SetWork, work_set
from studio.plan.figures_stocks import StocksWork, work_stocks
from studio.plan.settled import Settled
from studio.plan.shapes import Figure


class Worked(msgspec.Struct, frozen=True, kw_only=True):
    settled: Settled
    fibre: FibreWork
    presoak: PresoakWork
    paint: PaintWork
    stocks: StocksWork
    steam: SetWork
    cool: CoolWork
    cost: CostWork

    @property
    def figures(self) -> tuple[Figure, ...]:
        """Every figure, in the order of work."""
        parts = (self.fibre, self.presoak, self.stocks, self.paint, self.steam, self.cool)
        return (*(figure for part in parts for figure in part.figures), *self.cost.figures)


def work_all(settled: Settled) -> Worked:
    """All figures of a settled plan."""
    paint = work_paint(settled)
    presoak = work_presoak(settled)
    stocks = work_stocks(settled, paint)
    steam = work_set(settled)
    return Worked(
        settled=settled,
        fibre=work_fibre(settled),
        presoak=presoak,
        paint=paint,
        stocks=stocks,
        steam=steam,
        cool=work_cool(settled, steam.steam_c, paint.target_percent),
        cost=work_cost(settled, presoak, stocks, steam_energy(settled, steam, paint)),
    )
