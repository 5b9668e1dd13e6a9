"""Plan and shelf to Worksheet: figures, cautions, procedure and clocks."""

from __future__ import annotations

from typing import Literal

from studio.plan.cautions import all_cautions
from studio.plan.errors import PlanError, refuse
from studio.plan.facts import ColourFacts, KnitFacts, LiveFacts, ProcedureFacts, StockFacts
from studio.plan.figures_paint import ColourLiquid
from studio.plan.figures_pieces import DEFAULT_PLACES
from studio.plan.figures_set import TARGET_C
from studio.plan.figures_stocks import StockWork
from studio.plan.foretelling import foretell
from studio.plan.habits_used import habits_used
from studio.plan.layout import in_words, laid_bands
from studio.plan.materials import DyeAtHand
from studio.plan.model import Plan
from studio.plan.procedure import build_procedure
from studio.plan.settled import rows_of, settle
from studio.plan.shapes import Caution, Worksheet
from studio.plan.shelf import KitItem, Shelf
from studio.plan.worked import Worked, work_all

STRONG_ACID_PERCENT = 10.0


def work_out(plan: Plan, shelf: Shelf) -> Worksheet:
    """The worksheet of a plan; PlanError where a name is unknown or the bands exceed the rows.

    A plan that must not begin still gives a worksheet: its cautions hold a `stop`.
    """
    settled = settle(plan, shelf)
    try:
        worked = work_all(settled)
    except PlanError:
        raise
    except ValueError as error:
        # The craft refuses what lies outside its ranges, in a sentence of its own.
        raise refuse(plan.file, "", f": {error}") from error
    figures = worked.figures
    cautions = all_cautions(worked)
    facts = procedure_facts(worked, cautions)
    stages, timers = build_procedure(plan, {f.id: f for f in figures}, cautions, facts)
    return Worksheet(
        title=plan.title,
        figures=figures,
        cautions=cautions,
        procedure=stages,
        timers=timers,
        facts=facts,
    )


def procedure_facts(worked: Worked, cautions: tuple[Caution, ...]) -> ProcedureFacts:
    """What the procedure needs to know."""
    settled, steam = worked.settled, worked.steam
    acid = settled.acid
    colours = tuple(_colour(worked, liquid) for liquid in worked.paint.colours)
    return ProcedureFacts(
        form=settled.form,
        dry_weight_g=settled.dry_g,
        colours=colours,
        bands=in_words(settled.plan.layout),
        acid_name=acid.name if acid else "",
        acid_state=acid.row.state if acid else "",
        acid_amount=worked.presoak.acid_amount,
        acid_strong=bool(acid and acid.row.kind == "acetic" and acid.strength_percent > STRONG_ACID_PERCENT),
        presoak_water_ml=worked.presoak.water_ml,
        presoak_ph=worked.presoak.ph if acid else None,
        presoak_min=worked.presoak.minutes,
        presoak_c=worked.presoak.temperature_c,
        squeezed_g=worked.paint.squeezed_g,
        shape=settled.plan.set.shape,
        hold_min=steam.hold_min,
        pot_water_ml=steam.pot_ml,
        pot_check_min=steam.look_min,
        cool_min=worked.cool.minutes,
        unwrap_c=worked.cool.unwrap_c,
        rinse_c=worked.cool.rinse_c,
        food_only=settled.food_only,
        any_powder=any(stock.form == "powder" for colour in colours for stock in colour.stocks),
        kit=tuple(item.name if isinstance(item, KitItem) else item for item in settled.kit),
        has_warnings=any(caution.level == "warn" for caution in cautions),
        pieces=settled.pieces,
        places=settled.plan.set.places or DEFAULT_PLACES,
        live=_live(worked),
        cost=worked.cost.facts,
        habits=habits_used(settled),
    )


def _live(worked: Worked) -> LiveFacts:
    settled, steam, plan = worked.settled, worked.steam, worked.settled.plan
    length = plan.set.length
    own = settled.own("to-steam")
    return LiveFacts(
        target_percent=worked.paint.target_percent,
        capacity_ml=worked.paint.capacity_ml,
        reserve_percent=plan.reserve_percent,
        bands=laid_bands(plan.layout, rows_of(settled)),
        thickness_cm=plan.set.thickness.value,
        length_cm=length.value if length is not None else None,
        start_c=settled.room.value,
        steam_c=steam.steam_c,
        target_c=TARGET_C,
        fast_min=steam.fast_min,
        slow_min=steam.slow_min,
        least_min=steam.least_min,
        boil_off_ml_min=steam.most_ml_min,
        hob_w=settled.hob_w.value,
        hob_efficiency=plan.set.hob_efficiency or 1.0,
        room_c=settled.room.value,
        unwrap_c=worked.cool.unwrap_c,
        knit=_knit(worked),
        to_steam_percent=own.value if own else None,
        to_steam_source=own.source if own else "",
    )


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
