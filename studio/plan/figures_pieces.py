"""Several pieces alike in one session: how many, what each gets, and how often the steamer is filled."""

from __future__ import annotations

from studio.plan.figure_text import fig, num
from studio.plan.settled import Settled
from studio.plan.shapes import Figure, Origin

DEFAULT_PLACES = 1
ORIGIN: dict[bool, Origin] = {True: "plan", False: "house rule"}


def pieces_figures(settled: Settled) -> tuple[Figure, ...]:
    """fibre.pieces; nothing for a single piece."""
    if settled.pieces == 1:
        return ()
    because = (
        f"{settled.pieces} x {num(settled.piece_g)} g = {num(settled.dry_g)} g; presoak and jars are for all"
    )
    return (fig("fibre.pieces", settled.pieces, "1", "pieces alike", because, "plan", "the plan"),)


def each_figure(settled: Settled, slug: str, name: str, applied_ml: float) -> tuple[Figure, ...]:
    """paint.<colour>.each: what goes onto one piece; nothing for a single piece."""
    if settled.pieces == 1 or applied_ml <= 0:
        return ()
    each_ml = applied_ml / settled.pieces
    because = (
        f"{num(applied_ml)} mL onto the fibre / {settled.pieces} pieces = {num(each_ml)} mL; the reserve stays "
        "in the jar"
    )
    return (fig(f"paint.{slug}.each", each_ml, "mL", f"{name} onto each piece", because, "plan"),)
