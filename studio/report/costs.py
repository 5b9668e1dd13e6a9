"""The cost of a session as a section of text, and as data: planned beside real."""

from __future__ import annotations

from typing import Any

from studio.plaintext import clean
from studio.quantity.kinds import money_text
from studio.report.printing import Row, Section, Span, picked, row
from studio.session.after.real_cost import CostRow, RealCost, real_cost
from studio.session.state import State

LABEL, MONEY = 16, 12
"""Cells for what it is, and for an amount."""
STAND_IN = "as planned"


def cost_section(state: State) -> Section:
    """`cost`: a head, a row for each part, and what is left out or left over."""
    cost = real_cost(state)
    if cost is None:
        return Section("cost", ())
    heads = row(
        (f"{'in ' + clean(cost.currency, limit=8):<{LABEL}} ", "quiet"),
        (f"{'planned':>{MONEY}} ", "quiet"),
        (f"{'real':>{MONEY}}", "quiet"),
    )
    return Section("cost", (heads, *(_row(part, cost) for part in cost.rows), *_below(cost)))


def _row(part: CostRow, cost: RealCost) -> Row:
    planned = "-" if part.planned is None else _amount(part.planned, cost.currency)
    return row(
        (f"{part.label:<{LABEL}} ", "plain"),
        (f"{planned:>{MONEY}} ", "quiet"),
        (f"{_amount(part.real, cost.currency):>{MONEY}}", "strong"),
        ("" if part.measured or part.id in ("total", "per_100g") else f"  {STAND_IN}", "due"),
    )


def _amount(money: float, currency: str) -> str:
    return money_text(money, currency, named=False)


def _below(cost: RealCost) -> tuple[Row, ...]:
    rows: list[Row] = []
    if cost.missing:
        rows.append(row((clean(cost.missing, limit=400), "due")))
    if cost.price is not None and cost.margin_percent is not None:
        asked = clean(money_text(cost.price, cost.currency), limit=40)
        rows.append(row(*_left(asked, cost.price, cost.margin_percent, cost)))
    return tuple(rows)


def _left(asked: str, price: float, margin_percent: float, cost: RealCost) -> tuple[Span, ...]:
    """What a price leaves, in words: a price below the cost is a loss."""
    if margin_percent <= 0:
        lost = money_text(-margin_percent / 100.0 * price, cost.currency)
        return (f"loss at {asked}: ", "quiet"), (clean(lost, limit=40), "danger")
    return (f"margin at {asked}: ", "quiet"), (f"{margin_percent:.1f} %", "strong")


def cost_data(state: State) -> dict[str, Any] | None:
    """The same for JSON, unrounded; None where the plan counted no costs."""
    cost = real_cost(state)
    if cost is None:
        return None
    return {
        "currency": cost.currency,
        "missing": cost.missing,
        "price_suggested": cost.price,
        "gross_margin_percent": cost.margin_percent,
        "rows": [picked(part, "id", "planned", "real", "measured", "because") for part in cost.rows],
    }
