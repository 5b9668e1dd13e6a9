"""The squeezed weight decides how much paint can go in."""

from __future__ import annotations

from dataclasses import dataclass

from studio.craft.room import Room, over_capacity
from studio.plan.facts import ColourFacts
from studio.plan.shapes import Caution, Figure
from studio.quantity import show
from studio.session.live.given import NOTHING, Thought, dry_g, facts_of, measured, warning
from studio.session.state import State

SOURCE = "wet pick-up: A. D. Broadbent, Basic Principles of Textile Coloration (SDC 2001), p. 193"


@dataclass(frozen=True, slots=True)
class LiveMix:
    """One colour's paint by the weight that was really squeezed to."""

    colour: ColourFacts
    liquid_ml: float
    stock_ml: float
    water_ml: float


def room_now(state: State) -> Room | None:
    """Room for the planned paint at the measured weights; None before the squeeze was weighed, or where the
    weights cannot be."""
    try:
        return _room(state)
    except ValueError:
        return None


def _room(state: State) -> Room | None:
    known, squeezed = facts_of(state), measured(state, "paint.squeezed")
    if known is None or squeezed is None:
        return None
    facts, live = known
    applied = [(_mixed_ml(state, c) or c.liquid_ml) / (1 + live.reserve_percent / 100) for c in facts.colours]
    return over_capacity(applied, dry_g(state, facts), squeezed, live.target_percent)


def _mixed_ml(state: State, colour: ColourFacts) -> float:
    """All paint that was mixed of a colour; 0 before."""
    first = measured(state, f"paint.{colour.slug}.mix")
    return 0.0 if first is None else first + sum(b.ml for b in state.batches if b.colour == colour.slug)


def mixes(state: State) -> tuple[LiveMix, ...]:
    """Each colour's paint: as planned before the squeeze, afterwards what the fibre can really take.

    The stock stays as it is, because it carries the depth of shade; only the water with it changes.
    """
    known = facts_of(state)
    if known is None:
        return ()
    facts, live = known
    room = room_now(state)
    scale = 1.0 if room is None or live.capacity_ml <= 0 else max(0.0, room.capacity_ml) / live.capacity_ml
    found = []
    for colour in facts.colours:
        liquid = max(colour.stock_ml, colour.liquid_ml * scale)
        found.append(LiveMix(colour, liquid, colour.stock_ml, liquid - colour.stock_ml))
    return tuple(found)


def think_room(state: State) -> Thought:
    """Capacity at the measured weight, each colour's paint, and a warning where it will not fit.

    ValueError where the weights cannot be.
    """
    room, known = _room(state), facts_of(state)
    squeezed = measured(state, "paint.squeezed")
    if room is None or known is None or squeezed is None:
        return NOTHING
    facts, live = known
    dry = dry_g(state, facts)
    took_up = f"({squeezed:g} g wet - {dry:g} g)"
    capacity = Figure(
        id="live.paint.capacity",
        value=room.capacity_ml,
        unit="mL",
        label="it can take, as squeezed",
        because=f"{dry:g} g dry x {live.target_percent:g} % - {took_up} = {room.capacity_ml:.4g} mL",
        origin="measured",
        source=SOURCE,
    )
    return Thought((capacity,), _too_much(room, facts.colours))


def _too_much(room: Room, colours: tuple[ColourFacts, ...]) -> tuple[Caution, ...]:
    if room.over_ml <= 0.5:
        return ()
    parts = ", ".join(
        f"{show(ml, 'mL')} of {c.name}" for c, ml in zip(colours, room.leave_out_ml, strict=True) if ml > 0.05
    )
    way = (
        f"squeeze it to {show(room.squeeze_to_g, 'g')}"
        if room.squeezing_is_enough
        else "squeeze as far as it goes"
    )
    text = f"The paint is {show(room.over_ml, 'mL')} more than it can take: {way}, or leave out {parts}."
    return (warning("paint.over", text, SOURCE),)


def mix_figures(state: State, slug: str) -> Thought:
    """Stock, water and liquid of one colour as the fibre can take it now."""
    mix = next((m for m in mixes(state) if m.colour.slug == slug), None)
    if mix is None or room_now(state) is None or mix.colour.stock_ml <= 0:
        return NOTHING
    because = (
        f"{mix.colour.liquid_ml:.4g} mL planned, scaled to the capacity as squeezed = {mix.liquid_ml:.4g} mL; "
        f"the stock stays {mix.stock_ml:.4g} mL for the depth, water {mix.water_ml:.4g} mL"
    )
    rows = (
        ("liquid", mix.liquid_ml, "to mix"),
        ("stock", mix.stock_ml, "stock in it"),
        ("water", mix.water_ml, "water in it"),
    )
    return Thought(
        tuple(
            Figure(
                id=f"live.paint.{slug}.{name}",
                value=value,
                unit="mL",
                label=f"{mix.colour.name}: {label}",
                because=because,
                origin="measured",
                source=SOURCE,
            )
            for name, value, label in rows
        )
    )
