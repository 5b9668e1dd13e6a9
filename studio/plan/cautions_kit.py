"""Cautions about method and kit: how much one session walks, and what may touch food again."""

from __future__ import annotations

from collections.abc import Iterator

from studio.plan.procedure import MOST_COLOURS, MOST_STOCKS
from studio.plan.settled import Settled
from studio.plan.shapes import Caution
from studio.plan.shelf import KitItem
from studio.plan.worked import Worked
from studio.tables import find_hazard

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
            text=f"Not on the shelf, so nobody has said what it is kept for: {', '.join(unlisted)}. Use it "
            "only if it is "
            "kept for dye.",
            source=CRAFT,
            stage="ready",
            where="kit.use",
        )


def _size(settled: Settled) -> Iterator[Caution]:
    stocks = sum(len(colour.stocks) for colour in settled.colours)
    if len(settled.colours) > MOST_COLOURS or stocks > MOST_STOCKS:
        yield Caution(
            id="method.too-many-colours",
            level="stop",
            text=f"{len(settled.colours)} colours of {stocks} stocks are more than one session walks "
            f"({MOST_COLOURS} colours, {MOST_STOCKS} stocks): make two plans of it.",
            source=BENCH,
            stage="stocks",
            where="colour",
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
                where="kit.use",
            )
        return
    if kitchen:
        others = ", ".join(d.name for d in settled.dyes if not d.food)
        hazard = find_hazard("kit")
        yield Caution(
            id="kit.kitchen",
            level="stop",
            text=f"{', '.join(kitchen)} is kitchen kit, and {others} is no food colour: use kit kept for "
            "dye only, or "
            "food colours alone.",
            source=hazard.source if hazard else CRAFT,
            stage="ready",
            where="kit.use",
        )
