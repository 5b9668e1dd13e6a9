"""Acid on a painted piece: what the soak leaves, what the paint brings, what its dye takes, and the pH of it all.

A soak's pH says little of it: squeezed goods hold a tenth of the bath, and dye that goes on takes acid with it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import msgspec

from studio.craft import acid as craft
from studio.craft.acid import Water
from studio.plan.materials import class_range
from studio.plan.settled import Settled, SettledColour
from studio.plan.shapes import Caution, Figure, brief, fig
from studio.plan.ways import ColourLiquid
from studio.plan.work.fibre import RoomWork
from studio.plan.work.presoak import PresoakWork
from studio.plan.work.souring import CARBONATE, DOUBT_PH, MOST_MOL_L, dosed
from studio.plan.work.stocks import LEAST_G, LEAST_ML
from studio.plan.work.uptake import binding, taken_mmol_g, uptake_source

ENOUGH_PH = 5.5
"""A painted piece that ends no higher held acid enough, whatever its dyes ask of a bath. House rule."""
SHORT_PH = 0.5
"""Above that, from which acid is called short. House rule."""


def per_100_ml(settled: Settled, colour: SettledColour) -> float:
    """mL or g of acid in 100 mL of a colour's paint; 0 without."""
    written = colour.plan.acid or settled.plan.presoak.paint_acid
    return written.value if written and settled.acid else 0.0


class OnThePiece(msgspec.Struct, frozen=True, kw_only=True):
    """Acid on the fibre under one colour, as the protons it can give, and what takes them, meq."""

    soak: float
    paint: float
    dye: float
    """Taken by the dye; 0 too where nobody knows how much there is."""
    water: float
    """Taken by the alkalinity of soak and paint."""
    ph: float | None
    """Once all of its dye is on; None where there is less acid than is taken, so that not all of it will be."""
    wanting: float
    """mL or g of acid that each 100 mL of paint lacks to end low enough."""
    room: float
    """The same, that its paint has room for beside its stock."""


def on_the_piece(
    settled: Settled, room: RoomWork, presoak: PresoakWork, liquid: ColourLiquid
) -> OnThePiece | None:
    """None where the plan has no acid, nothing is put on, or nothing of the fibre takes acid."""
    grams, on_ml, acid = liquid.colour.fibre_g, liquid.applied_ml, settled.acid
    if acid is None or grams <= LEAST_G or on_ml <= LEAST_ML:
        return None
    share = grams / settled.dry_g
    held_ml = settled.dry_g * room.held_percent / 100.0
    litres = (held_ml * share + on_ml) / 1000.0
    fibre = binding(settled, grams / litres)
    if fibre is None:
        return None
    per_unit, protons = acid.mol_per_unit, len(acid.row.pkas)
    soak = presoak.on_the_goods_mol(held_ml) * share
    paint = on_ml * liquid.acid_amount / liquid.mixed_ml * per_unit if liquid.mixed_ml > LEAST_ML else 0.0
    dye = taken_mmol_g(liquid.colour) * liquid.dye_g * on_ml / max(on_ml, liquid.in_jar_ml) / 1000.0
    met = craft.alkalinity_meq_l(settled.alkalinity.value)
    water = Water(met, settled.water_ph.value)
    how = {"fibre": fibre, "dye_mol_l": dye / litres, "open_to_air": True}
    short = protons * (soak + paint) * 1000.0 < dye * 1000.0 + met * litres
    ends = None if short else craft.ph((dosed(acid, min(MOST_MOL_L, (soak + paint) / litres)),), water, **how)
    wanting, aim = 0.0, max(ENOUGH_PH, *class_range(settled.classes))
    if ends is None or ends > aim + SHORT_PH:
        whole = craft.dose_for_ph(aim, dosed(acid, 0.0), water, **how) * litres
        wanting = max(0.0, (whole - soak - paint) / per_unit / (on_ml / 100.0))
    whole_ml = liquid.mixed_for_zone_ml
    free = (
        max(0.0, 100.0 * (liquid.stock_room_ml - liquid.stock_ml) / whole_ml) if whole_ml > LEAST_ML else 0.0
    )
    return OnThePiece(
        soak=protons * soak * 1000.0,
        paint=protons * paint * 1000.0,
        dye=dye * 1000.0,
        water=met * litres,
        ph=ends,
        wanting=wanting,
        room=free if acid.liquid else math.inf,
    )


def ph_figures(settled: Settled, liquid: ColourLiquid, piece: OnThePiece | None) -> Iterator[Figure]:
    """paint.<colour>.ph: of the piece once its dye is on."""
    acid, plan = settled.acid, liquid.colour.plan
    if acid is None or piece is None or piece.ph is None:
        return
    doubt = DOUBT_PH[acid.row.kind]
    dye = (
        f"takes {brief(piece.dye)} ({brief(taken_mmol_g(liquid.colour))} in 1 g)"
        if piece.dye
        else "is not counted"
    )
    because = (
        f"the squeezed fibre brings {brief(piece.soak)} meq of acid, the paint {brief(piece.paint)}; its dye {dye}, "
        f"its water takes {brief(piece.water)}: pH {piece.ph:.2f}"
    )
    yield fig(
        f"paint.{plan.slug}.ph",
        piece.ph,
        "pH",
        f"pH under {plan.name}, its dye on",
        because,
        "estimate",
        f"{CARBONATE}; {uptake_source(settled)}",
        low=piece.ph - doubt,
        high=piece.ph + doubt,
    )


def acid_cautions(
    settled: Settled, liquids: tuple[ColourLiquid, ...], pieces: tuple[OnThePiece | None, ...]
) -> Iterator[Caution]:
    """acid.short.<colour>: the dye takes more acid than is there, and part of it will not take."""
    acid = settled.acid
    for liquid, piece in zip(liquids, pieces, strict=True):
        plan = liquid.colour.plan
        if acid is None or piece is None or piece.wanting <= 0:
            continue
        more, there = per_100_ml(settled, liquid.colour) + piece.wanting, piece.soak + piece.paint
        end = f"ends near pH {piece.ph:.1f}" if piece.ph is not None else "runs out of acid"
        advice = f"Put {brief(more)} {acid.unit} of {acid.name} into each 100 mL of its paint, or more into the soak."
        if piece.wanting > piece.room:
            advice = "Its paint has no room for more: sour the soak more, or take a stronger acid."
        yield Caution(
            id=f"acid.short.{plan.slug}",
            level="note",
            text=f"{plan.name} {end}: its dye takes {brief(piece.dye)} meq of acid, its water {brief(piece.water)}, "
            f"and {brief(there)} are on its fibre. Part of it may rinse out. {advice}",
            source="estimate: charge balance with the fibre",
            stage="colour",
            where=("colour", plan.name, "acid"),
        )
