"""Cautions about acid, steam and cooling."""

from __future__ import annotations

from collections.abc import Iterator

from studio.plan.figure_text import HOUSE, brief
from studio.plan.figures_set import SetWork
from studio.plan.model import SetPlan
from studio.plan.shapes import Caution, Level, StageId
from studio.plan.worked import Worked
from studio.tables import find_hazard

STRONG_ACID_PERCENT = 10.0


def heat_cautions(worked: Worked) -> Iterator[Caution]:
    """acid.* and water.* of every method, and the hazard of leftovers."""
    yield from _acid(worked)
    yield from _water(worked)
    yield from hazard("leftovers", "leftovers.label", "note", "record")


def steam_cautions(worked: Worked) -> Iterator[Caution]:
    """set.*, and the hazards of steam and unwrapping."""
    if worked.steam is None:
        return
    yield from _set(worked.settled.packet, worked.steam)
    yield from hazard("steam", "steam.burns", "note", "steam")
    yield from hazard("unwrap", "cool.unwrap", "note", "cool")


def hazard(row_id: str, caution_id: str, level: Level, stage: StageId) -> Iterator[Caution]:
    """The sentence of the hazards table as a caution."""
    row = find_hazard(row_id)
    if row is not None:
        yield Caution(id=caution_id, level=level, text=row.text, source=row.source, stage=stage)


def _acid(worked: Worked) -> Iterator[Caution]:
    acid = worked.settled.acid
    if acid is None:
        return
    table = worked.settled.plan.acid_table
    stage: StageId = "bath" if table == "kettle" else "presoak"
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
            stage="presoak" if worked.kettle is None else "bath",
            where="water.alkalinity",
        )


def _set(plan: SetPlan, work: SetWork) -> Iterator[Caution]:
    if work.lasts_min < work.hold_min:
        row = find_hazard("boil-dry")
        yield Caution(
            id="set.pot-dry",
            level="warn",
            text=f"{brief(work.pot_ml)} mL of pot water may last {brief(work.lasts_min)} min and the set takes "
            f"{brief(work.hold_min)} min: pour {brief(work.needed_ml)} mL, or top up with boiling water.",
            source=row.source if row else HOUSE,
            stage="steam",
            where="set.pot_water",
        )
    if (plan.hold is not None or plan.practice) and work.hold_min < work.advised_min - 0.05:
        yield Caution(
            id="set.hold-short",
            level="warn",
            text=f"The set of {brief(work.hold_min)} min is shorter than the {brief(work.advised_min)} min "
            "advised for this "
            "packet and these dyes: the middle may wash out.",
            source=f"{HOUSE}, see the reason of set.hold",
            stage="steam",
            where="set.practice" if plan.practice else "set.hold",
        )
    if not plan.lid:
        yield Caution(
            id="set.lid-off",
            level="warn",
            text="Without a lid air mixes into the steam, the packet stays cooler than the boiling point "
            "and the pot dries "
            "faster: put a lid on.",
            source="computed from IAPWS R7-97(2012): a tenth of air brings steam at sea level down to 97 "
            "degC",
            stage="steam",
            where="set.lid",
        )
    if plan.shape == "flat packet" and plan.width is None and plan.length is None:
        yield Caution(
            id="set.size-unknown",
            level="note",
            text="Length and width of the packet are not written, so its cooling time is a rough guess.",
            source="estimate",
            stage="cool",
            where="set.length",
        )
