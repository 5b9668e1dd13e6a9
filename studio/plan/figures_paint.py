"""What the damp fibre can hold, and what is mixed for each colour."""

from __future__ import annotations

import math

import msgspec

from studio.craft import liquor, shade
from studio.plan.figure_text import HOUSE, PRACTICE, fig, num
from studio.plan.figures_pieces import each_figure
from studio.plan.habit_kinds import KIND_OF
from studio.plan.settled import Known, Settled, SettledColour
from studio.plan.shapes import Figure, Origin

DEFAULT_PICKUP = KIND_OF["painted"].default
DEFAULT_HELD = KIND_OF["held"].default
"""Squeezed by hand in a towel. Estimate: Beech 1902 gives only shares of a saturated load."""
BEECH = (
    "F. Beech, The Dyeing of Woollen Fabrics, 1902, pp. 206-208 (Grothe: squeezing leaves 40 % of what "
    "wringing and spinning start from); per cent of dry weight is an estimate"
)
LEAST_POUR_ML = 1.0
"""Less than this is hard to pour or pipette on a kitchen bench. House rule."""


class ColourLiquid(msgspec.Struct, frozen=True, kw_only=True):
    """What one colour comes to."""

    colour: SettledColour
    applied_ml: float
    """Liquid that ends on the fibre."""
    mixed_ml: float
    """With the reserve."""
    stocks_ml: tuple[float, ...]
    """To mix, one for each stock of the colour, reserve included."""
    least_percent: float | None
    """The least strength of stock that gives the depth in the liquid; None for drops."""

    @property
    def stock_ml(self) -> float:
        """All stocks together, reserve included."""
        return sum(self.stocks_ml)

    @property
    def water_ml(self) -> float:
        """Water to add; 0 where the stocks alone are more than the liquid."""
        return max(0.0, self.mixed_ml - self.stock_ml)

    @property
    def too_weak(self) -> bool:
        """Whether the stocks alone are more than the fibre's liquid."""
        return self.stock_ml > self.mixed_ml * 1.0001


class PaintWork(msgspec.Struct, frozen=True, kw_only=True):
    squeezed_g: float
    held_percent: float
    target_percent: float
    capacity_ml: float
    """0 where the squeezed fibre already holds its target."""
    colours: tuple[ColourLiquid, ...]
    figures: tuple[Figure, ...]


def work_paint(settled: Settled) -> PaintWork:
    """paint.held, paint.capacity, and paint.<colour>.fibre, .liquid, .stock, .water."""
    squeezed_g, target = _squeezed_g(settled), _target(settled).value
    held = liquor.held_percent(squeezed_g, settled.dry_g)
    capacity = liquor.free_capacity_ml(settled.dry_g, target, held) if target > held else 0.0
    colours = tuple(_colour(settled, colour, capacity) for colour in settled.colours)
    figures = _budget(settled, squeezed_g, held, target, capacity)
    for colour in colours:
        figures.extend(_colour_figures(settled, colour, capacity))
        plan = colour.colour.plan
        figures.extend(each_figure(settled, plan.slug, plan.name, colour.applied_ml))
    return PaintWork(
        squeezed_g=squeezed_g,
        held_percent=held,
        target_percent=target,
        capacity_ml=capacity,
        colours=colours,
        figures=tuple(figures),
    )


def _target(settled: Settled) -> Known:
    """Wet pick-up to paint to, %."""
    written = settled.plan.fibre.target_pickup
    if written is not None:
        return Known(written.value, "plan", "the plan")
    usual = f"estimate: painted to {num(DEFAULT_PICKUP)} % wet pick-up"
    return settled.own("painted") or Known(DEFAULT_PICKUP, "estimate", usual)


def _held(settled: Settled) -> Known:
    """Water held after squeezing, %, where the plan does not say what it weighs then."""
    return settled.own("held") or Known(DEFAULT_HELD, "estimate", BEECH)


def _squeezed_g(settled: Settled) -> float:
    weighed = settled.plan.fibre.squeezed_weight
    return weighed.value * settled.pieces if weighed else settled.dry_g * (1 + _held(settled).value / 100.0)


def _budget(settled: Settled, squeezed_g: float, held: float, target: float, capacity: float) -> list[Figure]:
    fibre, dry = settled.plan.fibre, settled.dry_g
    holds = _held(settled)
    if fibre.squeezed_weight is not None:
        holds = Known(held, "plan", "the plan's squeezed_weight")
    aimed = _target(settled)
    return [
        fig(
            "paint.held",
            held,
            "%",
            "water held after squeezing",
            f"({num(squeezed_g)} g wet - {num(dry)} g dry) / {num(dry)} g x 100 = {num(held)} %",
            holds.origin,
            holds.source,
        ),
        fig(
            "paint.capacity",
            capacity,
            "mL",
            "dye liquid the damp fibre can take",
            f"{num(dry)} g x ({num(target)} % - {num(held)} % held) / 100 = {num(capacity)} mL",
            _weakest(holds.origin, aimed.origin),
            f"wet pick-up as in Broadbent 2001, p. 193; target: {aimed.source}",
        ),
    ]


def _weakest(*origins: Origin) -> Origin:
    """A number is as good as the weaker of the two it is made of."""
    return next(o for o in ("estimate", "yours", "plan") if o in origins)


def _colour(settled: Settled, colour: SettledColour, capacity: float) -> ColourLiquid:
    plan, reserve = colour.plan, settled.plan.reserve_percent
    if plan.liquid is not None:
        mixed = plan.liquid.value
        applied = mixed / (1 + reserve / 100.0)
    else:
        applied = liquor.share_ml(capacity, colour.fibre_g, settled.dry_g)
        mixed = liquor.with_reserve_ml(applied, reserve)
    if plan.drops is not None and plan.drops_in is not None:
        return _of_drops(settled, colour, applied, mixed)
    depth = plan.depth.value if plan.depth else 0.0
    parts = [(s.share, s.strength.value) for s in colour.stocks if s.strength is not None]
    on_fibre = (
        shade.mixture_stocks_ml(colour.fibre_g, depth, parts)
        if colour.fibre_g > 0
        else tuple(0.0 for _ in parts)
    )
    least = (
        shade.least_stock_percent(colour.fibre_g, depth, applied)
        if applied > 0 and colour.fibre_g > 0
        else None
    )
    return ColourLiquid(
        colour=colour,
        applied_ml=applied,
        mixed_ml=mixed,
        stocks_ml=tuple(liquor.with_reserve_ml(ml, reserve) for ml in on_fibre),
        least_percent=least,
    )


def _of_drops(settled: Settled, colour: SettledColour, applied: float, mixed: float) -> ColourLiquid:
    """A drop recipe scaled, and rounded to whole drops, for nobody counts part of one."""
    plan = colour.plan
    recipe, into = plan.drops or 0.0, plan.drops_in.value if plan.drops_in else 0.0
    drops = shade.scaled_drops(recipe, into, mixed)
    if plan.liquid is None:
        whole = max(1, round(drops))
        # Rounding down may eat into the reserve, never into what the fibre takes.
        drops = float(whole if whole * into / recipe >= applied else math.ceil(drops))
        mixed = drops * into / recipe
    return ColourLiquid(
        colour=colour,
        applied_ml=applied,
        mixed_ml=mixed,
        stocks_ml=(shade.drops_ml(drops, settled.shelf.studio.drops_per_ml),),
        least_percent=None,
    )


def _colour_figures(settled: Settled, paint: ColourLiquid, capacity: float) -> list[Figure]:
    colour = paint.colour
    name, slug = colour.plan.name, colour.plan.slug
    reserve = settled.plan.reserve_percent
    keep = 1 + reserve / 100.0
    reserved, standing = _reserve(settled)
    if colour.plan.liquid is not None:
        because = f"{colour.plan.liquid.typed} as written, of which {num(paint.applied_ml)} mL for the fibre"
        origin: Origin = "plan"
        source = f"the plan; {standing}"
    else:
        because = (
            f"{num(capacity)} mL x {num(colour.fibre_g)} g / {num(settled.dry_g)} g = "
            f"{num(paint.applied_ml)} mL, "
            f"x {num(keep)} {reserved} = {num(paint.applied_ml * keep)} mL"
        )
        if colour.plan.drops is not None:
            because += f", rounded to whole drops = {num(paint.mixed_ml)} mL"
        origin, source = "house rule", f"the capacity shared out by weight; {standing}"
    return [
        fig(
            f"paint.{slug}.fibre",
            colour.fibre_g,
            "g",
            f"fibre under {name}",
            f"{num(settled.dry_g)} g x {num(colour.share * 100)} % of the layout = {num(colour.fibre_g)} g",
            "plan",
            "the plan's layout",
        ),
        fig(
            f"paint.{slug}.liquid", paint.mixed_ml, "mL", f"liquid to mix for {name}", because, origin, source
        ),
        _stock_figure(settled, paint),
        fig(
            f"paint.{slug}.water",
            paint.water_ml,
            "mL",
            f"water into {name}",
            f"{num(paint.mixed_ml)} mL - {num(paint.stock_ml)} mL of stock = "
            + (
                f"{num(paint.water_ml)} mL"
                if not paint.too_weak
                else "less than nothing: no water, the stock is too weak"
            ),
            "plan",
        ),
    ]


def _reserve(settled: Settled) -> tuple[str, str]:
    percent = num(settled.plan.reserve_percent)
    said = "the plan" if settled.plan.reserve_typed else f"{HOUSE}: better a little too much than too little"
    return f"for {percent} % reserve", f"reserve: {said}"


def _stock_figure(settled: Settled, paint: ColourLiquid) -> Figure:
    colour = paint.colour
    name, slug = colour.plan.name, colour.plan.slug
    keep = 1 + settled.plan.reserve_percent / 100.0
    if colour.plan.drops is not None and colour.plan.drops_in is not None:
        per_ml = settled.shelf.studio.drops_per_ml
        because = (
            f"{num(colour.plan.drops)} drops x {num(paint.mixed_ml)} mL / {num(colour.plan.drops_in.value)} "
            "mL / "
            f"{num(per_ml)} drops in 1 mL = {num(paint.stock_ml)} mL"
        )
        own = settled.own("drops")
        dropper = own.source if own else "USP <1101>, or the dyer's own dropper"
        source = f"{PRACTICE}; drops in 1 mL: {dropper}"
        return fig(
            f"paint.{slug}.stock",
            paint.stock_ml,
            "mL",
            f"dye into {name}",
            because,
            own.origin if own else "common practice",
            source,
        )
    depth = num(colour.plan.depth.value if colour.plan.depth else 0.0)
    terms = " + ".join(
        f"{num(colour.fibre_g)} g x {depth} %"
        + (f" x {num(s.share)}" if len(colour.stocks) > 1 else "")
        + f" / {num(s.strength.value)} %"
        for s in colour.stocks
        if s.strength is not None
    )
    because = f"({terms}) x {num(keep)} for the reserve = {num(paint.stock_ml)} mL"
    source = "mL of stock = g of fibre x depth % / stock % (all suppliers agree); Broadbent 2001, p. 22"
    return fig(
        f"paint.{slug}.stock", paint.stock_ml, "mL", f"stock into {name}", because, "published", source
    )
