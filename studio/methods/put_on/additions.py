"""What goes into paint beside stock and water: a gum, and acid, with the acid on the piece and the pH it comes to.

A soak's pH says little of that: squeezed goods hold a tenth of the bath, and dye that goes on takes acid with it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

import msgspec

from studio.craft import acid as craft
from studio.craft.acid import Water
from studio.craft.ions import LEAST_WOOL_BINDING, BindingFibre
from studio.methods.said import caution
from studio.plan.errors import refuse
from studio.plan.materials import ThickenerAtHand, class_range
from studio.plan.model import MOST_IN_PAINT
from studio.plan.settled import BY_HAND, Settled, SettledColour, node
from studio.plan.shapes import Caution, Figure, Origin, brief, fig, num, weakest
from studio.plan.steps.lay import paint_path
from studio.plan.ways import MORE, Addition, ColourLiquid
from studio.plan.work.fibre import RoomWork, binding, taken_mmol_g, uptake_source
from studio.plan.work.presoak import PresoakWork
from studio.plan.work.souring import CARBONATE, DOUBT_ACID, DOUBT_PH, MOST_MOL_L, dosed
from studio.plan.work.stocks import LEAST_G, LEAST_ML

ENOUGH_PH = 5.5
"""A painted piece that ends no higher held acid enough, whatever its dyes ask of a bath. House rule."""
SHORT_PH = 0.5
"""Above that, from which acid is called short. House rule."""
LEVELLING_PH, LEVELLING_SHORT_PH = 4.8, 5.0
"""Both of dyes whose range ends below pH 5, as levelling dyes' and food colours': at the boil 90 to 95 % of one goes on
at pH 4, 75 to 88 % at 5, 50 to 70 % at 6 (from memory). House rule."""
USED_UP_PH = 6.5
"""Where a piece may end above this its acid is about used up, and nobody knows its pH. House rule."""


MOST_PASTE_G_ML = 0.04
"""The thickest paste of alginate that is told of: 40 g/L, of low viscosity (common practice)."""
GUM_G_ML = 1.5
"""Density of a dry gum. From memory."""


def in_100_ml(settled: Settled, colour: SettledColour) -> tuple[Addition, ...]:
    """What goes into 100 mL of a colour's paint."""
    found: list[Addition] = []
    acid, gum = settled.acid, settled.thickener
    sour = colour.plan.acid or settled.plan.presoak.paint_acid
    if acid and sour:
        ml = sour.value if acid.liquid else 0.0
        found.append(Addition(what="acid", name=acid.name, unit=acid.unit, amount=sour.value, ml=ml))
    if gum and colour.plan.thicken:
        grams = colour.plan.thicken.strength.value
        found.append(Addition(what="thickener", name=gum.name, unit="g", amount=grams, ml=grams / GUM_G_ML))
    return tuple(found)


def additions(
    settled: Settled, colour: SettledColour, mixed_ml: float, of: Origin
) -> tuple[tuple[Addition, ...], tuple[Figure, ...]]:
    """What is added to so much paint, and paint.<colour>.acid and .thickener where it has some."""
    slug, made, figures = colour.plan.slug, [], []
    for each in in_100_ml(settled, colour):
        asked, unit = mixed_ml / 100.0 * each.amount, each.unit
        because = f"{num(mixed_ml)} mL x {num(each.amount)} {unit} in 100 mL = {num(asked)} {unit}"
        label, origin = f"{each.name} into {colour.plan.name}", weakest("plan", of)
        figure = node(settled, fig(paint_path(slug, each.what), asked, unit, label, because, origin))
        ml = figure.value * each.ml / each.amount
        made.append(msgspec.structs.replace(each, amount=figure.value, ml=ml))
        figures.append(figure)
    return tuple(made), tuple(figures)


def mixed_later(settled: Settled) -> Iterator[Figure]:
    """acid.more and thickener.more, where paint was mixed later."""
    for what, thing in settled.added.items():
        if more := settled.measured.get(MORE[what]):
            label = f"{thing.name} into paint mixed later"
            yield fig(MORE[what], more, thing.unit, label, BY_HAND, "measured", BY_HAND)


class OnThePiece(msgspec.Struct, frozen=True, kw_only=True):
    """Acid on the fibre under one colour, as the protons it can give, and what takes them, meq."""

    soak: float
    paint: float
    dye: float
    """Taken by the dye; 0 too where nobody knows how much there is."""
    water: float
    """Taken by the alkalinity of soak and paint."""
    ph: tuple[float, float, float] | None
    """Once all of its dye is on, at least, likeliest and at most; None where its acid is about used up."""
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
    least, soak, most = (mol * share for mol in presoak.on_the_goods_mol(held_ml))
    paint = on_ml * liquid.added("acid") / liquid.mixed_ml * per_unit if liquid.mixed_ml > LEAST_ML else 0.0
    dye = taken_mmol_g(liquid.colour) * liquid.dye_on_g / 1000.0
    met = craft.alkalinity_meq_l(settled.alkalinity.value)
    water = Water(met, settled.water_ph.value)
    how = {"fibre": fibre, "dye_mol_l": dye / litres, "open_to_air": True}

    def ends(mol: float, **other: BindingFibre) -> float:
        """pH with so much acid; `math.inf` where more is taken than is there."""
        if protons * mol * 1000.0 < dye * 1000.0 + met * litres:
            return math.inf
        return craft.ph((dosed(acid, min(MOST_MOL_L, mol / litres)),), water, **{**how, **other})

    looser = msgspec.structs.replace(fibre, binding=LEAST_WOOL_BINDING)
    high, middle = ends((least + paint) * (1 - DOUBT_ACID)), ends(soak + paint)
    wanting, (aim, short) = 0.0, _enough_ph(liquid.colour)
    known = high <= max(USED_UP_PH, short)
    # By the strip's weakest acid; a tenth less is only doubt, but where it would be used up.
    if not known or (middle if least == soak else ends(least + paint)) > short:
        whole = craft.dose_for_ph(aim, dosed(acid, 0.0), water, **how) * litres
        wanting = max(0.0, (whole / (1 - DOUBT_ACID) - least - paint) / per_unit / (on_ml / 100.0))
    low = ends((most + paint) * (1 + DOUBT_ACID), fibre=looser)
    whole_ml, free = liquid.mixed_for_zone_ml, 0.0
    if whole_ml > LEAST_ML:
        there = sum(a.amount for a in in_100_ml(settled, liquid.colour) if a.what == "acid")
        beside_stock = 100.0 * (liquid.stock_room_ml - liquid.stock_ml) / whole_ml
        free = max(0.0, min(MOST_IN_PAINT - there, beside_stock if acid.liquid else math.inf))
    return OnThePiece(
        soak=protons * soak * 1000.0,
        paint=protons * paint * 1000.0,
        dye=dye * 1000.0,
        water=met * litres,
        ph=(low, middle, high) if known else None,
        wanting=wanting,
        room=free,
    )


def _enough_ph(colour: SettledColour) -> tuple[float, float]:
    """A piece that ends no higher held acid enough for the dyes of a colour; and above which it was short."""
    low, high = class_range([stock.dye.dye_class for stock in colour.stocks])
    if high < LEVELLING_SHORT_PH:
        return LEVELLING_PH, LEVELLING_SHORT_PH
    aim = max(ENOUGH_PH, low, high)
    return aim, aim + SHORT_PH


def ph_figures(settled: Settled, liquid: ColourLiquid, piece: OnThePiece | None) -> Iterator[Figure]:
    """paint.<colour>.ph: of the piece once its dye is on."""
    acid, plan = settled.acid, liquid.colour.plan
    if acid is None or piece is None or piece.ph is None:
        return
    doubt, (low, ph, high) = DOUBT_PH[acid.row.kind], piece.ph
    dye = (
        f"takes {brief(piece.dye)} ({brief(taken_mmol_g(liquid.colour))} in 1 g)"
        if piece.dye
        else "is not counted"
    )
    because = (
        f"the squeezed fibre brings {brief(piece.soak)} meq of acid, the paint {brief(piece.paint)}; its dye {dye}, "
        f"its water takes {brief(piece.water)}: pH {ph:.2f}, {low:.2f} to {high:.2f} with a tenth more or less acid"
    )
    yield fig(
        f"paint.{plan.slug}.ph",
        ph,
        "pH",
        f"pH on the fibre, {plan.name}",
        because,
        "estimate",
        f"{CARBONATE}; {uptake_source(settled)}",
        low=min(low, ph - doubt),
        high=max(high, ph + doubt),
    )


def swell_figure(gum: ThickenerAtHand) -> Figure:
    """paint.swell: minutes until the gum has taken up its water."""
    row = gum.row
    because = f"{gum.name} takes up its water in about {num(row.swell_min)} min"
    return fig(
        "paint.swell", row.swell_min, "min", f"{gum.name} swells", because, "published", row.swell_source
    )


def refuse_gum(settled: Settled, presoak: PresoakWork, liquids: Iterable[ColourLiquid]) -> None:
    """Refuse a gum that the plan's own acid would turn to jelly, or one that swells overnight in no water; a bench
    that reads another pH is left alone."""
    gum = settled.thickener
    if gum is None or settled.measured:
        return
    for liquid in liquids:
        plan = liquid.colour.plan
        if plan.thicken is None:
            continue
        doubt = DOUBT_PH[settled.acid.row.kind] if settled.acid else 0.0
        lowest = min(presoak.soured.ph, _ph_in_jar(settled, liquid)) - doubt
        if gum.row.least_ph and round(lowest, 2) < gum.row.least_ph:
            raise refuse(
                settled.plan.file,
                plan.thicken.key,
                f"is {gum.name}, which gels below about pH {gum.row.least_ph:g}, and {plan.name} may meet "
                f"pH {lowest:.1f}; write guar, which can take acid, or less acid.",
            )
        if gum.overnight and liquid.added("thickener") > MOST_PASTE_G_ML * liquid.water_ml:
            raise refuse(
                settled.plan.file,
                plan.thicken.key,
                f"is {gum.name}, which swells overnight in plain water, and the paint for {plan.name} has room for "
                f"only {brief(liquid.water_ml)} mL of water; write a stronger stock, or guar.",
            )


def _ph_in_jar(settled: Settled, liquid: ColourLiquid) -> float:
    """Of the paint as mixed, its carbon dioxide kept."""
    water = Water(craft.alkalinity_meq_l(settled.alkalinity.value), settled.water_ph.value)
    acid, litres = settled.acid, liquid.mixed_ml / 1000.0
    if acid is None or not liquid.added("acid") or liquid.mixed_ml <= LEAST_ML:
        return craft.ph((), water)
    return craft.ph((dosed(acid, liquid.added("acid") * acid.mol_per_unit / litres),), water)


def thickener_cautions(settled: Settled, liquids: tuple[ColourLiquid, ...]) -> Iterator[Caution]:
    """thickener: lumps and dust; thickener.<colour>.weighing: less of it than a scale shows."""
    gum, thick = settled.thickener, [liquid for liquid in liquids if liquid.added("thickener")]
    if gum is None or not thick:
        return
    slugs, first = tuple(liquid.colour.plan.slug for liquid in thick), thick[0].colour.plan.name
    yield caution("thickener", gum=gum.row.name.capitalize(), of=slugs, where=("colour", first, "thicken"))
    for liquid in thick:
        grams, step_g, plan = liquid.added("thickener"), settled.scale_g.value, liquid.colour.plan
        if grams < step_g:
            at = {"colour": plan, "of": (plan.slug,), "where": ("colour", plan.name, "thicken")}
            yield caution("thickener.weighing", grams=grams, gum=gum, step=step_g, **at)


def acid_cautions(
    settled: Settled, liquids: tuple[ColourLiquid, ...], pieces: tuple[OnThePiece | None, ...]
) -> Iterator[Caution]:
    """acid.short.<colour>: the dye takes more acid than is there, and part of it will not take."""
    acid = settled.acid
    for liquid, piece in zip(liquids, pieces, strict=True):
        plan = liquid.colour.plan
        if acid is None or piece is None or piece.wanting <= 0:
            continue
        short = _enough_ph(liquid.colour)[1]
        now = sum(a.amount for a in in_100_ml(settled, liquid.colour) if a.what == "acid")
        more, there = now + piece.wanting, piece.soak + piece.paint
        each = len(acid.row.pkas) * acid.mol_per_unit * 1000.0
        end = "uses up nearly all of its acid"
        if piece.ph is not None:
            _, likeliest, most = piece.ph
            end = f"ends at about pH {brief(likeliest)}, at most {brief(most)}"
        advice = f"Put {brief(more)} {acid.unit} of {acid.name} into each 100 mL of its paint, or more into the soak."
        if piece.wanting > piece.room:
            stock = "" if plan.drops else "make its stock stronger, "
            advice = f"Its paint has no room for more: {stock}put more acid into the soak, or take a stronger acid."
        from_memory = "; what levelling dye takes at what pH: from memory"
        yield caution(
            "acid.short",
            colour=plan,
            end=end,
            advice=advice,
            acid=acid,
            dye=piece.dye / each,
            water=piece.water / each,
            there=there / each,
            short=short,
            levelling=from_memory if short == LEVELLING_SHORT_PH else "",
            of=(plan.slug,),
            where=("colour", plan.name, "acid"),
        )
