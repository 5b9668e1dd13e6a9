"""All cautions of a plan, most serious first, in the order of work; those about cost, shelf and kit."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from studio.plaintext import slug
from studio.plan.errors import KeyPath
from studio.plan.materials import AcidAtHand, DyeAtHand
from studio.plan.settled import Settled
from studio.plan.shapes import STAGE_ORDER, Caution, StageId, brief, listed, said_by
from studio.plan.shelf import KitItem, age_of, day_of
from studio.plan.steps.preparing import MOST_STOCKS, most_colours
from studio.plan.work.cautions_dye import dye_cautions, fibre_cautions
from studio.plan.work.cautions_liquid import heat_cautions, liquid_cautions
from studio.plan.work.stocks import on_hand
from studio.plan.work.worked import Worked
from studio.quantity.kinds import Quantity
from studio.tables.loading import hazards

# Cautions about money: a cost that leaves something out says so.


def cost_cautions(worked: Worked) -> Iterator[Caution]:
    """cost.incomplete."""
    missing = worked.cost.missing
    if missing:
        yield Caution(
            id="cost.incomplete",
            level="note",
            text=f"The cost leaves out what has no price: {', '.join(missing)}. Until the shelf has it, Potside "
            "suggests no price.",
            source="the shelf",
        )


# Cautions that come of the shelf: old jars, and less dye than is needed.


def shelf_cautions(worked: Worked) -> Iterator[Caution]:
    """jar.old.*, shelf.several.* and dye.short.*."""
    yield from _old_jars(worked)
    plan, acid = worked.settled.plan, worked.settled.acid
    if acid is not None:
        yield from _several(acid, worked.method.put_on.acid_at, (plan.sour.table, "acid"))
    for dye in worked.settled.dyes:
        yield from _several(dye, "stocks", ("colour",), worked.jars_of(dye.name))
    for dye in worked.settled.dyes:
        there = on_hand(worked.settled, dye)
        if there is not None:
            taken = sum(w.taken or 0.0 for w in worked.stocks.stocks if w.stock.dye.name == dye.name)
            yield from _short(dye, taken, there, worked.jars_of(dye.name))


def _several(
    taken: DyeAtHand | AcidAtHand, stage: StageId, where: KeyPath, of: tuple[str, ...] = ()
) -> Iterator[Caution]:
    """Which of several of a kind is taken, where the plan names the kind."""
    if taken.others:
        yield Caution(
            id=f"shelf.several.{slug(taken.name)}",
            level="note",
            text=f"The shelf has {listed([taken.name, *taken.others])}, all of the kind the plan names: it takes "
            f"{taken.name}. Write another's name to take that one.",
            source="house rule",
            stage=stage,
            of=of,
            where=where,
        )


def _short(dye: DyeAtHand, taken: float, there: Quantity, of: tuple[str, ...]) -> Iterator[Caution]:
    if taken <= there.value * 1.001:
        return
    yield Caution(
        id=f"dye.short.{dye.slug}",
        level="warn",
        text=f"The plan takes {brief(taken)} {there.unit} of {dye.name} and the shelf has "
        f"{brief(there.value)} {there.unit}: buy more, use up a jar of it, dye less fibre, or dye paler.",
        source="yours: the shelf's dye on hand",
        stage="stocks",
        of=of,
        where=("colour",),
    )


def _old_jars(worked: Worked) -> Iterator[Caution]:
    today = day_of(worked.settled.shelf.read_on)
    for dye in worked.settled.dyes:
        age = age_of(dye.jar, today) if dye.jar is not None else None
        if age is not None and age.standing == "old":
            yield Caution(
                id=f"jar.old.{dye.slug}",
                level="warn",
                text=f"The jar {dye.name} is too old ({age.told}): make fresh stock, or dye a scrap with it first.",
                source=said_by(age.origin, age.source),
                stage="stocks",
                of=worked.jars_of(dye.name),
                where=("colour",),
            )


# Cautions about method and kit: how much one session walks, and what may touch food again.

CRAFT = "common practice: kit that held textile dye never goes back to food"
BENCH = "house rule: a list of more than nine items is not read at the pot"


def kit_cautions(worked: Worked) -> Iterator[Caution]:
    """method.*, kit.*."""
    settled = worked.settled
    yield from _size(settled)
    yield from _kitchen(settled)
    unlisted = [item for item in settled.kit if isinstance(item, str)]
    if unlisted and not settled.food_only:
        yield Caution(
            id="kit.unlisted",
            level="note",
            text=f"Not on the shelf, which says what is kept for dye: {', '.join(unlisted)}. Use only what is kept "
            "for dye.",
            source=CRAFT,
            stage="ready",
            where=("kit", "use"),
        )


def _size(settled: Settled) -> Iterator[Caution]:
    stocks, most = len(settled.jars), most_colours(settled.plan.layout.sides)
    if len(settled.colours) > most or stocks > MOST_STOCKS:
        yield Caution(
            id="method.too-many-colours",
            level="stop",
            text=f"{len(settled.colours)} colours from {stocks} stocks are too many for one session, which holds "
            f"{most} colours from {MOST_STOCKS} stocks: make two plans of it.",
            source=BENCH,
            stage="stocks",
            where=("colour",),
        )


def _kitchen(settled: Settled) -> Iterator[Caution]:
    kitchen = [item.name for item in settled.kit if isinstance(item, KitItem) and item.kept_for == "kitchen"]
    kept = [item.name for item in settled.kit if isinstance(item, KitItem) and item.kept_for == "dye only"]
    if settled.food_only:
        if kept:
            yield Caution(
                id="kit.dye-only",
                level="note",
                text=f"{', '.join(kept)} has held textile dye: food colour used with it is for fibre only, "
                "never for food.",
                source=CRAFT,
                stage="ready",
                where=("kit", "use"),
            )
        return
    if kitchen:
        others = ", ".join(d.name for d in settled.dyes if not d.food)
        yield Caution(
            id="kit.kitchen",
            level="stop",
            text=f"{', '.join(kitchen)} is kitchen kit, and not for {others}: use kit kept for dye only, or food "
            "colours alone.",
            source=hazards()["kit"].source,
            stage="ready",
            where=("kit", "use"),
        )


# All cautions of a plan, most serious first, in the order of work.

_LEVELS = {"stop": 0, "warn": 1, "note": 2}


def all_cautions(worked: Worked) -> tuple[Caution, ...]:
    """Stops, then warnings, then notes; within a level by stage, those of the whole plan first."""
    put_on, set_by = worked.method.put_on, worked.method.set_by
    found = [
        *kit_cautions(worked),
        *fibre_cautions(worked),
        *dye_cautions(worked),
        *put_on.cautions(worked.settled, worked.put),
        *liquid_cautions(worked),
        *heat_cautions(worked),
        *set_by.cautions(worked.settled, worked.put, worked.heat),
        *cost_cautions(worked),
        *shelf_cautions(worked),
    ]
    order = [str(stage) for stage in STAGE_ORDER]
    shown = {"colour": put_on.stage, "heat": set_by.stage}
    found.sort(key=lambda c: (_LEVELS[c.level], order.index(c.stage) if c.stage else -1))
    return tuple(msgspec.structs.replace(c, stage=shown.get(c.stage, c.stage)) for c in found)
