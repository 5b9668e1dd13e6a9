"""The liquor of a kettle: water, dye, acid, pH and salt."""

from __future__ import annotations

import msgspec

from studio.craft import liquor, shade
from studio.plan.doses import Spread, mol_per_unit, published_spread
from studio.plan.figure_text import BROADBENT, PRACTICE, fig, num
from studio.plan.figures_paint import ColourLiquid
from studio.plan.figures_presoak import acid_figure, beside_acid, ph_figure
from studio.plan.settled import Settled, SettledColour
from studio.plan.shapes import Figure
from studio.plan.soak import soak_with, water_of

DEFAULT_RATIO = 30.0
RATIO_LOW, RATIO_HIGH = 20.0, 40.0
RATIO_SOURCE = (
    "published ratios run from 20 (supplier's recipe, George Weil, undated: 10 L for 500 g) to 40 (studio "
    "dyer's method, J. Cowern, undated: 400 mL for 10 g)"
)
ACID_AFTER_MIN = 15.0
STAGED = "studio dyer's method (J. Cowern, undated): half at the start, the rest after 15 min"
SALT_LOW, SALT_HIGH = 5.0, 10.0
"""% on the weight of fibre."""
SALT_SOURCE = f"{BROADBENT}, fig. 13.2 p. 244 and p. 246: 5 to 10 % of Glauber's salt, decahydrate"


class BathWork(msgspec.Struct, frozen=True, kw_only=True):
    liquid: ColourLiquid
    """The one colour."""
    bath_ml: float
    fill_ml: float
    """Water to pour: the bath without its dye."""
    acid_amount: float
    """mL or g in all; 0 without acid."""
    first_acid: float
    """What goes in at the start."""
    ph: float
    spread: Spread | None
    salt_g: float
    """0 where none goes in."""
    parts: int
    staged: bool
    figures: tuple[Figure, ...]


def work_bath(settled: Settled) -> BathWork:
    """kettle.bath, .water, .dye, .part, .acid, .acid.first, .acid.spread, .ph, .bound, .salt."""
    plan = settled.kettle
    liquid = bath_dye(settled, settled.colours[0])
    ratio = plan.liquor_ratio or DEFAULT_RATIO
    bath_ml = liquor.bath_ml(settled.dry_g, ratio)
    dye_ml = liquid.mixed_ml if liquid.colour.plan.drops is not None else liquid.stock_ml
    fill_ml = max(0.0, bath_ml - dye_ml)
    figures = [
        fig(
            "kettle.bath",
            bath_ml,
            "mL",
            "bath in all",
            f"{num(settled.dry_g)} g x liquor ratio {num(ratio)} = {num(bath_ml)} mL",
            "plan" if plan.liquor_ratio else "common practice",
            "the plan" if plan.liquor_ratio else f"{PRACTICE}: liquor ratio 30; {RATIO_SOURCE}",
        ),
        fig(
            "kettle.water",
            fill_ml,
            "mL",
            "water into the pot",
            f"{num(bath_ml)} mL - {num(dye_ml)} mL of dye = {num(fill_ml)} mL; what the wet fibre brings with "
            "it is not counted",
            "plan" if plan.liquor_ratio else "common practice",
        ),
        *_dye(settled, liquid, dye_ml),
    ]
    amount, first, spread, soured = _acid(settled, bath_ml)
    figures.extend(soured)
    salt_g, salted = _salt(settled)
    figures.extend(salted)
    return BathWork(
        liquid=liquid,
        bath_ml=bath_ml,
        fill_ml=fill_ml,
        acid_amount=amount,
        first_acid=first,
        ph=next(f.value for f in figures if f.id == "kettle.ph"),
        spread=spread,
        salt_g=salt_g,
        parts=plan.parts,
        staged=is_staged(settled),
        figures=tuple(figures),
    )


def is_staged(settled: Settled) -> bool:
    """Whether half of the acid comes later: as written; else yes, but for dye that is added in parts."""
    written = settled.kettle.acid_added
    return written == "staged" if written else settled.kettle.parts == 1


def bath_dye(settled: Settled, colour: SettledColour) -> ColourLiquid:
    """The dye of a bath, without a reserve: all of it goes in."""
    plan = colour.plan
    if plan.drops is not None and plan.drops_in is not None:
        mixed = plan.liquid.value if plan.liquid else plan.drops_in.value
        drops = shade.scaled_drops(plan.drops, plan.drops_in.value, mixed)
        stocks: tuple[float, ...] = (shade.drops_ml(drops, settled.shelf.studio.drops_per_ml),)
    else:
        parts = [(s.share, s.strength.value) for s in colour.stocks if s.strength is not None]
        stocks = shade.mixture_stocks_ml(colour.fibre_g, plan.depth.value if plan.depth else 0.0, parts)
        mixed = sum(stocks)
    return ColourLiquid(
        colour=colour, applied_ml=mixed, mixed_ml=mixed, stocks_ml=tuple(stocks), least_percent=None
    )


def _dye(settled: Settled, liquid: ColourLiquid, dye_ml: float) -> list[Figure]:
    plan = liquid.colour.plan
    if plan.drops is not None:
        because = f"{plan.liquid.typed if plan.liquid else num(dye_ml)} of the drop recipe, as written"
    else:
        depth = plan.depth.value if plan.depth else 0.0
        dye_g = settled.dry_g * depth / 100.0
        because = (
            f"{num(settled.dry_g)} g x {num(depth)} % = {num(dye_g)} g of dye, as "
            + " + ".join(f"{num(ml)} mL" for ml in liquid.stocks_ml)
            + " of stock"
        )
    figures = [
        fig(
            "kettle.dye",
            dye_ml,
            "mL",
            f"{plan.name} into the bath",
            because,
            "plan" if plan.drops is not None else "published",
            "the plan" if plan.drops is not None else f"{BROADBENT}, p. 22: per cent of the air-dry weight",
        )
    ]
    parts = settled.kettle.parts
    if parts > 1:
        figures.append(
            fig(
                "kettle.part",
                dye_ml / parts,
                "mL",
                "each part of the dye",
                f"{num(dye_ml)} mL / {parts} parts = {num(dye_ml / parts)} mL",
                "plan",
            )
        )
    return figures


def _acid(settled: Settled, bath_ml: float) -> tuple[float, float, Spread | None, list[Figure]]:
    water, acid = water_of(settled), settled.acid
    is_open = settled.plan.water.open
    if acid is None:
        soak = soak_with(0.0, (), water, open_to_air=is_open)
        return 0.0, 0.0, None, [ph_figure(settled, soak, 0.0, bath_ml, water.alkalinity_meq_l)]
    amount, soak, figure = acid_figure(settled, acid, water, bath_ml)
    spread = published_spread(acid, settled.dry_g)
    figures = [figure]
    first = amount
    if is_staged(settled):
        first = amount / 2.0
        half = soak_with(
            first * mol_per_unit(acid) * 1000.0 / bath_ml, tuple(acid.row.pkas), water, open_to_air=is_open
        )
        figures.append(
            fig(
                "kettle.acid.first",
                first,
                acid.unit,
                f"{acid.name} at the start",
                f"{num(amount)} {acid.unit} / 2 = {num(first)} {acid.unit}, which brings the bath to pH "
                f"{half.ph:.2f}; as much again after {ACID_AFTER_MIN:g} min",
                "published" if settled.kettle.acid_added is None else "plan",
                STAGED,
            )
        )
    figures.extend(beside_acid(settled, acid, spread, amount))
    figures.append(ph_figure(settled, soak, amount, bath_ml, water.alkalinity_meq_l))
    return amount, first, spread, figures


def _salt(settled: Settled) -> tuple[float, list[Figure]]:
    """Glauber's salt, where the plan wants it and every dye class of it bears it."""
    if settled.plan.salt == "none" or any(c.glauber != "allowed" for c in settled.classes):
        return 0.0, []
    low, high = (settled.dry_g * percent / 100.0 for percent in (SALT_LOW, SALT_HIGH))
    grams = (low + high) / 2.0
    figure = fig(
        "kettle.salt",
        grams,
        "g",
        "Glauber's salt",
        f"{num(settled.dry_g)} g x {SALT_LOW:g} to {SALT_HIGH:g} % = {num(low)} to {num(high)} g; the middle",
        "published",
        SALT_SOURCE,
        low=low,
        high=high,
    )
    return grams, [figure]
