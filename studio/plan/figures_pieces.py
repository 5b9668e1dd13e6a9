"""Several pieces alike in one session: how many, what each gets, and how often the steamer is filled."""

from __future__ import annotations

import math

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


def rounds_in_steamer(settled: Settled) -> int:
    """How often the steamer is filled, each piece being one packet."""
    return math.ceil(settled.pieces / (settled.packet.places or DEFAULT_PLACES))


def rounds_figure(settled: Settled, hold_min: float, needed_ml: float) -> tuple[Figure, ...]:
    """set.rounds; nothing for a single piece."""
    if settled.pieces == 1:
        return ()
    places, rounds = settled.packet.places or DEFAULT_PLACES, rounds_in_steamer(settled)
    told = f"places = {places}" if settled.packet.places else f"{places} place, as nothing else is written"
    because = (
        f"{settled.pieces} packets / {told}, rounded up = {rounds}; {num(hold_min)} min and {num(needed_ml)} mL of "
        "pot water for each"
    )
    label, origin = "fillings of the steamer", ORIGIN[bool(settled.packet.places)]
    return (fig("set.rounds", rounds, "1", label, because, origin),)
