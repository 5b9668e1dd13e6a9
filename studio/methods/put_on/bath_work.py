"""The liquor of a kettle: water, dye, acid, pH and salt."""

from __future__ import annotations

from typing import Literal

import msgspec

from studio.craft import liquor, shade
from studio.plan.materials import AcidAtHand
from studio.plan.settled import Settled, node, own_table
from studio.plan.shapes import BROADBENT, Figure, Origin, as_written, fig, num, weakest
from studio.plan.ways import MORE_ACID, ColourLiquid
from studio.plan.work.fibre import taken_mmol_g
from studio.plan.work.presoak import soaked_c
from studio.plan.work.souring import Soured, Souring, acid_figure, soured
from studio.plan.work.stocks import (
    StocksWork,
    StockWork,
    depth_source,
    drop_liquid_ml,
    fibre_said,
    strength_origin,
)
from studio.quantity.kinds import Quantity

DEFAULT_RATIO = 30.0
RATIO_LOW, RATIO_HIGH = 20.0, 40.0
RATIO_SOURCE = (
    "published ratios run from 20 (George Weil, Using Procion MX dyes on wool, no year: 10 L for 500 g) to 40 (studio "
    "dyer's method, J. Cowern, no year: 400 mL for 10 g)"
)
ACID_AFTER_MIN = 15.0
STAGED = (
    "J. Cowern, dye method of her studio, neither year nor place: half at the start, the rest after 15 min"
)
SALT_LOW, SALT_HIGH = 5.0, 10.0
"""% on the weight of fibre."""
SALT_SOURCE = f"{BROADBENT}, fig. 13.2 p. 244 and p. 246: 5 to 10 % of Glauber's salt, decahydrate"


AcidAdded = Literal["staged", "at the start"]
ACID_ADDED: tuple[AcidAdded, ...] = ("staged", "at the start")


class KettlePlan(msgspec.Struct, frozen=True, kw_only=True):
    """A dye bath: one colour over all of the fibre."""

    acid_added: AcidAdded | None = None
    """Half of it a quarter of an hour later, or all at the start."""
    liquor_ratio: float | None = None
    start: Quantity | None = None
    """degC of the bath when the fibre goes in."""
    ramp: float | None = None
    """degC a minute."""
    top: Quantity | None = None
    """degC that is held."""
    hold: Quantity | None = None
    parts: int = 1
    """The dye goes in at once, or in so many parts on the way up: a semi-solid."""
    pot: Quantity | None = None
    """g, the empty pot."""
    lid: bool = True


def kettle_of(settled: Settled) -> KettlePlan:
    """[kettle] of a plan."""
    return own_table(settled, KettlePlan, "kettle")


class BathWork(msgspec.Struct, frozen=True, kw_only=True):
    colours: tuple[ColourLiquid, ...]
    """The one colour."""
    bath_ml: float
    fill_ml: float
    """Water to pour: the bath without its dye."""
    soured: Soured
    salt_g: float
    """0 where none goes in."""
    parts: int
    start: Figure
    """degC when the fibre goes in; shown with the heat."""
    figures: tuple[Figure, ...]

    @property
    def rest_acid(self) -> float:
        """What goes in later."""
        return self.soured.acid_amount - self.soured.first_acid


def work_bath(settled: Settled, stocks: StocksWork) -> BathWork:
    """kettle.bath, .water, .dye, .part.<n>, .depth, .acid, its parts and its spread, .ph.first, .ph, .bound, .salt."""
    plan = kettle_of(settled)
    jars = stocks.of(settled.colours[0])
    dyed = _dye(settled, bath_dye(settled, jars), weakest(*(jar.origin for jar in jars)))
    liquid = msgspec.structs.replace(
        bath_dye(settled, jars), mixed_ml=dyed[0].value, applied_ml=dyed[0].value
    )
    dye_g = _dye_g(jars, liquid)
    if dye_g is not None:
        liquid = msgspec.structs.replace(
            liquid, depth_percent=shade.depth_percent(dye_g, liquid.colour.dyed_g), dye_g=dye_g
        )
    water, whole = _bath(settled, plan.liquor_ratio, dyed[0])
    figures = [whole, water, *dyed, *_depth(liquid, dyed[0].origin)]
    sour = _acid(settled, whole, taken_mmol_g(liquid.colour) * liquid.dye_g)
    figures.extend(sour.figures)
    salt_g, salted = _salt(settled)
    figures.extend(salted)
    return BathWork(
        colours=(liquid,),
        bath_ml=whole.value,
        fill_ml=water.value,
        soured=sour,
        salt_g=salt_g,
        parts=plan.parts,
        start=_start(settled),
        figures=tuple(figures),
    )


def _bath(settled: Settled, written: float | None, dye: Figure) -> tuple[Figure, Figure]:
    """kettle.water and .bath: by the liquor ratio, or as much water as was really poured."""
    ratio = written or DEFAULT_RATIO
    by: Origin = "plan" if written else "common practice"
    asked_ml = liquor.bath_ml(settled.dry_g, ratio)
    water_ml, bath_ml = max(0.0, asked_ml - dye.value), max(asked_ml, dye.value)
    because = (
        f"{num(asked_ml)} mL - {num(dye.value)} mL of dye = {num(water_ml)} mL; what the wet fibre brings with it is "
        "not counted"
    )
    origin = weakest(by, dye.origin)
    water = node(settled, fig("kettle.water", water_ml, "mL", "water into the pot", because, origin))
    because = f"{num(settled.dry_g)} g x liquor ratio {num(ratio)} = {num(asked_ml)} mL"
    if "kettle.water" in settled.measured:
        bath_ml, by = water.value + dye.value, weakest(by, water.origin)
        because = f"{num(water.value)} mL of water + {num(dye.value)} mL of dye = {num(bath_ml)} mL"
    source = "the plan" if written else f"liquor ratio 30; {RATIO_SOURCE}"
    return water, fig("kettle.bath", bath_ml, "mL", "bath in all", because, by, source)


def _start(settled: Settled) -> Figure:
    """kettle.start."""
    soaked = soaked_c(settled)
    label = "bath when the fibre goes in"
    because = f"{num(soaked)} °C, as warm as the wetted fibre"
    source = "dyers start just above blood heat (J. Cowern, dye method, no year)"
    figure = as_written(
        "kettle.start", kettle_of(settled).start, soaked, "degC", label, because, "house rule", source
    )
    return node(settled, figure)


def _dye_g(jars: tuple[StockWork, ...], liquid: ColourLiquid) -> float | None:
    """Dye that goes into the bath; None for drops of unknown strength."""
    if liquid.zone_ml <= 0 or any(jar.strength_percent is None for jar in jars):
        return None
    each = zip(liquid.stocks_ml, jars, strict=True)
    return (
        sum(ml * (jar.strength_percent or 0.0) / 100.0 for ml, jar in each) * liquid.mixed_ml / liquid.zone_ml
    )


def _depth(liquid: ColourLiquid, of: Origin) -> tuple[Figure, ...]:
    """kettle.depth: what the dye in the bath comes to; nothing for drops of unknown strength."""
    percent, label = liquid.depth_percent, "depth if the bath goes clear"
    if percent is None:
        return ()
    because = f"{num(liquid.dye_g)} g of dye / {fibre_said(liquid.colour)} x 100 = {num(percent)} %"
    origin = weakest(of, strength_origin(liquid.colour))
    return (fig("kettle.depth", percent, "%", label, because, origin),)


def is_staged(settled: Settled) -> bool:
    """Whether half of the acid comes later: as written; else yes, but for dye that is added in parts."""
    written = kettle_of(settled).acid_added
    return written == "staged" if written else kettle_of(settled).parts == 1


def bath_dye(settled: Settled, jars: tuple[StockWork, ...]) -> ColourLiquid:
    """The dye of a bath, without a reserve: all that was asked for goes in, and of a jar that holds more only that."""
    colour = settled.colours[0]
    if colour.plan.drops is not None:
        stocks: tuple[float, ...] = tuple(jar.volume_ml for jar in jars)
        mixed = sum(drop_liquid_ml(colour, jar.drops or 0.0) for jar in jars)
    else:
        stocks = tuple(_poured_ml(jar) for jar in jars)
        mixed = sum(stocks)
    return ColourLiquid(
        colour=colour, zone_ml=mixed, applied_ml=mixed, mixed_ml=mixed, stocks_ml=stocks, least_percent=None
    )


def _poured_ml(jar: StockWork) -> float:
    """Of a jar, what holds the dye that the depth takes; all of it where it holds less."""
    most = 100.0 * jar.needed_g / jar.strength_percent if jar.strength_percent else jar.volume_ml
    return min(jar.volume_ml, most)


def _dye(settled: Settled, liquid: ColourLiquid, of: Origin) -> list[Figure]:
    """kettle.dye and, of dye in parts, each part: what is left to pour over the parts to come."""
    plan, dye_ml, parts = liquid.colour.plan, liquid.mixed_ml, kettle_of(settled).parts
    if plan.drops is not None:
        written = f"{plan.liquid.typed} of the drop recipe, as written; " if plan.liquid else ""
        because = f"{written}its whole drops colour {num(dye_ml)} mL"
    else:
        because = " + ".join(f"{num(ml)} mL" for ml in liquid.stocks_ml) + f" of stock = {num(dye_ml)} mL"
    source = "" if plan.drops is not None else depth_source(settled)
    total = fig("kettle.dye", dye_ml, "mL", f"{plan.name} into the bath", because, of, source)
    if parts == 1:
        return [node(settled, total)]
    found: list[Figure] = []
    poured = 0.0
    for number in range(1, parts + 1):
        left = max(0.0, dye_ml - poured) / (parts - number + 1)
        because = f"({num(dye_ml)} mL - {num(poured)} mL poured) / {parts - number + 1} parts to come = {num(left)} mL"
        part = fig(f"kettle.part.{number}", left, "mL", f"part {number} of {parts} of the dye", because, of)
        found.append(node(settled, part))
        poured += found[-1].value
    return [msgspec.structs.replace(total, value=poured), *found]


def _acid(settled: Settled, whole: Figure, dye_mmol: float) -> Soured:
    # A pot that simmers comes to rest with the air, unless the plan says that it does not.
    bath = Souring(
        settled=settled,
        water_ml=whole.value,
        water_origin=whole.origin,
        open=settled.plan.water.open is not False,
        dye_mmol=dye_mmol,
    )
    acid = settled.acid
    if acid is None:
        return soured(bath)
    dose = acid_figure(bath, acid)
    poured: tuple[Figure, ...] = (dose,)
    if is_staged(settled):
        begun, rest = _halves(settled, acid, dose)
        poured = msgspec.structs.replace(dose, value=begun.value + rest.value), begun, rest
    more = settled.measured.get(MORE_ACID)
    if more is None:
        return soured(bath, *poured)
    told = fig(MORE_ACID, more, acid.unit, f"more {acid.name}", "added at the bench", "measured")
    return soured(bath, *poured, more=told)


def _halves(settled: Settled, acid: AcidAtHand, dose: Figure) -> tuple[Figure, Figure]:
    """kettle.acid.first and .rest: half at the start, and what is then left of it."""
    amount, staged = dose.value, kettle_of(settled).acid_added
    origin = weakest("published" if staged is None else "plan", dose.origin)
    label, half = f"{acid.name} at the start", amount / 2.0
    because = (
        f"{num(amount)} {acid.unit} / 2 = {num(half)} {acid.unit}; as much again after {ACID_AFTER_MIN:g} min"
    )
    first = node(settled, fig("kettle.acid.first", half, acid.unit, label, because, origin, STAGED))
    left = max(0.0, amount - first.value)
    because = f"{num(amount)} {acid.unit} - {num(first.value)} {acid.unit} = {num(left)} {acid.unit}"
    rest = fig("kettle.acid.rest", left, acid.unit, f"the rest of the {acid.name}", because, origin, STAGED)
    return first, node(settled, rest)


def _salt(settled: Settled) -> tuple[float, list[Figure]]:
    """Glauber's salt, where the plan wants it and every dye class of it bears it."""
    if settled.plan.salt == "none" or any(c.glauber != "allowed" for c in settled.classes):
        return 0.0, []
    low, high = (settled.dry_g * percent / 100.0 for percent in (SALT_LOW, SALT_HIGH))
    grams = (low + high) / 2.0
    label = "Glauber's salt"
    because = (
        f"{num(settled.dry_g)} g x {SALT_LOW:g} to {SALT_HIGH:g} % = {num(low)} to {num(high)} g; the middle"
    )
    figure = fig("kettle.salt", grams, "g", label, because, "published", SALT_SOURCE, low=low, high=high)
    figure = node(settled, figure)
    return figure.value, [figure]
