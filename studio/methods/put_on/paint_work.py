"""What is mixed for each colour from the jars as they are, how much goes on, and the depth that comes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import msgspec

from studio.craft import shade
from studio.methods.put_on.additions import (
    OnThePiece,
    additions,
    in_100_ml,
    mixed_later,
    on_the_piece,
    ph_figures,
    refuse_gum,
    swell_figure,
)
from studio.plan.settled import BY_HAND, Settled, SettledColour, node
from studio.plan.shapes import PRACTICE, Figure, Origin, about, fig, num, weakest
from studio.plan.steps.lay import paint_path
from studio.plan.ways import Addition, ColourLiquid
from studio.plan.work.fibre import RoomWork, each_figure
from studio.plan.work.presoak import PresoakWork
from studio.plan.work.stocks import (
    LEAST_ML,
    StocksWork,
    StockWork,
    depth_source,
    drop_liquid_ml,
    fibre_said,
    keep_of,
    needed_g,
    pour_path,
    reserve_source,
    strength_origin,
)

POURED = (
    "mL of stock = g of fibre x depth % / stock % (all suppliers agree), Broadbent 2001, p. 22 for the weight"
)


class PaintWork(msgspec.Struct, frozen=True, kw_only=True):
    room: RoomWork
    colours: tuple[ColourLiquid, ...]
    pieces: tuple[OnThePiece | None, ...]
    """The acid under each of them."""
    figures: tuple[Figure, ...]

    @property
    def soured(self) -> None:
        """The pH of the goods is the soak's."""

    @property
    def capacity_ml(self) -> float:
        """Of the squeezed fibre."""
        return self.room.capacity_ml

    @property
    def applied_ml(self) -> float:
        """Paint of all colours that goes onto the fibre."""
        return sum(colour.applied_ml for colour in self.colours)

    def held_ml(self, settled: Settled) -> float:
        """Liquid in the goods as they are wrapped: the water left in them and the paint on them."""
        return max(0.0, self.room.squeezed_g - settled.dry_g) + self.applied_ml

    def pick_up(self, settled: Settled) -> float:
        """g of it in a g of dry fibre."""
        return self.held_ml(settled) / settled.dry_g


def work_paint(settled: Settled, room: RoomWork, stocks: StocksWork, presoak: PresoakWork) -> PaintWork:
    """paint.<colour>.fibre, .liquid, .stock, .water, .acid, .thickener, .apply, .depth, .ph and, of several, .each."""
    figures: list[Figure] = list(room.figures)
    colours, pieces = [], []
    for colour in settled.colours:
        liquid, own = _mixed(settled, colour, room, stocks.of(colour))
        colours.append(liquid)
        pieces.append(on_the_piece(settled, room, presoak, liquid))
        put_on = _put_on(settled, liquid, weakest(own[0].origin, own[1].origin))
        each = each_figure(settled, colour.plan.slug, colour.plan.name, liquid.applied_ml, put_on[0].origin)
        own = (
            _fibre(settled, colour),
            *own,
            *put_on,
            *ph_figures(settled, liquid, pieces[-1]),
            *_told(settled, liquid),
            *each,
        )
        figures.extend(about([colour.plan.slug], own))
    if settled.thickener:
        refuse_gum(settled, presoak, colours)
        figures.append(swell_figure(settled.thickener))
    figures.extend(mixed_later(settled))
    return PaintWork(room=room, colours=tuple(colours), pieces=tuple(pieces), figures=tuple(figures))


def _as_painted(settled: Settled, colour: SettledColour) -> SettledColour:
    """The colour on the fibre that was painted with it, where that is not the layout's."""
    painted_g = settled.measured.get(paint_path(colour.plan.slug, "fibre"))
    if painted_g is None:
        return colour
    return msgspec.structs.replace(colour, fibre_g=min(painted_g, settled.dry_g))


def _meant_ml(settled: Settled, laid: SettledColour, painted: SettledColour, room_ml: float) -> float:
    """Liquid meant for the fibre that is painted: for each g as much as for the layout's."""
    meant_ml = settled.zone_ml(laid, room_ml)
    if painted is laid:
        return meant_ml
    if laid.fibre_g > 0:
        return meant_ml * painted.fibre_g / laid.fibre_g
    return settled.zone_ml(painted, room_ml)


def _mixed(
    settled: Settled, colour: SettledColour, room: RoomWork, jars: tuple[StockWork, ...]
) -> tuple[ColourLiquid, tuple[Figure, ...]]:
    """What is mixed of a colour: of stocks in one proportion, so that the hue stays, or as its drops were counted."""
    plan, zone = colour.plan, settled.zone_ml(colour, room.capacity_ml)
    # Stocks that leave no room for water leave some for what is added.
    share = sum(added.ml for added in in_100_ml(settled, colour)) / 100.0
    if plan.drops is not None:
        poured: tuple[Figure, ...] = (_counted(settled, colour, jars[0]),)
        of, for_zone, least = jars[0].origin, drop_liquid_ml(colour, jars[0].drops or 0.0), None
        asked, stocks = for_zone, tuple(f.value for f in poured)
    else:
        got = min((_share_there(settled, colour, jar) for jar in jars if jar.needed_g > 0), default=1.0)
        of_each, poured = _pours(settled, colour, jars, got)
        of, for_zone, least = of_each[0].origin, zone * keep_of(settled), _least(colour, zone * (1.0 - share))
        stocks = tuple(f.value for f in of_each)
        asked = max(zone * max(got * keep_of(settled), 1.0), sum(stocks) / (1.0 - share))
    liquid = node(settled, _liquid(settled, colour, room, zone, asked, of))
    added, own = additions(settled, colour, _at_least(liquid.value, stocks), liquid.origin)
    mixed = _at_least(liquid.value, stocks, added)
    in_jar, dye_g = _in_jar(settled, colour, mixed, stocks, jars)
    painted = _as_painted(settled, colour)
    meant = _meant_ml(settled, colour, painted, room.capacity_ml)
    g_ml = dye_g / in_jar if in_jar > LEAST_ML else 0.0
    enough = painted.dyed_g * plan.depth.value / 100.0 / g_ml if g_ml > 0 and plan.depth else meant
    applied = _applied(settled, colour, min(enough, meant, in_jar), in_jar)
    made = ColourLiquid(
        colour=painted,
        zone_ml=meant,
        applied_ml=applied,
        mixed_ml=mixed,
        stocks_ml=stocks,
        additions=added,
        added_by={each.what: figure.origin for each, figure in zip(added, own, strict=True)},
        least_percent=least,
        depth_percent=_depth_that_comes(painted, jars, applied, in_jar, dye_g),
        mixed_for_zone_ml=for_zone,
        in_jar_ml=in_jar,
        dye_g=dye_g,
    )
    return made, (liquid, *poured, _water(made, weakest("plan", liquid.origin, poured[0].origin)), *own)


def _least(colour: SettledColour, room_ml: float) -> float | None:
    """The least strength of stock that gives the depth in so much liquid; None where nothing is painted."""
    if colour.plan.depth is None or room_ml <= 0 or colour.fibre_g <= 0:
        return None
    return shade.least_stock_percent(colour.dyed_g, colour.plan.depth.value, room_ml)


def _depth_that_comes(
    colour: SettledColour, jars: tuple[StockWork, ...], applied_ml: float, in_jar_ml: float, dye_g: float
) -> float | None:
    """% on the fibre that takes the dye; None where there is no fibre, or nobody knows how much dye."""
    unknown = any(jar.strength_percent is None for jar in jars)
    if unknown or colour.dyed_g <= 0 or in_jar_ml <= LEAST_ML:
        return None
    return shade.depth_percent(dye_g * applied_ml / in_jar_ml, colour.dyed_g)


def squeeze_to_g(settled: Settled, paint: PaintWork, colour: SettledColour, strength: float) -> float | None:
    """Wet weight at which the stock of a colour has room to give its depth; None where it has, or cannot have."""
    depth, dry_g = colour.plan.depth, settled.dry_g
    if depth is None or strength <= 0:
        return None
    room_ml = depth.value / strength * colour.takes * dry_g
    weight = dry_g * (1 + paint.room.target_percent / 100.0) - room_ml
    return weight if dry_g <= weight < paint.room.squeezed_g - 0.5 else None


def _share_there(settled: Settled, colour: SettledColour, jar: StockWork) -> float:
    """The part of what a colour needs of a jar that is there for it, 1 at most: what colours mixed before have taken
    is gone, and those to come have as large a part.
    """
    there_ml, needs_g = jar.volume_ml, 0.0
    for other, stock in jar.jar:
        poured_ml = settled.measured.get(pour_path(other, stock))
        if other is colour or poured_ml is None:
            needs_g += needed_g(settled, other, stock)
        else:
            there_ml -= poured_ml
    there_g = max(0.0, there_ml) * (jar.strength_percent or 0.0) / 100.0
    return min(1.0, there_g / needs_g) if needs_g > 0 else 1.0


def _pours(
    settled: Settled, colour: SettledColour, jars: tuple[StockWork, ...], got: float
) -> tuple[tuple[Figure, ...], tuple[Figure, ...]]:
    """One figure for each stock of the colour, and those to show: the total, and of a mix each of them."""
    plan, keep = colour.plan, keep_of(settled)
    depth = num(plan.depth.value if plan.depth else 0.0)
    of_each, poured_source = [], f"{POURED}; {depth_source(settled)}"
    for jar, stock in zip(jars, colour.stocks, strict=True):
        strength = jar.strength_percent or 0.0
        ml = got * needed_g(settled, colour, stock) / strength * 100.0 if strength > 0 else 0.0
        part = f"{stock.dye.name} stock" if len(jars) > 1 else "stock"
        because = (
            f"{num(colour.dyed_g)} g x {depth} %"
            + (f" x {num(stock.share)}" if len(jars) > 1 else "")
            + f" / {num(strength)} %"
            + (f" x {num(keep)} for the reserve" if keep != 1 else "")
            + (f", of which {num(got * 100)} % is there" if got < 0.9999 else "")
            + f" = {num(ml)} mL"
        )
        figure = fig(
            pour_path(colour, stock), ml, "mL", f"{part} into {plan.name}", because, jar.origin, poured_source
        )
        of_each.append(node(settled, figure))
    if len(jars) == 1:
        return tuple(of_each), tuple(of_each)
    total = sum(f.value for f in of_each)
    because = " + ".join(num(f.value) for f in of_each) + f" = {num(total)} mL"
    path, label, origin = (
        paint_path(plan.slug, "stock"),
        f"stock into {plan.name}",
        weakest(*(f.origin for f in of_each)),
    )
    whole = fig(path, total, "mL", label, because, origin, poured_source)
    return tuple(of_each), (whole, *of_each)


def _at_least(read_ml: float, stocks_ml: Sequence[float], added: Sequence[Addition] = ()) -> float:
    """mL in a jar by its reading, but no less than went in: paint is never stronger than its strongest stock."""
    return max(read_ml, sum(stocks_ml) + sum(each.ml for each in added))


def later_ml(settled: Settled, colour: SettledColour, stocks_ml: Sequence[float]) -> list[float]:
    """mL of each stock in paint that was mixed later, in the proportions of the first jar."""
    ml, all_ml = settled.measured.get(f"paint.{colour.plan.slug}.more.stock", 0.0), sum(stocks_ml)
    return [ml * each / all_ml if all_ml > LEAST_ML else 0.0 for each in stocks_ml]


def _in_jar(
    settled: Settled,
    colour: SettledColour,
    mixed_ml: float,
    stocks_ml: Sequence[float],
    jars: Sequence[StockWork],
) -> tuple[float, float]:
    """mL that were mixed of a colour and g of dye in them, later batches and stocks made for them included."""
    later, key = later_ml(settled, colour, stocks_ml), f"paint.{colour.plan.slug}.more"
    poured = zip(stocks_ml, later, jars, strict=True)
    grams = sum((first + more) * (jar.strength_percent or 0.0) / 100.0 for first, more, jar in poured)
    measured = settled.measured
    return mixed_ml + measured.get(key, 0.0), grams + measured.get(f"{key}.dye", 0.0)


def _applied(settled: Settled, colour: SettledColour, asked_ml: float, in_jar_ml: float) -> float:
    """All that was mixed but for the rest, once that was read; until then what is to be put on."""
    left = settled.measured.get(f"paint.{colour.plan.slug}.left")
    return asked_ml if left is None else max(0.0, in_jar_ml - left)


def _told(settled: Settled, paint: ColourLiquid) -> Iterator[Figure]:
    """paint.<colour>.more, .left and .left.strength, once there is more, or the rest was read."""
    key, name = f"paint.{paint.colour.plan.slug}", paint.colour.plan.name
    for path, label in ((f"{key}.more", f"more of {name} mixed"), (f"{key}.left", f"{name} left over")):
        if path in settled.measured:
            yield fig(path, settled.measured[path], "mL", label, BY_HAND, "measured", BY_HAND)
    if f"{key}.left" in settled.measured and paint.dye_g > 0 and paint.in_jar_ml > LEAST_ML:
        percent = 100.0 * paint.dye_g / paint.in_jar_ml
        because = f"{num(paint.dye_g)} g of dye / {num(paint.in_jar_ml)} mL mixed x 100 = {num(percent)} %"
        yield fig(f"{key}.left.strength", percent, "%", f"strength of {name} left over", because, "plan")


def _counted(settled: Settled, colour: SettledColour, jar: StockWork) -> Figure:
    """paint.<colour>.stock of drops, which are a recipe for their liquid; the room only says whether it reaches."""
    habit = settled.own("drops")
    dropper = habit.source if habit else "USP <1101>, or the dyer's own dropper"
    because = (
        f"{num(jar.drops or 0.0)} drops / {num(settled.shelf.studio.drops_per_ml)} drops in 1 mL = "
        f"{num(jar.volume_ml)} mL"
    )
    origin = weakest(jar.origin, habit.origin if habit else "common practice")
    path, label = paint_path(colour.plan.slug, "stock"), f"dye into {colour.plan.name}"
    return fig(path, jar.volume_ml, "mL", label, because, origin, f"{PRACTICE}; drops in 1 mL: {dropper}")


def _fibre(settled: Settled, colour: SettledColour) -> Figure:
    label = f"fibre painted {colour.plan.name}"
    because = f"{num(settled.dry_g)} g x {num(colour.share * 100)} % of the layout = {num(colour.fibre_g)} g"
    source = "the plan's layout"
    figure = fig(paint_path(colour.plan.slug, "fibre"), colour.fibre_g, "g", label, because, "plan", source)
    return node(settled, figure)


def _liquid(
    settled: Settled, colour: SettledColour, room: RoomWork, zone: float, asked: float, of: Origin
) -> Figure:
    plan, keep = colour.plan, keep_of(settled)
    reserved = f"for {num(settled.plan.reserve_percent)} % reserve"
    origin: Origin
    if plan.liquid is not None:
        because = f"{plan.liquid.typed} as written, of which {num(zone)} mL for the fibre"
        origin, source = "plan", "the plan"
    else:
        because = (
            f"{num(room.capacity_ml)} mL x {num(colour.fibre_g)} g / {num(settled.dry_g)} g = {num(zone)} mL, "
            f"x {num(keep)} {reserved} = {num(zone * keep)} mL"
        )
        origin = weakest("house rule", room.origin)
        source = f"the capacity shared out by weight; reserve: {reserve_source(settled)}"
    if abs(asked - zone * keep) > 1e-6 * max(1.0, asked):
        origin = weakest(origin, of)
        short = "less of the reserve, for its dye is short"
        why = "as much as its stocks are" if asked > zone * keep else short
        because += f"; {'rounded to whole drops' if plan.drops is not None else why} = {num(asked)} mL"
    figure = fig(
        f"paint.{plan.slug}.liquid", asked, "mL", f"paint to mix for {plan.name}", because, origin, source
    )
    return figure


def _water(paint: ColourLiquid, origin: Origin) -> Figure:
    name, slug = paint.colour.plan.name, paint.colour.plan.slug
    water = f"{num(paint.water_ml)} mL" if paint.water_ml > 0 else "none: what goes in is all of it"
    if any(added.what == "thickener" for added in paint.additions):
        origin = weakest(origin, "from memory")  # the density of the gum
    beside = "".join(f" - {num(added.ml)} mL of {added.name}" for added in paint.additions if added.ml)
    because = f"{num(paint.mixed_ml)} mL - {num(paint.stock_ml)} mL of stock{beside} = {water}"
    figure = fig(f"paint.{slug}.water", paint.water_ml, "mL", f"water into {name}", because, origin)
    return figure


def _put_on(settled: Settled, paint: ColourLiquid, of: Origin) -> tuple[Figure, ...]:
    """paint.<colour>.apply and .depth: what to put on, and what it comes to."""
    plan, on = paint.colour.plan, paint.applied_ml
    left = settled.measured.get(f"paint.{plan.slug}.left")
    because = (
        f"the least of {num(paint.zone_ml)} mL meant for its fibre, {num(paint.in_jar_ml)} mL in the jar, and what "
        f"gives the depth = {num(on)} mL"
        if left is None
        else f"{num(paint.in_jar_ml)} mL mixed - {num(left)} mL left = {num(on)} mL"
    )
    origin = weakest("plan", of) if left is not None else weakest("house rule", of)
    apply = fig(f"paint.{plan.slug}.apply", on, "mL", f"{plan.name} to put on", because, origin)
    figures = [apply]
    if paint.depth_percent is not None and paint.in_jar_ml > 0:
        grams = paint.depth_percent / 100.0 * paint.colour.dyed_g
        because = (
            f"{num(grams)} g of dye in the {num(on)} mL put on / {fibre_said(paint.colour)} x 100 = "
            f"{num(paint.depth_percent)} %"
        )
        as_planned = plan.depth is not None and math.isclose(paint.depth_percent, plan.depth.value)
        if plan.depth:
            because += f"; planned {num(plan.depth.value)} %"
        depth = fig(
            f"paint.{plan.slug}.depth",
            paint.depth_percent,
            "%",
            f"depth of {plan.name}",
            because,
            "plan" if as_planned else weakest(origin, strength_origin(paint.colour)),
        )
        figures.append(depth)
    return tuple(figures)
