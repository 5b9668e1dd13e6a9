"""Everything worked out of a plan, before it becomes cautions, a procedure and a worksheet.

Each method has its own way through the figures; `_WAYS` is the one place that tells them apart.
"""

from __future__ import annotations

from collections.abc import Callable

import msgspec

from studio.plan import model
from studio.plan.figures_bath import BathWork, work_bath
from studio.plan.figures_cool import CoolWork, steamed_packet, work_cool
from studio.plan.figures_cost import CostWork, work_cost
from studio.plan.figures_energy import bath_energy, oven_energy, steam_energy
from studio.plan.figures_fibre import FibreWork, work_fibre
from studio.plan.figures_kettle import HeatWork, work_bath_cool, work_heat
from studio.plan.figures_microwave import MicrowaveWork, microwaved_packet, work_microwave
from studio.plan.figures_paint import ColourLiquid, PaintWork, with_later, work_paint
from studio.plan.figures_presoak import PresoakWork, work_presoak
from studio.plan.figures_room import work_room
from studio.plan.figures_set import SetWork, work_set
from studio.plan.figures_stocks import StocksWork, work_stocks
from studio.plan.settled import Settled
from studio.plan.shapes import Figure


class KettleWork(msgspec.Struct, frozen=True, kw_only=True):
    bath: BathWork
    heat: HeatWork


class Worked(msgspec.Struct, frozen=True, kw_only=True):
    settled: Settled
    fibre: FibreWork
    presoak: PresoakWork
    liquids: tuple[ColourLiquid, ...]
    stocks: StocksWork
    paint: PaintWork | None = None
    """None in a kettle."""
    steam: SetWork | None = None
    kettle: KettleWork | None = None
    microwave: MicrowaveWork | None = None
    """One of the three is there, by the method."""
    cool: CoolWork
    cost: CostWork

    @property
    def soured(self) -> PresoakWork | BathWork:
        """Where the acid goes: the presoak, or the kettle's bath."""
        return self.presoak if self.kettle is None else self.kettle.bath

    @property
    def figures(self) -> tuple[Figure, ...]:
        """Every figure, in the order of work."""
        kettle = () if self.kettle is None else (self.kettle.bath, self.kettle.heat)
        parts = {
            "fibre": self.fibre.figures,
            "presoak": self.presoak.figures,
            "stocks": self.stocks.figures,
            "paint": self.paint.figures if self.paint else (),
            "set": self.steam.figures if self.steam else (),
            "kettle": tuple(figure for work in kettle for figure in work.figures),
            "microwave": self.microwave.figures if self.microwave else (),
            "cool and rinse": self.cool.figures,
            "cost": self.cost.figures,
        }
        return tuple(
            msgspec.structs.replace(figure, part=name) for name, own in parts.items() for figure in own
        )


def work_all(settled: Settled) -> Worked:
    """All figures of a settled plan."""
    return _WAYS[settled.plan.method](settled)


def _painted(settled: Settled) -> tuple[PaintWork, PresoakWork, StocksWork]:
    room = work_room(settled)
    stocks = work_stocks(settled, room)
    paint = work_paint(settled, room, stocks)
    return paint, work_presoak(settled), with_later(settled, stocks, paint)


def _steamed(settled: Settled) -> Worked:
    paint, presoak, stocks = _painted(settled)
    steam = work_set(settled)
    return Worked(
        settled=settled,
        fibre=work_fibre(settled),
        presoak=presoak,
        liquids=paint.colours,
        paint=paint,
        stocks=stocks,
        steam=steam,
        cool=work_cool(settled, steamed_packet(settled), steam.steam_c, paint.target_percent),
        cost=work_cost(settled, presoak, stocks, steam_energy(settled, steam, paint)),
    )


def _microwaved(settled: Settled) -> Worked:
    paint, presoak, stocks = _painted(settled)
    made = work_microwave(settled, paint)
    return Worked(
        settled=settled,
        fibre=work_fibre(settled),
        presoak=presoak,
        liquids=paint.colours,
        paint=paint,
        stocks=stocks,
        microwave=made,
        cool=work_cool(settled, microwaved_packet(settled), made.end_c, paint.target_percent),
        cost=work_cost(settled, presoak, stocks, oven_energy(settled, made)),
    )


def _in_a_kettle(settled: Settled) -> Worked:
    stocks = work_stocks(settled, None)
    bath, presoak = work_bath(settled, stocks), work_presoak(settled)
    heat = work_heat(settled, bath)
    return Worked(
        settled=settled,
        fibre=work_fibre(settled),
        presoak=presoak,
        liquids=(bath.liquid,),
        stocks=stocks,
        kettle=KettleWork(bath=bath, heat=heat),
        cool=work_bath_cool(settled, bath, heat.top_c),
        cost=work_cost(settled, bath, stocks, bath_energy(settled, heat)),
    )


_WAYS: dict[str, Callable[[Settled], Worked]] = {
    model.STEAM: _steamed,
    model.KETTLE: _in_a_kettle,
    model.MICROWAVE: _microwaved,
}
