"""What a session really cost: the sheet worked once more, with what was weighed, poured and timed, at the prices of
the day it was planned."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from studio.craft import pricing
from studio.plan.shapes import ClockRole
from studio.session.bench_totals import min_in_steam, steam_lost_min
from studio.session.hands_on import hands_on_min
from studio.session.live.given import allowed
from studio.session.sheet import sheet_now
from studio.session.state import State
from studio.session.used_up import asked_at
from studio.shelf.shopping import uses

PartId = Literal["base", "dye", "acid", "energy", "labour", "total", "per_100g"]
LABELS: dict[PartId, str] = {"base": "undyed base", "total": "the lot", "per_100g": "100 g"}
HELD: frozenset[ClockRole] = frozenset({"hold", "hold on", "burst"})
"""The clocks of a bath at its top, in each set."""


@dataclass(frozen=True, slots=True)
class CostRow:
    """One part of the cost, planned and real."""

    id: PartId
    label: str
    planned: float | None
    """By the worksheet as it was begun; None where it had no such figure."""
    real: float
    because: str
    measured: bool
    """False where the plan's number stands in for one that was not measured."""


@dataclass(frozen=True, slots=True)
class RealCost:
    """All parts, and what they leave of the price that was suggested."""

    currency: str
    rows: tuple[CostRow, ...]
    missing: str
    """What has no price, in a sentence; empty where all have one."""
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
    **Source:** the figures of the plan's own cost, over the amounts that were measured.
    """
    sheet = sheet_now(state, spent(state))
    total = sheet.figure("cost.total")
    if total is None:
        return None
    standing = _measured(state)
    rows: list[CostRow] = []
    for part in get_args(PartId):
        figure, planned = sheet.figure(f"cost.{part}"), state.worksheet.figure(f"cost.{part}")
        if figure is not None:
            measured = standing.get(part, all(row.measured for row in rows))
            before = None if planned is None else planned.value
            rows.append(CostRow(part, LABELS.get(part, part), before, figure.value, figure.because, measured))
    suggested, left_out = (
        state.worksheet.figure("price.suggested"),
        state.worksheet.caution("cost.incomplete"),
    )
    price = None if suggested is None else suggested.value
    margin = _margin(price, (sheet.figure("cost.per_piece") or total).value)
    missing = "" if left_out is None else left_out.text
    return RealCost(total.currency, tuple(rows), missing, price, margin)


def _measured(state: State) -> dict[str, bool]:
    """Whether each part was measured; a base is bought by the piece, whatever it weighs."""
    timed = spent(state)
    found = {"base": True, "energy": "energy.held" in timed, "labour": "labour.hands_on" in timed}
    for use in uses(state.choices):
        part = "acid" if use.kind == "acid" else "dye"
        steps = [step for asks in use.asks if (step := asked_at(state, asks)) is not None]
        if use.kind != "base":
            found[part] = found.get(part, True) and all(record.value is not None for record, _ in steps)
    return found


def _margin(price: float | None, cost: float) -> float | None:
    """% of the price; None without a price, or where a file that was changed by hand holds money beyond measure."""
    if not price:
        return None
    try:
        return pricing.gross_margin_percent(price, cost)
    except ValueError:
        return None


def spent(state: State) -> dict[str, float]:
    """What the clocks and the kettle tell of hands, heat and water, by the paths the cost is worked out from.

    Nothing for what has not begun: its planned amount stands.
    """
    filled_ml, hands_min, held_min = (
        sum(p.event.ml for p in state.refills),
        hands_on_min(state),
        _heated_min(state),
    )
    found = {"energy.sets": float(state.sets), "energy.filled": filled_ml}
    if held_min > 0:
        found["energy.held"] = held_min + steam_lost_min(state)
    if hands_min > 0:
        found["labour.hands_on"] = hands_min
    return found


def _heated_min(state: State) -> float:
    """Minutes the heat was held: steam, a bath at its top, or the bursts of an oven."""
    if allowed(state, "lose steam"):
        return min_in_steam(state)
    return sum((timer.stopped_after_s or 0.0) / 60.0 for timer in state.timers.values() if timer.role in HELD)
