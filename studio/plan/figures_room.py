"""How wet the squeezed fibre is, and the room that leaves for dye liquid."""

from __future__ import annotations

import msgspec

from studio.craft import liquor
from studio.plan.figure_text import fig, num
from studio.plan.habit_kinds import KIND_OF
from studio.plan.nodes import node
from studio.plan.settled import Known, Settled, SettledColour
from studio.plan.shapes import Figure, Origin

DEFAULT_PICKUP = KIND_OF["painted"].default
DEFAULT_HELD = KIND_OF["held"].default
"""Squeezed by hand in a towel. Estimate: Beech 1902 gives only shares of a saturated load."""
BEECH = (
    "F. Beech, The Dyeing of Woollen Fabrics, 1902, pp. 206-208 (Grothe: squeezing leaves 40 % of what "
    "wringing and spinning start from); per cent of dry weight is an estimate"
)


class RoomWork(msgspec.Struct, frozen=True, kw_only=True):
    squeezed_g: float
    held_percent: float
    target_percent: float
    capacity_ml: float
    """0 where the squeezed fibre already holds its target."""
    figures: tuple[Figure, ...]


def work_room(settled: Settled) -> RoomWork:
    """paint.squeezed, paint.held and paint.capacity; ValueError where it weighs less wet than dry."""
    dry, aimed, holds = settled.dry_g, _target(settled), _held(settled)
    squeezed = node(settled, _squeezed(settled, holds))
    held = liquor.held_percent(squeezed.value, dry)
    capacity = liquor.free_capacity_ml(dry, aimed.value, held) if aimed.value > held else 0.0
    figures = (
        squeezed,
        fig(
            "paint.held",
            held,
            "%",
            "water held after squeezing",
            f"({num(squeezed.value)} g wet - {num(dry)} g dry) / {num(dry)} g x 100 = {num(held)} %",
            holds.origin,
            holds.source,
        ),
        fig(
            "paint.capacity",
            capacity,
            "mL",
            "dye liquid the damp fibre can take",
            f"{num(dry)} g x ({num(aimed.value)} % - {num(held)} % held) / 100 = {num(capacity)} mL",
            _weakest(holds.origin, aimed.origin),
            f"wet pick-up as in Broadbent 2001, p. 193; target: {aimed.source}",
        ),
    )
    return RoomWork(
        squeezed_g=squeezed.value,
        held_percent=held,
        target_percent=aimed.value,
        capacity_ml=capacity,
        figures=figures,
    )


def zone_ml(settled: Settled, colour: SettledColour, room: RoomWork) -> float:
    """Liquid meant for the fibre under a colour: what is written, less the reserve, else its share of the room."""
    if colour.plan.liquid is not None:
        return colour.plan.liquid.value * settled.scale / (1 + settled.plan.reserve_percent / 100.0)
    return liquor.share_ml(room.capacity_ml, colour.fibre_g, settled.dry_g)


def _squeezed(settled: Settled, holds: Known) -> Figure:
    written, dry = settled.plan.fibre.squeezed_weight, settled.dry_g
    if written is not None:
        value = written.value * settled.pieces * settled.scale
        because = f"{written.typed} as written" + ("" if settled.pieces == 1 else f" x {settled.pieces}")
        if settled.scale != 1:
            because += f", for {num(dry)} g of dry fibre = {num(value)} g"
    else:
        value = dry * (1 + holds.value / 100.0)
        because = f"{num(dry)} g x (100 % + {num(holds.value)} % of water) = {num(value)} g"
    return fig("paint.squeezed", value, "g", "squeezed fibre weighs", because, holds.origin, holds.source)


def _target(settled: Settled) -> Known:
    """Wet pick-up to paint to, %."""
    written = settled.plan.fibre.target_pickup
    if written is not None:
        return Known(written.value, "plan", "the plan")
    usual = f"estimate: painted to {num(DEFAULT_PICKUP)} % wet pick-up"
    return settled.own("painted") or Known(DEFAULT_PICKUP, "estimate", usual)


def _held(settled: Settled) -> Known:
    """Water held after squeezing, %: by the plan's squeezed weight, else this studio's, else the usual."""
    written = settled.plan.fibre.squeezed_weight
    if written is not None:
        planned_g = settled.dry_g / settled.scale
        return Known(
            liquor.held_percent(written.value * settled.pieces, planned_g),
            "plan",
            "the plan's squeezed_weight",
        )
    return settled.own("held") or Known(DEFAULT_HELD, "estimate", BEECH)


def _weakest(*origins: Origin) -> Origin:
    """A number is as good as the weaker of the two it is made of."""
    return next(o for o in ("estimate", "yours", "plan") if o in origins)
