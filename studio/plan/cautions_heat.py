"""Cautions about acid, steam and cooling."""

from __future__ import annotations

from collections.abc import Iterator

from studio.plan.figure_text import brief
from studio.plan.shapes import Caution, Level, StageId
from studio.plan.worked import Worked
from studio.tables import find_hazard

STRONG_ACID_PERCENT = 10.0


def heat_cautions(worked: Worked) -> Iterator[Caution]:
    """acid.* and water.* of every method, and the hazard of leftovers."""
    yield from _acid(worked)
    yield from _water(worked)
    yield from hazard("leftovers", "leftovers.label", "note", "record")


def hazard(row_id: str, caution_id: str, level: Level, stage: StageId) -> Iterator[Caution]:
    """The sentence of the hazards table as a caution."""
    row = find_hazard(row_id)
    if row is not None:
        yield Caution(id=caution_id, level=level, text=row.text, source=row.source, stage=stage)


def _acid(worked: Worked) -> Iterator[Caution]:
    acid = worked.settled.acid
    if acid is None:
        return
    table = worked.settled.plan.sour.table
    stage = worked.method.put_on.acid_at
    if acid.row.kind == "acetic" and acid.strength_percent > STRONG_ACID_PERCENT:
        row = find_hazard("acetic-strong")
        yield Caution(
            id="acid.strong",
            level="warn",
            text=row.text if row else acid.row.hazard,
            source=row.source if row else acid.row.source,
            stage=stage,
            where=f"{table}.acid",
        )
    if not acid.liquid:
        yield from hazard("acid-dust", "acid.dust", "note", stage)
    spread = worked.soured.spread
    amount = worked.soured.acid_amount
    if spread is not None and amount > 0 and not spread.low <= amount <= spread.high:
        beyond = "less" if amount < spread.low else "more"
        yield Caution(
            id="acid.beyond-published",
            level="note",
            text=f"{brief(amount)} {acid.unit} of {acid.name} is {beyond} than any published dose for this "
            "weight "
            f"({brief(spread.low)} to {brief(spread.high)} {acid.unit}): the pH is of the water alone, so read it "
            "with a strip.",
            source="table of practice doses",
            stage=stage,
            where=f"{table}.acid",
        )


def _water(worked: Worked) -> Iterator[Caution]:
    settled = worked.settled
    if settled.alkalinity.origin == "estimate" and settled.acid is not None:
        yield Caution(
            id="water.alkalinity-unknown",
            level="note",
            text=f"The water's alkalinity is assumed at {brief(settled.alkalinity.value)} mg/L, and it "
            "decides the acid: ask "
            "your water supplier, or read the pH with a strip.",
            source="estimate",
            stage=worked.method.put_on.acid_at,
            where="water.alkalinity",
        )
