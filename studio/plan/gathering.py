"""What the procedure and the bench need to know of a worked plan; each method adds what is its own."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import msgspec

from studio.plan import model
from studio.plan.facts import (
    ColourFacts,
    KettleFacts,
    KnitFacts,
    LiveFacts,
    MicrowaveFacts,
    ProcedureFacts,
    StockFacts,
)
from studio.plan.figures_bath import ACID_AFTER_MIN
from studio.plan.figures_paint import ColourLiquid
from studio.plan.figures_pieces import DEFAULT_PLACES
from studio.plan.figures_set import TARGET_C
from studio.plan.figures_stocks import StockWork
from studio.plan.foretelling import foretell
from studio.plan.habits_used import habits_used
from studio.plan.layout import in_words, laid_bands
from studio.plan.materials import DyeAtHand
from studio.plan.settled import rows_of
from studio.plan.shapes import Caution
from studio.plan.shelf import KitItem
from studio.plan.worked import Worked

STRONG_ACID_PERCENT = 10.0


def procedure_facts(worked: Worked, cautions: tuple[Caution, ...]) -> ProcedureFacts:
    """What the procedure needs to know."""
    settled, acid = worked.settled, worked.settled.acid
    colours = tuple(_colour(worked, liquid) for liquid in worked.liquids)
    common = ProcedureFacts(
        method=settled.plan.method,
        form=settled.form,
        dry_weight_g=settled.dry_g,
        colours=colours,
        bands="",
        acid_name=acid.name if acid else "",
        acid_state=acid.row.state if acid else "",
        acid_amount=worked.soured.acid_amount,
        acid_strong=bool(acid and acid.row.kind == "acetic" and acid.strength_percent > STRONG_ACID_PERCENT),
        presoak_water_ml=worked.presoak.water_ml,
        presoak_ph=worked.presoak.ph if acid and worked.kettle is None else None,
        presoak_min=worked.presoak.minutes,
        presoak_c=worked.presoak.temperature_c,
        cool_min=worked.cool.minutes,
        unwrap_c=worked.cool.unwrap_c,
        rinse_c=worked.cool.rinse_c,
        food_only=settled.food_only,
        fibres=worked.fibre.taken,
        any_powder=any(stock.form == "powder" for colour in colours for stock in colour.stocks),
        kit=tuple(item.name if isinstance(item, KitItem) else item for item in settled.kit),
        has_warnings=any(caution.level == "warn" for caution in cautions),
        pieces=settled.pieces,
        habits=habits_used(settled),
    )
    live = LiveFacts(
        start_c=settled.room.value,
        steam_c=settled.room.value,
        target_c=TARGET_C,
        hob_w=settled.hob_w.value,
        hob_efficiency=settled.plan.hob_efficiency,
        reserve_percent=settled.plan.reserve_percent,
        room_c=settled.room.value,
        unwrap_c=worked.cool.unwrap_c,
    )
    return _OF_METHOD[settled.plan.method](worked, common, live)


def _steamed(worked: Worked, facts: ProcedureFacts, live: LiveFacts) -> ProcedureFacts:
    steam, packet, own = worked.steam, worked.settled.packet, worked.settled.own("to-steam")
    assert steam is not None, "worked out as a steamed plan"
    facts, live = _painted(worked, facts, live)
    live = msgspec.structs.replace(
        live,
        thickness_cm=packet.thickness.value,
        length_cm=packet.length.value if packet.length is not None else None,
        steam_c=steam.steam_c,
        fast_min=steam.fast_min,
        slow_min=steam.slow_min,
        least_min=steam.least_min,
        boil_off_ml_min=steam.most_ml_min,
        to_steam_percent=own.value if own else None,
        to_steam_source=own.source if own else "",
    )
    return msgspec.structs.replace(
        facts,
        shape=packet.shape,
        hold_min=steam.hold_min,
        pot_water_ml=steam.pot_ml,
        pot_check_min=steam.look_min,
        places=packet.places or DEFAULT_PLACES,
        live=live,
    )


def _painted(worked: Worked, facts: ProcedureFacts, live: LiveFacts) -> tuple[ProcedureFacts, LiveFacts]:
    paint, layout = worked.paint, worked.settled.plan.layout
    assert paint is not None, "worked out as a painted plan"
    live = msgspec.structs.replace(
        live,
        target_percent=paint.target_percent,
        capacity_ml=paint.capacity_ml,
        bands=laid_bands(layout, rows_of(worked.settled)),
        knit=_knit(worked),
    )
    return msgspec.structs.replace(facts, bands=in_words(layout), squeezed_g=paint.room.squeezed_g), live


def _microwaved(worked: Worked, facts: ProcedureFacts, live: LiveFacts) -> ProcedureFacts:
    work = worked.microwave
    assert work is not None, "worked out as a microwave plan"
    facts, live = _painted(worked, facts, live)
    made = MicrowaveFacts(
        power_w=work.power_w,
        burst_min=work.burst_min,
        rest_min=work.rest_min,
        count=work.count,
        stand_min=work.stand_min,
        liquid_ml=work.liquid_ml,
        first_c=work.first_c,
        end_c=work.end_c,
    )
    live = msgspec.structs.replace(live, steam_c=work.boil_c)
    return msgspec.structs.replace(facts, shape="flat packet", live=live, microwave=made)


def _in_a_kettle(worked: Worked, facts: ProcedureFacts, live: LiveFacts) -> ProcedureFacts:
    assert worked.kettle is not None, "worked out as a kettle plan"
    bath, heat = worked.kettle.bath, worked.kettle.heat
    rise_c = heat.top_c - heat.start_c
    made = KettleFacts(
        bath_ml=bath.bath_ml,
        fill_ml=bath.fill_ml,
        dye_ml=bath.bath_ml - bath.fill_ml,
        parts=bath.parts,
        acid_first=bath.first_acid,
        acid_rest=bath.acid_amount - bath.first_acid,
        acid_after_min=ACID_AFTER_MIN,
        ph=bath.ph,
        salt_g=bath.salt_g,
        start_c=heat.start_c,
        top_c=heat.top_c,
        boil_c=heat.boil_c,
        rate_c_min=rise_c / heat.ramp_min if heat.ramp_min > 0 else heat.rate_c_min,
        ramp_min=heat.ramp_min,
        hold_min=heat.hold_min,
        evaporation_ml=heat.evaporation_ml,
    )
    live = msgspec.structs.replace(live, start_c=heat.start_c, steam_c=heat.boil_c)
    return msgspec.structs.replace(facts, hold_min=heat.hold_min, live=live, kettle=made)


_OF_METHOD: dict[str, Callable[[Worked, ProcedureFacts, LiveFacts], ProcedureFacts]] = {
    model.STEAM: _steamed,
    model.KETTLE: _in_a_kettle,
    model.MICROWAVE: _microwaved,
}


def _knit(worked: Worked) -> KnitFacts | None:
    try:
        told = foretell(worked.settled.plan, worked.settled.shelf)
    except ValueError:
        return None  # No forecast can be made of this plan, and none was asked for here.
    return KnitFacts(
        rows=told.blank.rows,
        stitches=told.blank.stitches,
        strands=told.blank.strands,
        loop_mm=told.blank.loop_mm,
        new_stitches=told.knitting.stitches,
        new_loop_mm=told.knitting.loop_mm,
    )


def _colour(worked: Worked, liquid: ColourLiquid) -> ColourFacts:
    plan = liquid.colour.plan
    own = [w for w in worked.stocks.stocks if any(w.stock is s for s in liquid.colour.stocks)]
    return ColourFacts(
        name=plan.name,
        slug=plan.slug,
        stocks=tuple(_stock(work) for work in own),
        fibre_g=liquid.colour.fibre_g,
        liquid_ml=max(liquid.mixed_ml, liquid.stock_ml),
        stock_ml=liquid.stock_ml,
        water_ml=liquid.water_ml,
        depth_percent=plan.depth.value if plan.depth is not None else None,
    )


def _stock(work: StockWork) -> StockFacts:
    dye = work.stock.dye
    return StockFacts(
        slug=work.stock.slug,
        dye=dye.name,
        form="drops" if work.drops is not None else _form(dye),
        food=dye.food,
        strength_percent=work.stock.strength.value if work.stock.strength else None,
        dye_g=work.dye_g if dye.powder and work.drops is None else None,
        volume_ml=work.volume_ml,
        share=work.stock.share,
        drops=work.drops,
    )


def _form(dye: DyeAtHand) -> Literal["powder", "liquid", "jar"]:
    if dye.jar is not None:
        return "jar"
    return "powder" if dye.powder else "liquid"
