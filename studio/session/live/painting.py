"""Painting: bands done and still bare, and whether the paint will reach."""

from __future__ import annotations

from studio.craft.room import reach
from studio.plan.facts import BandFacts
from studio.plan.shapes import Figure
from studio.quantity import show
from studio.session.live.given import NOTHING, Thought, facts_of, measured, warning
from studio.session.state import State


def bands_of(state: State) -> tuple[tuple[int, BandFacts, int], ...]:
    """Every band to paint: its place from 1, what it is, and the coats it has."""
    known = facts_of(state)
    if known is None:
        return ()
    painted = [b for b in known[1].bands if b.colour]
    return tuple((n, band, state.bands.get(n, 0)) for n, band in enumerate(painted, start=1))


def next_band(state: State) -> int | None:
    """Place of the first band without a coat."""
    return next((n for n, _, coats in bands_of(state) if coats == 0), None)


def in_jar_ml(state: State, slug: str) -> float | None:
    """All that was mixed of a colour, later batches included; None before it was mixed."""
    mixed = measured(state, f"paint.{slug}.mix")
    if mixed is None:
        return None
    return mixed + sum(b.ml for b in state.batches if b.colour == slug)


def think_painting(state: State) -> Thought:
    """For each colour whose jar was read: used, left, and whether it reaches the bands still bare."""
    known = facts_of(state)
    if known is None:
        return NOTHING
    thought = NOTHING
    for colour in known[0].colours:
        mixed, left = in_jar_ml(state, colour.slug), state.paint_left.get(colour.slug)
        if mixed is not None and left is not None:
            thought = thought + _reach(state, colour.slug, colour.name, mixed, left)
    return thought


def _reach(state: State, slug: str, name: str, mixed_ml: float, left_ml: float) -> Thought:
    own = [(band.size, coats) for _, band, coats in bands_of(state) if band.colour in (slug, name)]
    painted = sum(size * coats for size, coats in own)
    bare = sum(size for size, coats in own if coats == 0)
    used = mixed_ml - left_ml
    figure = Figure(
        id=f"live.paint.{slug}.left",
        value=left_ml,
        unit="mL",
        label=f"{name} left in the jar",
        because=f"{mixed_ml:g} mL mixed, {used:g} mL used on {painted:g} rows or per cent; {bare:g} still bare",
        origin="measured",
        source="read from the jar",
    )
    if painted <= 0 or bare <= 0 or used <= 0:
        return Thought((figure,))
    told = reach(used, painted, bare, left_ml)
    if told.reaches:
        return Thought((figure,))
    text = (
        f"{name} will not reach: {show(told.needed_ml, 'mL')} needed at the rate so far, "
        f"{show(left_ml, 'mL')} left. Mix {show(told.short_ml, 'mL')} more (C) or paint drier."
    )
    return Thought((figure,), (warning(f"paint.{slug}.short", text, "arithmetic on what was used so far"),))
