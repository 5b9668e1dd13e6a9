"""Cautions about money: a cost that leaves something out says so."""

from __future__ import annotations

from collections.abc import Iterator

from studio.plan.shapes import Caution
from studio.plan.worked import Worked


def cost_cautions(worked: Worked) -> Iterator[Caution]:
    """cost.incomplete."""
    missing = worked.cost.missing
    if missing:
        yield Caution(
            id="cost.incomplete",
            level="note",
            text=f"The cost leaves out what has no price: {', '.join(missing)}. Write price and pack on the shelf, "
            "the price of a kWh and your hourly rate too; until then no price is suggested.",
            source="the shelf",
        )
