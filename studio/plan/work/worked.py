"""Everything worked out of a plan, before it becomes cautions, a procedure and a worksheet."""

from __future__ import annotations

import msgspec

from studio.plan.settled import Settled
from studio.plan.shapes import Added, Figure, Origin, Role, StageId, weakest
from studio.plan.ways import MORE, ColourLiquid, Goods, Heat, Method, method_of
from studio.plan.work.costs import CostWork, work_cost
from studio.plan.work.energy import CoolWork
from studio.plan.work.fibre import FibreWork, work_fibre
from studio.plan.work.presoak import PresoakWork, work_presoak
from studio.plan.work.souring import Soured
from studio.plan.work.stocks import StocksWork, work_stocks


class Worked(msgspec.Struct, frozen=True, kw_only=True):
    settled: Settled
    method: Method
    fibre: FibreWork
    presoak: PresoakWork
    stocks: StocksWork
    put: Goods
    heat: Heat
    cool: CoolWork
    cost: CostWork

    @property
    def liquids(self) -> tuple[ColourLiquid, ...]:
        """Each colour as it is put on."""
        return self.put.colours

    @property
    def soured(self) -> Soured:
        """Where the acid goes."""
        return self.put.soured or self.presoak.soured

    @property
    def acid_poured(self) -> tuple[StageId, Role, tuple[str, ...]]:
        """Stage, role and subjects of the steps that open the acid: soak or bath, else the paint that has some."""
        paint = tuple(liquid.colour.plan.slug for liquid in self.liquids if liquid.added("acid"))
        if paint and self.soured.acid_amount <= 0:
            return "colour", "mix", paint
        return self.method.put_on.acid_at, "acid", ()

    def jars_of(self, dye: str) -> tuple[str, ...]:
        """The jars that are made of a dye, as steps and cautions name them."""
        return tuple(work.stock.slug for work in self.stocks.stocks if work.stock.dye.name == dye)

    @property
    def figures(self) -> tuple[Figure, ...]:
        """Every figure, in the order of work."""
        parts = (
            ("fibre", self.fibre.figures),
            ("presoak", self.presoak.figures),
            ("stocks", self.stocks.figures),
            (self.method.put_on.part, self.put.figures),
            (self.method.set_by.table, self.heat.figures),
            ("cool and rinse", self.cool.figures),
            ("cost", self.cost.figures),
        )
        return tuple(msgspec.structs.replace(figure, part=name) for name, own in parts for figure in own)


def work_all(settled: Settled) -> Worked:
    """All figures of a settled plan."""
    method = method_of(settled)
    put_on, set_by = method.put_on, method.set_by
    room = put_on.room(settled)
    stocks, presoak = work_stocks(settled, room), work_presoak(settled)
    put = put_on.work(settled, room, stocks, presoak)
    stocks = put_on.with_later(settled, stocks, put)
    heat = set_by.work(settled, put)
    poured = dict[Added, tuple[float, Origin]]()
    for what, more in MORE.items():
        amount = sum(liquid.added(what) for liquid in put.colours)
        origins = [liquid.added_by[what] for liquid in put.colours if what in liquid.added_by]
        if what == "acid":
            sour = put.soured or presoak.soured
            amount, origins = amount + sour.acid_amount, [sour.origin, *origins]
        if what != "acid" or not put.soured:  # else counted with its bath
            amount += settled.measured.get(more, 0.0)
        poured[what] = amount, weakest("plan", *origins)
    return Worked(
        settled=settled,
        method=method,
        fibre=work_fibre(settled),
        presoak=presoak,
        stocks=stocks,
        put=put,
        heat=heat,
        cool=set_by.cool(settled, put, heat),
        cost=work_cost(settled, poured, stocks, set_by.energy(settled, put, heat)),
    )
