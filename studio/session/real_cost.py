"""What a session really cost, by what was weighed, poured and timed, at the prices of the day it was planned."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from studio.craft import energy, pricing
from studio.plan.cost_facts import CostFacts, DyePrice
from studio.plan.facts import ProcedureFacts, StockFacts
from studio.session.bench_totals import min_in_steam, steam_lost_min
from studio.session.hands_on import hands_on_min
from studio.session.live.bath import acid_in_bath
from studio.session.live.given import heat_stage, measured
from studio.session.state import State

PartId = Literal["base", "dye", "acid", "energy", "labour", "total", "per_100g"]
WATER_C = 20.0
"""Water that is filled up while it steams; cold tap water would take a little more. Estimate."""


HOLDS = ("hold", "hold-2", "hold-3")
"""The clocks of a bath at its top, in each set."""


@dataclass(frozen=True, slots=True)
class CostRow:
    """One part of the cost, planned and real."""

    id: PartId
    label: str
    planned: float | None
    """By the worksheet; None where it had no such figure."""
    real: float | None
    """None where it has no price, or the session has not come to it."""
    because: str
    measured: bool
    """False where the plan's number stands in for one that was not measured."""


@dataclass(frozen=True, slots=True)
class RealCost:
    """All parts, and what they leave of the price that was suggested."""

    currency: str
    rows: tuple[CostRow, ...]
    missing: tuple[str, ...]
    """Parts without a price, in words."""
    price: float | None = None
    """Suggested by the plan for one piece, or for the lot."""
    margin_percent: float | None = None
    """Gross margin that this price leaves after the real cost."""

    def row(self, part: PartId) -> CostRow | None:
        """The row of that part."""
        return next((row for row in self.rows if row.id == part), None)


def real_cost(state: State) -> RealCost | None:
    """The cost of a session; None where its plan counted none.

    A part that was not measured keeps the plan's amount and says so; a part without a price is left out.
    **Source:** arithmetic on measurements and on the prices kept with the plan; energy as in `craft.energy`.
    """
    facts = state.worksheet.facts
    cost = facts.cost if facts is not None else None
    if facts is None or cost is None:
        return None
    found = (
        _base(state, cost),
        _dye(state, facts, cost),
        _acid(state, facts, cost),
        _energy(state, cost),
        _labour(state, cost),
    )
    parts = tuple(row for row in found if row is not None)
    total = sum(row.real for row in parts if row.real is not None)
    rows = (*parts, *_together(state, facts, parts, total))
    price = _planned(state, "price.suggested")
    margin = None if cost.missing else _margin(price, total / cost.pieces if cost.pieces else total)
    return RealCost(cost.currency, rows, cost.missing, price, margin)


def _margin(price: float | None, cost: float) -> float | None:
    """% of the price; None without a price, or where a file that was changed by hand holds money beyond measure."""
    if not price:
        return None
    try:
        return pricing.gross_margin_percent(price, cost)
    except ValueError:
        return None


def _planned(state: State, figure_id: str) -> float | None:
    figure = state.worksheet.figure(figure_id)
    return None if figure is None else figure.value


def _row(
    state: State, part: PartId, label: str, real: float | None, because: str, was_measured: bool
) -> CostRow | None:
    planned = _planned(state, f"cost.{part}")
    if planned is None and real is None:
        return None
    return CostRow(part, label, planned, real, because, was_measured)


def _base(state: State, cost: CostFacts) -> CostRow | None:
    return _row(state, "base", "undyed base", cost.base_money, "as bought, by the piece", True)


def _dye(state: State, facts: ProcedureFacts, cost: CostFacts) -> CostRow | None:
    """What was weighed, counted or poured off; paint mixed later took its stock from the same dyes."""
    stocks = {stock.slug: stock for colour in facts.colours for stock in colour.stocks}
    planned_ml = {colour.slug: colour.stock_ml for colour in facts.colours}
    money, told, all_measured = 0.0, [], True
    for dye in cost.dyes:
        used, was_measured = _used(state, dye, stocks.get(dye.slug))
        later_ml = sum(b.stock_ml for b in state.batches if b.colour == dye.colour)
        if later_ml and planned_ml.get(dye.colour):
            used += dye.planned * later_ml / planned_ml[dye.colour]
        money += used * dye.per_unit
        all_measured = all_measured and was_measured
        told.append(f"{used:.4g} {dye.unit} {dye.slug} x {dye.per_unit:.4g}")
    if not cost.dyes and _planned(state, "cost.dye") is None:
        return None
    because = " + ".join(told) + f" = {money:.2f}" if told else "from jars paid for before"
    return _row(state, "dye", "dye", money, because, all_measured)


def _used(state: State, dye: DyePrice, stock: StockFacts | None) -> tuple[float, bool]:
    """g or mL of a dye for its stock, and whether it was measured; a ready liquid goes by the stock made of it."""
    if stock is None:
        return dye.planned, False
    if stock.drops:
        counted = measured(state, f"stocks.{dye.slug}.drops")
        return (dye.planned * counted / stock.drops, True) if counted is not None else (dye.planned, False)
    if dye.unit == "g":
        weighed = measured(state, f"stocks.{dye.slug}.dye")
        return (weighed, True) if weighed is not None else (dye.planned, False)
    made_ml = measured(state, f"stocks.{dye.slug}.volume")
    if made_ml is None or not stock.volume_ml:
        return dye.planned, False
    return dye.planned * made_ml / stock.volume_ml, True


def _acid(state: State, facts: ProcedureFacts, cost: CostFacts) -> CostRow | None:
    if cost.acid_per_unit is None or facts.acid_amount <= 0:
        return None
    poured = measured(state, "presoak.acid") if facts.kettle is None else acid_in_bath(state, facts)
    amount = facts.acid_amount if poured is None else poured
    unit = "mL" if facts.acid_state == "liquid" else "g"
    money = amount * cost.acid_per_unit
    told = f"{amount:.4g} {unit} x {cost.acid_per_unit:.4g} = {money:.2f}"
    return _row(state, "acid", "acid", money, told, poured is not None)


def _energy(state: State, cost: CostFacts) -> CostRow | None:
    """Heating up as planned, for each set; the hold as long as the steam really ran or was lost."""
    if cost.energy_price is None:
        return None
    heated_min = _heated_min(state)
    held_min = heated_min + steam_lost_min(state) if heated_min else cost.hold_min
    filled_ml = sum(poured.ml for poured in state.refills)
    live = state.worksheet.facts.live if state.worksheet.facts else None
    boil_c = live.steam_c if live is not None else 100.0
    filled_j = energy.sensible_j(filled_ml, WATER_C, boil_c)
    up_kwh = cost.heat_up_kwh * state.sets + energy.kwh(filled_j, cost.efficiency)
    kwh = up_kwh + energy.held_kwh(cost.heater_w, min(10_000.0, held_min))
    money = kwh * cost.energy_price
    told = (
        f"{up_kwh:.3g} kWh to heat up + {cost.heater_w:.4g} W x {held_min:.3g} min = {kwh:.3g} kWh, "
        f"x {cost.energy_price:.4g} = {money:.2f}"
    )
    return _row(state, "energy", "energy", money, told, heated_min > 0)


def _heated_min(state: State) -> float:
    """Minutes the heat was held: steam, a bath at its top, or the bursts of an oven."""
    if heat_stage(state) == "steam":
        return min_in_steam(state)
    return sum(
        (timer.stopped_after_s or 0.0) / 60.0
        for timer in state.timers.values()
        if timer.id in HOLDS or timer.id.startswith(("hold-more", "burst-"))
    )


def _labour(state: State, cost: CostFacts) -> CostRow | None:
    if cost.hourly_rate is None:
        return None
    minutes = hands_on_min(state)
    was_measured = minutes > 0
    if not was_measured:
        minutes = cost.hands_on_min
    money = minutes / 60.0 * cost.hourly_rate
    told = f"{minutes:.3g} min hands-on / 60 x {cost.hourly_rate:.2f} = {money:.2f}"
    return _row(state, "labour", "labour", money, told, was_measured)


def _together(
    state: State, facts: ProcedureFacts, parts: tuple[CostRow, ...], total: float
) -> tuple[CostRow, ...]:
    dry_g = measured(state, "ready.weight") or facts.dry_weight_g
    was_measured = all(row.measured for row in parts)
    said = " + ".join(f"{row.id} {row.real:.2f}" for row in parts if row.real is not None)
    each = total / dry_g * 100.0
    return (
        CostRow(
            "total", "the lot", _planned(state, "cost.total"), total, f"{said} = {total:.2f}", was_measured
        ),
        CostRow(
            "per_100g",
            "100 g",
            _planned(state, "cost.per_100g"),
            each,
            f"{total:.2f} / {dry_g:.4g} g x 100 g = {each:.2f}",
            was_measured,
        ),
    )
