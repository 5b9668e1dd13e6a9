"""Each jar of stock, made before any paint is: dye to weigh, volume to make up, how well the scale can weigh it.

What is asked of a jar follows from what went into it before: dye that weighs more is made up to more, and what
was made up at last has the strength that it has.
"""

from __future__ import annotations

import math

import msgspec

from studio.craft import shade
from studio.plan.jars import StockPlan
from studio.plan.materials import DyeAtHand
from studio.plan.settled import BY_HAND, Settled, SettledColour, Sharing, node
from studio.plan.shapes import (
    BROADBENT,
    DEFINED,
    HOUSE,
    Figure,
    Origin,
    about,
    brief,
    fig,
    listed,
    num,
    weakest,
)
from studio.plan.steps.lay import paint_path
from studio.plan.work.fibre import RoomWork
from studio.quantity.kinds import Quantity

GUM = "JCGM 100:2008 (GUM), F.2.2.1 and 4.3.9, from memory: two readings, each rounded to the smallest step"
USP = "USP <1101>: 20 drops in 1 mL within 10 %, unless the dyer counted the own dropper"


LEAST_POUR_ML = 1.0
"""Less than this is hard to pour or pipette on a kitchen bench. House rule."""
LEAST_G = 1e-9
"""Less than this is no dye at all. House rule."""


LEAST_ML = 1e-6
"""Less than this is no liquid at all. House rule."""


class StockWork(msgspec.Struct, frozen=True, kw_only=True):
    """One jar as it is made, or is to be made."""

    jar: Sharing
    volume_ml: float
    """Of stock at its strength; of the bottle's own liquid for drops."""
    dye_g: float | None
    """Dye in it; None for drops of unknown strength."""
    strength_percent: float | None
    """Of what is in the jar; None for drops of unknown strength."""
    needed_g: float = 0.0
    """Dye the plan's depths take of it, reserve included; 0 for drops."""
    from_jar_ml: float | None = None
    """mL of the ready liquid or jar that go into it; None for powder and drops."""
    drops: float | None = None
    figures: tuple[Figure, ...] = ()
    origin: Origin = "plan"
    """Of what is in the jar."""
    left_ml: float = 0.0
    """Of its stock what no paint takes, those to be mixed and those mixed later included."""
    later: float = 0.0
    """Taken once more for paint that was mixed later, in the unit of `taken`."""

    @property
    def stock(self) -> StockPlan:
        """Its dye and strength, as the first of its colours has them."""
        return self.jar[0][1]

    @property
    def colours(self) -> str:
        """What it is for, in words: `rust`, `foam and deep`."""
        return colours_of(self.jar)

    @property
    def weighed(self) -> bool:
        """Whether it is made of powder."""
        return self.stock.dye.powder and self.drops is None

    @property
    def taken(self) -> float | None:
        """What it takes of its dye as that stands on the shelf: g of powder, mL of a liquid or a jar."""
        if self.drops is not None and not self.stock.dye.powder:
            return self.volume_ml + self.later
        if (
            self.drops is not None
        ):  # of a solution the dyer made, whose powder counts where its strength is known
            strength = self.strength_percent
            return None if strength is None else (self.volume_ml + self.later) * strength / 100.0
        first = self.dye_g if self.stock.dye.powder else self.from_jar_ml
        return None if first is None else first + self.later


class StocksWork(msgspec.Struct, frozen=True, kw_only=True):
    stocks: tuple[StockWork, ...]
    figures: tuple[Figure, ...]

    def of(self, colour: SettledColour) -> tuple[StockWork, ...]:
        """The jars of one colour, in the order of its plan."""
        jars = {work.stock.slug: work for work in self.stocks}
        return tuple(jars[stock.slug] for stock in colour.stocks)


def work_stocks(settled: Settled, room: RoomWork | None) -> StocksWork:
    """stock.<colour>[.<dye>].dye, .volume, .weighing, .round, .strength, .drops and .from_jar, once for each jar.

    `room`: of painted fibre; None for a bath, which takes all of its dye and needs no reserve.
    """
    stocks: list[StockWork] = []
    figures: list[Figure] = []
    for jar in settled.jars:
        work = _stock(settled, jar, room)
        stocks.append(work)
        figures.extend(about([colour.plan.slug for colour, _ in jar], work.figures))
    return StocksWork(stocks=tuple(stocks), figures=tuple(figures))


def reserve_source(settled: Settled) -> str:
    """Who asks for the reserve."""
    return "the plan" if settled.plan.reserve_typed else f"{HOUSE}: better a little too much than too little"


def depth_source(settled: Settled) -> str:
    """What dye for a depth rests on."""
    kept = f"; reserve: {reserve_source(settled)}" if keep_of(settled) != 1 else ""
    return f"{DEFINED}: per cent of the air-dry weight of fibre ({BROADBENT}, p. 22){kept}"


def keep_of(settled: Settled) -> float:
    """What is mixed for each mL that is needed: 1 and the reserve; a bath has none."""
    return 1 + settled.plan.reserve_percent / 100.0


def drop_liquid_ml(colour: SettledColour, drops: float) -> float:
    """mL of liquid that a number of drops is a recipe for."""
    plan = colour.plan
    return drops * plan.drops_in.value / plan.drops if plan.drops and plan.drops_in else 0.0


def _stock(settled: Settled, jar: Sharing, room: RoomWork | None) -> StockWork:
    (colour, stock), *_ = jar
    if colour.plan.drops is not None:
        return _dropped(settled, colour, stock, room)
    return (_weighed if stock.dye.powder else _poured_off)(settled, jar)


def needed_g(settled: Settled, colour: SettledColour, stock: StockPlan) -> float:
    """Dye that the depth of a colour takes of a stock, reserve included."""
    depth = colour.plan.depth.value if colour.plan.depth else 0.0
    if stock.strength is None:
        return 0.0
    # The share stands on the depth, so that the dyes of a mix come to the depth together.
    on_fibre_ml = shade.stock_ml(colour.dyed_g, depth * stock.share, stock.strength.value)
    return shade.dye_in_stock_g(on_fibre_ml * keep_of(settled), stock.strength.value)


def pour_path(colour: SettledColour, stock: StockPlan) -> str:
    """What is poured of a stock into the paint of a colour; of a mix each by its dye."""
    total = paint_path(colour.plan.slug, "stock")
    return f"{total}.{stock.dye.slug}" if len(colour.stocks) > 1 else total


def _weighed(settled: Settled, jar: Sharing) -> StockWork:
    stock = jar[0][1]
    planned = stock.strength.value if stock.strength else 0.0
    needed = sum(needed_g(settled, *each) for each in jar)
    dye = node(settled, _dye(settled, jar, needed))
    volume = node(settled, _volume(settled, jar, dye.value / planned * 100.0 if planned else 0.0))
    dye_g = dye.value if dye.value > LEAST_G else None
    made = dye_g / volume.value * 100.0 if dye_g and volume.value > LEAST_ML else planned
    rounded = () if dye_g is None else _round(settled, stock, volume)
    weighed = () if dye_g is None else (_weighing(settled, jar, dye),)
    figures = (dye, volume, _strength(jar, dye, volume, made))
    return StockWork(
        jar=jar,
        volume_ml=volume.value,
        dye_g=dye_g,
        strength_percent=made,
        needed_g=needed,
        figures=(*figures, *weighed, *rounded) if needed > 0 else (),
        origin=weakest("plan", *(f.origin for f in figures)) if needed > 0 else "plan",
    )


def _poured_off(settled: Settled, jar: Sharing) -> StockWork:
    """A ready liquid or a jar, thinned to the strength that is wanted; its label is believed."""
    stock = jar[0][1]
    planned = stock.strength.value if stock.strength else 0.0
    grams = sum(needed_g(settled, *each) for each in jar)
    volume = node(settled, _volume(settled, jar, grams / planned * 100.0 if planned else 0.0))
    ready, from_jar = stock.dye.ready_percent, None
    dye_g = volume.value * planned / 100.0
    dye = _dye(settled, jar, dye_g)
    figures = [dye, volume, _strength(jar, dye, volume, planned)]
    if ready is not None and volume.value > 0 and planned:
        from_jar = shade.dilution_ml(ready, planned, volume.value)
        figures.append(
            fig(
                f"stock.{stock.slug}.from_jar",
                from_jar,
                "mL",
                _said(jar, "from the jar"),
                f"{num(volume.value)} mL x {num(planned)} % / {num(ready)} % = {num(from_jar)} mL",
                weakest("yours", volume.origin),
                "strength on the shelf's label",
            )
        )
    return StockWork(
        jar=jar,
        volume_ml=volume.value,
        dye_g=dye_g if volume.value > 0 else None,
        strength_percent=planned or None,
        needed_g=grams,
        from_jar_ml=from_jar,
        figures=tuple(figures) if grams > 0 else (),
        origin=weakest("plan", *(f.origin for f in figures)) if grams > 0 else "plan",
    )


def _dropped(settled: Settled, colour: SettledColour, stock: StockPlan, room: RoomWork | None) -> StockWork:
    """Drops counted: the recipe scaled to the liquid, in whole drops, for nobody counts part of one."""
    per_ml = settled.shelf.studio.drops_per_ml
    drops = node(settled, _drops(settled, colour, stock, room))
    volume_ml = shade.drops_ml(drops.value, per_ml)
    planned = stock.strength.value if stock.strength else None
    volume = fig(
        f"stock.{stock.slug}.volume",
        volume_ml,
        "mL",
        f"dye liquid for {colour.plan.name}",
        f"the drops: {num(volume_ml)} mL{', reserve included' if keep_of(settled) != 1 else ''}",
        weakest("plan", drops.origin),
        depth_source(settled),
    )
    return StockWork(
        jar=((colour, stock),),
        volume_ml=volume_ml,
        dye_g=shade.dye_in_stock_g(volume_ml, planned) if planned and volume_ml > 0 else None,
        strength_percent=planned,
        drops=drops.value,
        figures=(drops, volume),
        origin=weakest("plan", drops.origin, volume.origin),
    )


def _drops(settled: Settled, colour: SettledColour, stock: StockPlan, room: RoomWork | None) -> Figure:
    plan, keep = colour.plan, keep_of(settled)
    recipe, into = plan.drops or 0.0, plan.drops_in.value if plan.drops_in else 0.0
    if room is None:
        wanted = (plan.liquid.value if plan.liquid else into) * settled.scale
    else:
        wanted = settled.zone_ml(colour, room.capacity_ml) * keep
    exact = shade.scaled_drops(recipe, into, wanted)
    because = f"{num(recipe)} drops x {num(wanted)} mL / {num(into)} mL = {num(exact)} drops"
    drops = float(max(1, round(exact)))
    # Rounding down may eat into the reserve, never into what the fibre takes.
    if room is not None and drop_liquid_ml(colour, drops) < wanted / keep:
        drops = float(math.ceil(exact))
    if drops != exact:
        because += f", {num(drops)} whole ones"
        because += f", for {num(drop_liquid_ml(colour, drops))} mL" if room is not None else ""
    origin: Origin = "common practice"
    source = f"a drop recipe scales with its water; {USP}"
    if room is not None:
        origin = origin if plan.liquid else weakest(origin, room.origin)
        source += f"; reserve: {reserve_source(settled)}"
    return fig(
        f"stock.{stock.slug}.drops",
        drops,
        "1",
        f"drops of {stock.dye.name}",
        because,
        origin,
        source,
    )


def colours_of(jar: Sharing) -> str:
    """The colours of a jar, in words."""
    return listed([colour.plan.name for colour, _ in jar])


def _said(jar: Sharing, what: str) -> str:
    """What a figure is, and of which jar: with its dye where a colour has several."""
    dye = jar[0][1].dye.name if any(len(colour.stocks) > 1 for colour, _ in jar) else ""
    return " ".join(word for word in (dye, what, "for", colours_of(jar)) if word)


def _dye(settled: Settled, jar: Sharing, grams: float) -> Figure:
    """stock.<colour>.dye: how the dye in a jar hangs together with the depths of shade."""
    keep, terms = keep_of(settled), []
    for colour, stock in jar:
        share = f" x {num(stock.share)}" if len(colour.stocks) > 1 else ""
        depth = num(colour.plan.depth.value if colour.plan.depth else 0.0)
        terms.append(f"{fibre_said(colour)} x {depth} %{share}")
    said = " + ".join(terms)
    if keep != 1:
        said = f"{f'({said})' if len(terms) > 1 else said} x {num(keep)} for the reserve"
    because, label = f"{said} = {num(grams)} g", _said(jar, "dye")
    return fig(f"stock.{jar[0][1].slug}.dye", grams, "g", label, because, "plan", depth_source(settled))


def strength_origin(colour: SettledColour) -> Origin:
    """The weakest strength of its stocks, where it is known."""
    return weakest("plan", *(stock.strength.origin for stock in colour.stocks if stock.strength))


def fibre_said(colour: SettledColour) -> str:
    """The weight its depth is counted on, in words: all of its fibre, or the part that takes the dye."""
    if colour.takes > 0.9995:
        return f"{num(colour.fibre_g)} g of fibre"
    return f"{num(colour.dyed_g)} g that takes the dye, of {num(colour.fibre_g)} g of fibre"


def _volume(settled: Settled, jar: Sharing, volume_ml: float) -> Figure:
    stock = jar[0][1]
    kept = ", reserve included" if keep_of(settled) != 1 else ""
    strength, of = stock.strength, stock.strength.origin if stock.strength else "plan"
    made = f" of {num(strength.value)} %" if strength else ""
    because = f"its dye made up to the strength{made}: {num(volume_ml)} mL{kept}"
    path, label = f"stock.{stock.slug}.volume", _said(jar, "stock")
    return fig(path, volume_ml, "mL", label, because, weakest("plan", of), depth_source(settled))


def _strength(jar: Sharing, dye: Figure, volume: Figure, made: float) -> Figure:
    stock = jar[0][1]
    planned = stock.strength
    if planned is None:
        raise ValueError(f"The strength of {stock.dye.name} is not known.")
    path, label = f"stock.{stock.slug}.strength", f"strength of {_said(jar, 'stock')}"
    origin = weakest(dye.origin, volume.origin)
    if origin != "measured" and math.isclose(made, planned.value, rel_tol=1e-9):
        because = f"{num(planned.value)} g of dye made up to 100 mL"
        return fig(path, made, "%", label, because, planned.origin, planned.source)
    because = (
        f"{num(dye.value)} g / {num(volume.value)} mL x 100 = {num(made)} %; planned {num(planned.value)} %"
    )
    return fig(path, made, "%", label, because, origin, BY_HAND if origin == "measured" else planned.source)


def _weighing(settled: Settled, jar: Sharing, dye: Figure) -> Figure:
    step, grams = settled.scale_g.value, dye.value
    doubt = shade.weighing_doubt(step)
    percent = doubt.most_of_20_g / grams * 100.0
    return fig(
        f"stock.{jar[0][1].slug}.weighing",
        percent,
        "%",
        f"weighing error, {_said(jar, 'dye')}",
        f"tare and reading, 95 %: 0.776 x {num(step)} g / {num(grams)} g x 100 = {num(percent)} %; standard: "
        f"{num(step)} g / root 6",
        weakest(settled.scale_g.origin, dye.origin),
        f"{GUM}; smallest step: {settled.scale_g.source}",
    )


def on_hand(settled: Settled, dye: DyeAtHand) -> Quantity | None:
    """What the shelf has of a dye: g of a powder, mL of a liquid; None where nobody wrote it down."""
    entry = next((one for one in settled.shelf.dyes if one.name == dye.name), None)
    return None if dye.jar or entry is None else entry.on_hand


def round_ml(settled: Settled, stock: StockPlan, needed_ml: float) -> float | None:
    """A round volume of stock, whose dye can be weighed well and is on the shelf; None where there is none."""
    percent, there = stock.strength.value if stock.strength else 0.0, on_hand(settled, stock.dye)
    ml = shade.round_stock_ml(settled.scale_g.value, percent, needed_ml)
    return None if ml is None or (there and ml * percent / 100.0 > there.value) else ml


def _round(settled: Settled, stock: StockPlan, volume: Figure) -> tuple[Figure, ...]:
    """stock.<colour>.round: the dye of a round volume, which may be weighed instead; the rest is for the shelf."""
    percent = stock.strength.value if stock.strength else 0.0
    if volume.value <= LEAST_ML or not percent:
        return ()
    ml = round_ml(settled, stock, volume.value)
    left = (ml or 0.0) - volume.value
    if ml is None or left < LEAST_POUR_ML:
        return ()
    grams = ml * percent / 100.0
    because = f"{num(ml)} mL x {num(percent)} % = {num(grams)} g, which leaves {num(left)} mL for the shelf"
    label = f"dye for {brief(ml)} mL, keeping the rest"
    by = weakest("house rule", volume.origin, settled.scale_g.origin)
    source = f"a volume that jars are marked at, weighed well; smallest step: {settled.scale_g.source}"
    return (fig(f"stock.{stock.slug}.round", grams, "g", label, because, by, source),)
