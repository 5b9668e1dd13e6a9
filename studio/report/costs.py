"""How far a value is off another: in per cent of it, or in its own unit where per cent would mean nothing."""

from __future__ import annotations

from typing import Any

from studio.plaintext import clean
from studio.quantity.kinds import money_text
from studio.quantity.showing import show
from studio.report.printing import Row, Section, row
from studio.session.after.comparing import NO_PER_CENT
from studio.session.after.real_cost import CostRow, RealCost, real_cost
from studio.session.state import State

LEAST_PERCENT, MOST_PERCENT = 0.05, 99_999
"""Less would be written as 0.0; more has no room in a column, and nothing to say. House rule."""


def off_by(value: float | None, of: float | None, unit: str) -> str:
    """`+4.5 %`, `-2` for degrees, pH, rounds and ratings; empty where it is nothing, or one of the two is missing.

    Two values that read alike are not off by anything.

    >>> off_by(104.5, 100.0, "g"), off_by(38.0, 40.0, "degC"), off_by(3.0, 0.0, "mL"), off_by(0.39, 0.3927, "g")
    ('+4.5 %', '-2', '', '')
    """
    if value is None or of is None or show(value, unit) == show(of, unit):
        return ""
    if unit in NO_PER_CENT:
        by = round(value - of, 2)
        return f"{by:+g}" if by else ""
    percent = max(-MOST_PERCENT, min(100 * (value - of) / abs(of), MOST_PERCENT)) if of else 0.0
    if abs(percent) < LEAST_PERCENT:
        return ""
    return f"{percent:+.1f} %" if abs(percent) < 100 else f"{percent:+.0f} %"


# The cost of a session as a section of text, as data and as rows of a table: planned beside real.

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
        asked = money_text(cost.price, cost.currency)
        rows.append(
            row(
                (f"at the {clean(asked, limit=40)} suggested a gross margin of ", "quiet"),
                (f"{cost.margin_percent:.1f} %", "strong" if cost.margin_percent > 0 else "danger"),
                (" of the price is left", "quiet"),
            )
        )
    return tuple(rows)


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
        "rows": [
            {
                "id": part.id,
                "planned": part.planned,
                "real": part.real,
                "measured": part.measured,
                "because": part.because,
            }
            for part in cost.rows
        ],
    }
