"""Each jar of stock, made before any paint is: dye to weigh, volume to make up, how well the scale can weigh it.

What is asked of a jar follows from what went into it before: dye that weighs more is made up to more, and what
was made up at last has the strength that it has.
"""

from __future__ import annotations

import math

import msgspec

from studio.craft import shade
from studio.plan.settled import Settled, SettledColour, StockPlan, node
from studio.plan.shapes import BROADBENT, DEFINED, HOUSE, Figure, Origin, about, fig, num, weakest
from studio.plan.work.fibre import RoomWork, zone_ml

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

    stock: StockPlan
    colour: str
    volume_ml: float
    """Of stock at its strength; of the bottle's own liquid for drops."""
    dye_g: float | None
    """Dye in it; None for drops of unknown strength."""
    strength_percent: float | None
    """Of what is in the jar; None for drops of unknown strength."""
    needed_g: float
    """Dye the plan's depth takes of it, reserve included; 0 for drops."""
    from_jar_ml: float | None
    """mL of the ready liquid or jar that go into it; None for powder and drops."""
    drops: float | None
    figures: tuple[Figure, ...]
    later: float = 0.0
    """Taken once more for paint that was mixed later, in the unit of `taken`."""

    @property
    def origin(self) -> Origin:
        """Of what is in the jar."""
        return weakest("plan", *(f.origin for f in self.figures if not f.id.endswith(".weighing")))

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
        return tuple(w for w in self.stocks if any(w.stock is s for s in colour.stocks))


def work_stocks(settled: Settled, room: RoomWork | None) -> StocksWork:
    """stock.<colour>[.<dye>].dye, .volume, .weighing, .strength, .drops, .from_jar, and totals of a mix.

    `room`: of painted fibre; None for a bath, which takes all of its dye and needs no reserve.
    """
    stocks: list[StockWork] = []
    figures: list[Figure] = []
    for colour in settled.colours:
        own = [_stock(settled, colour, stock, room) for stock in colour.stocks]
        mine = [f for work in own for f in work.figures]
        if len(own) > 1:
            mine.extend(_totals(colour, own))
        figures.extend(about(colour.plan.slug, mine))
        stocks.extend(own)
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


def _stock(settled: Settled, colour: SettledColour, stock: StockPlan, room: RoomWork | None) -> StockWork:
    if colour.plan.drops is not None:
        return _dropped(settled, colour, stock, room)
    depth = colour.plan.depth.value if colour.plan.depth else 0.0
    planned = stock.strength.value if stock.strength else 0.0
    # The share stands on the depth, so that the dyes of a mix come to the depth together.
    on_fibre = shade.stock_ml(colour.dyed_g, depth * stock.share, planned) if planned else 0.0
    needed_g = shade.dye_in_stock_g(on_fibre * keep_of(settled), planned) if planned else 0.0
    return (_weighed if stock.dye.powder else _poured_off)(settled, colour, stock, needed_g, planned)


def _weighed(
    settled: Settled, colour: SettledColour, stock: StockPlan, needed_g: float, planned: float
) -> StockWork:
    key, part = f"stock.{stock.slug}", _part(colour, stock)
    dye = node(
        settled,
        fig(
            f"{key}.dye",
            needed_g,
            "g",
            f"{part}dye for {colour.plan.name}",
            _weight_said(settled, colour, stock, needed_g),
            "plan",
            depth_source(settled),
        ),
    )
    volume = node(
        settled, _volume(settled, stock, part, colour, dye.value / planned * 100.0 if planned else 0.0)
    )
    dye_g = dye.value if dye.value > LEAST_G else None
    made = dye_g / volume.value * 100.0 if dye_g and volume.value > LEAST_ML else planned
    figures = [dye, volume, _strength(settled, stock, part, colour, dye.value, volume.value, made)]
    if dye_g is not None:
        figures.append(_weighing(settled, stock, f"{part}for {colour.plan.name}", dye))
    return StockWork(
        stock=stock,
        colour=colour.plan.name,
        volume_ml=volume.value,
        dye_g=dye_g,
        strength_percent=made,
        needed_g=needed_g,
        from_jar_ml=None,
        drops=None,
        figures=tuple(figures) if needed_g > 0 else (),
    )


def _poured_off(
    settled: Settled, colour: SettledColour, stock: StockPlan, needed_g: float, planned: float
) -> StockWork:
    """A ready liquid or a jar, thinned to the strength that is wanted; its label is believed."""
    key, part = f"stock.{stock.slug}", _part(colour, stock)
    volume = node(
        settled, _volume(settled, stock, part, colour, needed_g / planned * 100.0 if planned else 0.0)
    )
    ready, from_jar = stock.dye.ready_percent, None
    dye_g = volume.value * planned / 100.0
    dye = fig(
        f"{key}.dye",
        dye_g,
        "g",
        f"{part}dye for {colour.plan.name}",
        _weight_said(settled, colour, stock, dye_g),
        "plan",
        depth_source(settled),
    )
    figures = [dye, volume, _strength(settled, stock, part, colour, dye_g, volume.value, planned)]
    if ready is not None and volume.value > 0 and planned:
        from_jar = shade.dilution_ml(ready, planned, volume.value)
        figures.append(
            fig(
                f"{key}.from_jar",
                from_jar,
                "mL",
                f"{part}from the jar for {colour.plan.name}",
                f"{num(volume.value)} mL x {num(planned)} % / {num(ready)} % = {num(from_jar)} mL",
                weakest("yours", volume.origin),
                "strength on the shelf's label",
            )
        )
    return StockWork(
        stock=stock,
        colour=colour.plan.name,
        volume_ml=volume.value,
        dye_g=dye_g if volume.value > 0 else None,
        strength_percent=planned or None,
        needed_g=needed_g,
        from_jar_ml=from_jar,
        drops=None,
        figures=tuple(figures) if needed_g > 0 else (),
    )


def _dropped(settled: Settled, colour: SettledColour, stock: StockPlan, room: RoomWork | None) -> StockWork:
    """Drops counted: the recipe scaled to the liquid, in whole drops, for nobody counts part of one."""
    per_ml = settled.shelf.studio.drops_per_ml
    drops = node(settled, _drops(settled, colour, stock, room))
    volume_ml = shade.drops_ml(drops.value, per_ml)
    planned = stock.strength.value if stock.strength else None
    volume = _volume(settled, stock, "", colour, volume_ml, weakest("plan", drops.origin))
    return StockWork(
        stock=stock,
        colour=colour.plan.name,
        volume_ml=volume_ml,
        dye_g=shade.dye_in_stock_g(volume_ml, planned) if planned and volume_ml > 0 else None,
        strength_percent=planned,
        needed_g=0.0,
        from_jar_ml=None,
        drops=drops.value,
        figures=(drops, volume),
    )


def _drops(settled: Settled, colour: SettledColour, stock: StockPlan, room: RoomWork | None) -> Figure:
    plan, keep = colour.plan, keep_of(settled)
    recipe, into = plan.drops or 0.0, plan.drops_in.value if plan.drops_in else 0.0
    if room is None:
        wanted = (plan.liquid.value if plan.liquid else into) * settled.scale
    else:
        wanted = zone_ml(settled, colour, room) * keep
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


def _part(colour: SettledColour, stock: StockPlan) -> str:
    return f"{stock.dye.name} " if len(colour.stocks) > 1 else ""


def _weight_said(settled: Settled, colour: SettledColour, stock: StockPlan, grams: float) -> str:
    """How the dye in a jar hangs together with the depth of shade."""
    keep = keep_of(settled)
    depth = num(colour.plan.depth.value if colour.plan.depth else 0.0)
    share = f" x {num(stock.share)}" if len(colour.stocks) > 1 else ""
    kept = f" x {num(keep)} for the reserve" if keep != 1 else ""
    return f"{fibre_said(colour)} x {depth} %{share}{kept} = {num(grams)} g"


def strength_origin(colour: SettledColour) -> Origin:
    """The weakest strength of its stocks, where it is known."""
    return weakest("plan", *(stock.strength.origin for stock in colour.stocks if stock.strength))


def fibre_said(colour: SettledColour) -> str:
    """The weight its depth is counted on, in words: all of its fibre, or the part that takes the dye."""
    if colour.takes > 0.9995:
        return f"{num(colour.fibre_g)} g of fibre"
    return f"{num(colour.dyed_g)} g that takes the dye, of {num(colour.fibre_g)} g of fibre"


def _volume(
    settled: Settled,
    stock: StockPlan,
    part: str,
    colour: SettledColour,
    volume_ml: float,
    of: Origin = "plan",
) -> Figure:
    if colour.plan.drops is not None:
        label, what = f"dye liquid for {colour.plan.name}", "the drops"
    else:
        label, what = f"{part}stock for {colour.plan.name}", "its dye made up to the strength"
        if stock.strength is not None:
            what += f" of {num(stock.strength.value)} %"
            of = weakest(of, stock.strength.origin)
    kept = ", reserve included" if keep_of(settled) != 1 else ""
    return fig(
        f"stock.{stock.slug}.volume",
        volume_ml,
        "mL",
        label,
        f"{what}: {num(volume_ml)} mL{kept}",
        of,
        depth_source(settled),
    )


def _strength(
    settled: Settled, stock: StockPlan, part: str, colour: SettledColour, grams: float, ml: float, made: float
) -> Figure:
    planned = stock.strength
    if planned is None:
        raise ValueError(f"The strength of {stock.dye.name} is not known.")
    as_planned = math.isclose(made, planned.value, rel_tol=1e-9)
    because = (
        f"{num(planned.value)} g of dye made up to 100 mL"
        if as_planned
        else f"{num(grams)} g / {num(ml)} mL x 100 = {num(made)} %; planned {num(planned.value)} %"
    )
    return fig(
        f"stock.{stock.slug}.strength",
        made,
        "%",
        f"strength of {part}stock for {colour.plan.name}",
        because,
        planned.origin,
        planned.source,
    )


def _weighing(settled: Settled, stock: StockPlan, named: str, dye: Figure) -> Figure:
    step, grams = settled.scale_g.value, dye.value
    doubt = shade.weighing_doubt(step)
    percent = doubt.most_of_20_g / grams * 100.0
    return fig(
        f"stock.{stock.slug}.weighing",
        percent,
        "%",
        f"weighing error, {named}",
        f"tare and reading, 95 %: 0.776 x {num(step)} g / {num(grams)} g x 100 = {num(percent)} %; standard: "
        f"{num(step)} g / root 6",
        weakest(settled.scale_g.origin, dye.origin),
        f"{GUM}; smallest step: {settled.scale_g.source}",
    )


def _totals(colour: SettledColour, own: list[StockWork]) -> list[Figure]:
    plan = colour.plan
    grams = [work.dye_g or 0.0 for work in own]
    volumes = [work.volume_ml for work in own]
    origin = weakest(*(work.origin for work in own))
    return [
        fig(
            f"stock.{plan.slug}.dye",
            sum(grams),
            "g",
            f"all dye for {plan.name}",
            " + ".join(num(g) for g in grams) + f" = {num(sum(grams))} g",
            origin,
        ),
        fig(
            f"stock.{plan.slug}.volume",
            sum(volumes),
            "mL",
            f"all stocks for {plan.name}",
            " + ".join(num(ml) for ml in volumes) + f" = {num(sum(volumes))} mL",
            origin,
        ),
    ]
