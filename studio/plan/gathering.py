"""What the procedure needs to know of a worked plan; each method adds what is its own."""

from __future__ import annotations

from typing import Literal

from studio.plan.facts import (
    ColourFacts,
    ProcedureFacts,
    StockFacts,
)
from studio.plan.materials import DyeAtHand
from studio.plan.shapes import Caution
from studio.plan.ways import ColourLiquid, habits_used
from studio.plan.work.stocks import StockWork
from studio.plan.work.worked import Worked

STRONG_ACID_PERCENT = 10.0


def procedure_facts(worked: Worked, cautions: tuple[Caution, ...]) -> ProcedureFacts:
    """What the procedure needs to know."""
    settled, acid = worked.settled, worked.settled.acid
    colours = tuple(_colour(worked, liquid) for liquid in worked.liquids)
    facts = ProcedureFacts(
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
        presoak_ph=worked.presoak.ph if acid and worked.method.put_on.acid_at == "presoak" else None,
        presoak_min=worked.presoak.minutes,
        presoak_c=worked.presoak.temperature_c,
        cool_min=worked.cool.minutes,
        unwrap_c=worked.cool.unwrap_c,
        rinse_c=worked.cool.rinse_c,
        food_only=settled.food_only,
        any_powder=any(stock.form == "powder" for colour in colours for stock in colour.stocks),
        has_warnings=any(caution.level == "warn" for caution in cautions),
        pieces=settled.pieces,
        habits=habits_used(settled),
    )
    return worked.method.set_by.facts(worked, worked.method.put_on.facts(worked, facts))


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
