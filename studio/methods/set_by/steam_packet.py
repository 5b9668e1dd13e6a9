"""The packet of [set]: its sides as written, how thick it is where that is left out, and what cannot be; and the
published times at heat for such a packet.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

import msgspec

from studio.craft import packet as wrapped
from studio.methods.said import caution
from studio.plan.errors import quoted, refuse
from studio.plan.materials import FibreInBlend
from studio.plan.model import Shape
from studio.plan.practices import where_it_lies
from studio.plan.settled import Settled, own_table
from studio.plan.shapes import Caution, Figure, Origin, fig, num, weakest
from studio.plan.work.energy import Packet, believable, bulk_g_ml
from studio.quantity.kinds import Quantity
from studio.tables.finding import find_hold, holds_for, near_names
from studio.tables.rows import HoldRow, holds

MOST_THICK_CM = 30.0
"""Thicker is a slip. House rule."""


class SetPlan(msgspec.Struct, frozen=True, kw_only=True):
    """[set] of a packet that is steamed."""

    shape: Shape = "roll"
    thickness: Quantity | None = None
    """cm; the diameter of a roll. Worked out of weight, pick-up and the other sides where it is left out."""
    length: Quantity | None = None
    width: Quantity | None = None
    layers: int | None = None
    """Of a sheet in a flat packet; length and width are then the sheet's, laid open."""
    pot_water: Quantity | None = None
    hold: Quantity | None = None
    practice: str = ""
    """Id or label of a published time at heat; instead of `hold`."""
    lid: bool = True
    places: int | None = None
    """Packets the steamer holds at once."""


def packet_of(settled: Settled) -> SetPlan:
    """[set] of a plan."""
    return own_table(settled, SetPlan, "set")


def sides_needed(shape: str) -> tuple[str, ...]:
    """The sides that make up for a thickness that is left out."""
    return ("length", "width") if shape == "flat packet" else ("length",)


def steamed_packet(settled: Settled, pick_up: float) -> Packet:
    """The packet of [set], as thick as written, or as its weight makes it at the usual bulk density."""
    made = packet_of(settled)
    if made.thickness:
        thick, thin, thickest = made.thickness.value, None, None
    else:
        thick, thin, thickest = (
            _thick_cm(settled, pick_up, g_ml)
            for g_ml in (wrapped.USUAL_G_ML, wrapped.TIGHT_G_ML, wrapped.LOOSE_G_ML)
        )
    return Packet(
        shape=made.shape,
        thickness_cm=thick,
        thin_cm=thin,
        thick_cm=thickest,
        length_cm=made.length.value if made.length else None,
        width_cm=made.width.value if made.width else None,
        layers=made.layers or 1,
    )


def _thick_cm(settled: Settled, pick_up: float, g_ml: float) -> float:
    """Of a packet whose other sides are written; no thicker than a plan may write it."""
    made, volume_ml = packet_of(settled), wrapped.wet_ml(settled.piece_g, pick_up, g_ml)
    if made.length is None or (made.shape == "flat packet" and made.width is None):
        raise ValueError("The plan's [set] says too little of the packet to work out how thick it is.")
    if made.shape == "roll" or made.width is None:
        return min(MOST_THICK_CM, wrapped.roll_cm(volume_ml, made.length.value))
    return min(
        MOST_THICK_CM, wrapped.flat_cm(volume_ml, made.length.value * made.width.value, made.layers or 1)
    )


def thickness_figure(settled: Settled, packet: Packet, pick_up: float) -> tuple[Figure, ...]:
    """set.thickness, where it is worked out; nothing where it is written."""
    if packet_of(settled).thickness is not None:
        return ()
    low, high = packet.thin_cm or packet.thickness_cm, packet.thick_cm or packet.thickness_cm
    wet_g, usual = settled.piece_g * (1.0 + pick_up), wrapped.USUAL_G_ML
    because = (
        f"{num(settled.piece_g)} g x (1 + {num(pick_up)}) = {num(wet_g)} g wet, / {usual:g} g/mL = "
        f"{num(wet_g / usual)} mL: {packet.words()}; {num(low)} cm at {wrapped.TIGHT_G_ML:g} g/mL, {num(high)} cm at "
        f"{wrapped.LOOSE_G_ML:g}; measure the wrapped packet with a ruler and write what it is"
    )
    source = "volume balance; g/mL of a wet packet: estimate, none was found published; 0.5 to 1.1 g/mL is plausible"
    label = "thickness of the roll" if packet.shape == "roll" else "thickness of the packet"
    return (
        fig(
            "set.thickness", packet.thickness_cm, "cm", label, because, "estimate", source, low=low, high=high
        ),
    )


LONG_LAG_MIN = 60.0
"""So much later than the outside the middle of superwash wool may get hot. House rule."""


def packet_cautions(settled: Settled, packet: Packet, hot_min: float, pick_up: float) -> Iterator[Caution]:
    """Sides that the weight cannot fill, and what is too thick for wool that takes dye up fast."""
    bulk, dense = bulk_g_ml(settled, packet, pick_up), wrapped.densest_g_ml(pick_up)
    if bulk is not None and not believable(bulk, pick_up):
        told = {"wet": settled.piece_g * (1 + pick_up), "packet": packet.words(), "bulk": bulk}
        if bulk > dense:
            yield caution("set.packet-full", dense=dense, **told)
        else:
            yield caution("set.packet-loose", loosest=wrapped.LOOSEST_G_ML, **told)
    if settled.superwash and hot_min > LONG_LAG_MIN:
        half = packet.thickness_cm / (math.sqrt(2.0) if packet.shape == "roll" else 2.0)
        yield caution("set.thick-superwash", late=hot_min, piece=settled.piece_g / 2, thick=half)


ORIGINS: dict[str, Origin] = {
    "published": "published",
    "second hand": "common practice",
    "hobby page": "common practice",
    "house rule": "house rule",
}


_HEAT: dict[str, str] = {"steam": "steam", "kettle": "the kettle"}


def hold_chosen(file: str, name: str) -> HoldRow | None:
    """The time at heat of the practice a plan names; None where it names none.

    PlanError where no practice is called so, or where it is told of another method.
    """
    if not name:
        return None
    found = find_hold(name, "steam")
    if found is not None:
        return found
    elsewhere = find_hold(name)
    if elsewhere is not None:
        raise refuse(
            file,
            ("set", "practice"),
            f"is {quoted(elsewhere.id)}, a time of {_HEAT[elsewhere.method]}, but this plan's heat is steam; "
            "potside practices lists the times of each.",
        )
    names = [row.id for row in holds() if row.method == "steam"]
    near = near_names(name, names) or names[:3]
    raise refuse(
        file,
        ("set", "practice"),
        f"names {quoted(name)}, which is not one published time at heat; write the name of one, such as "
        f"{', '.join(quoted(one) for one in near)}; potside practices lists them all.",
    )


def hold_min_of(row: HoldRow) -> float:
    """Minutes a practice stands for: the middle of its ends."""
    return (row.low_min + row.high_min) / 2.0


def hold_because(row: HoldRow) -> str:
    """The minutes of a practice with both ends."""
    if row.low_min == row.high_min:
        return f"{row.label}: {num(row.low_min)} min"
    middle = f"the middle of {num(row.low_min)} and {num(row.high_min)} min is {num(hold_min_of(row))} min"
    return f"{row.label}: {middle}"


def hold_source(row: HoldRow) -> str:
    """Who tells of it; what another reports says so."""
    told = f"second hand: {row.source}" if row.standing == "second hand" else row.source
    return f"{told}; practice {row.id}"


def hold_spread(blend: Iterable[FibreInBlend], hold_min: float) -> Figure:
    """set.hold.spread: shortest and longest published time at heat for such fibre, and where `hold_min` lies."""
    families = frozenset(fibre.row.family for fibre in blend)
    rows = [row for row in holds_for("steam", families) if row.standing != "house rule"]
    shortest, longest = min(rows, key=lambda r: r.low_min), max(rows, key=lambda r: r.high_min)
    low, high = shortest.low_min, longest.high_min
    nearest = min(rows, key=lambda r: max(r.low_min - hold_min, hold_min - r.high_min, 0.0))
    return fig(
        "set.hold.spread",
        low,
        "min",
        "published times, low to high",
        f"{num(low)} to {num(high)} min of steam in {len(rows)} published practices; "
        f"the {num(hold_min)} min of this plan: {where_it_lies(hold_min, low, high)}, "
        f"nearest to {nearest.id}; none of them names the thickness of the packet, "
        "so the time the heat takes to the middle comes first",
        weakest(ORIGINS[shortest.standing], ORIGINS[longest.standing]),
        f"shortest: {shortest.source}; longest: {longest.source}",
        low=low,
        high=high,
        chosen=hold_min,
    )
