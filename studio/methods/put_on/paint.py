"""Painting: paints mixed of stocks and laid on squeezed fibre, band by band, then wrapped."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import msgspec

from studio.methods.put_on.additions import acid_cautions, in_100_ml, thickener_cautions
from studio.methods.put_on.paint_work import PaintWork, later_ml, squeeze_to_g, work_paint
from studio.methods.said import caution, clock, step
from studio.plan.layout import in_words
from studio.plan.materials import DyeAtHand
from studio.plan.settled import Settled
from studio.plan.shapes import Added, Caution, Figure, Step, Timer, brief, fig, listed
from studio.plan.steps.lay import paint_path
from studio.plan.steps.stages import end_ph
from studio.plan.ways import ColourLiquid, PutOn
from studio.plan.work.cautions import STRONG_PERCENT, rounded_up
from studio.plan.work.fibre import RoomWork, work_room
from studio.plan.work.presoak import PresoakWork
from studio.plan.work.stocks import LEAST_G, StocksWork, StockWork, keep_of, pour_path
from studio.plan.work.worked import Worked
from studio.quantity.showing import show

SQUEEZE_AND_WRAP_MIN = 10.0
COLOUR_MIN = 3.0
PAINT_MIN_PER_100G = 20.0
"""Minutes with hands on the work, waits left out. Estimates."""

SQUEEZED_OUT_PERCENT = 60.0
"""Less water than this on the dry weight is hardly squeezed out by hand in a towel. House rule."""
MOST_COATS = 2
"""More would sit on the fibre instead of in it. House rule."""


class Paint(PutOn[PaintWork]):
    """Paint put on squeezed fibre, in bands."""

    part = "paint"
    stage = "paint"
    acid_at = "presoak"
    has_bands = True
    columns = (
        ("stock", "paint.{colour}.stock", False),
        ("+ water", "paint.{colour}.water", True),
        ("+ acid", "paint.{colour}.acid", False),
        ("to paint", "paint.{colour}.apply", True),
    )
    reserve_percent = 20.0
    breaks = "the faster dye can leave a halo, violet above all. Presoak evenly, put no acid on top, do not overload."
    superwash = "paint even coats and do not steam longer than needed"
    soaked = "squeeze the fibre when the paints are ready"

    def added_figures(self, settled: Settled, what: Added) -> tuple[tuple[str, str], ...]:
        """Acid into the soak, and both into paint where the plan has them there: they go in with the rest of a jar."""
        slugs = [c.plan.slug for c in settled.colours for a in in_100_ml(settled, c) if a.what == what]
        in_paint = ((paint_path(slug, what), paint_path(slug, "liquid")) for slug in slugs)
        return (*((("presoak.acid", "presoak.acid"),) if what == "acid" else ()), *in_paint)

    def room(self, settled: Settled) -> RoomWork:
        """What squeezed fibre can take."""
        return work_room(settled)

    def work(
        self, settled: Settled, room: RoomWork | None, stocks: StocksWork, presoak: PresoakWork
    ) -> PaintWork:
        """paint.*."""
        return work_paint(settled, room or work_room(settled), stocks, presoak)

    def with_later(self, settled: Settled, stocks: StocksWork, put: PaintWork) -> StocksWork:
        """The stocks with what paint mixed later took once more: what a jar no longer held was made up anew like it.

        A stock of a strength of its own was made for its batch, from the dyes of the colour in their proportion.
        """
        poured = dict.fromkeys((work.stock.slug for work in stocks.stocks), 0.0)
        later, own_g = dict(poured), dict(poured)
        for liquid in put.colours:
            jars = stocks.of(liquid.colour)
            more = later_ml(settled, liquid.colour, liquid.stocks_ml)
            own = settled.measured.get(f"paint.{liquid.colour.plan.slug}.more.dye", 0.0)
            grams = [
                ml * (jar.strength_percent or 0.0) / 100.0
                for ml, jar in zip(liquid.stocks_ml, jars, strict=True)
            ]
            for jar, ml, more_ml, g in zip(jars, liquid.stocks_ml, more, grams, strict=True):
                slug = jar.stock.slug
                poured[slug] += ml
                later[slug] += more_ml
                own_g[slug] += own * g / sum(grams) if g else 0.0
        found = tuple(
            _with_anew(work, later[slug], max(0.0, work.volume_ml - poured[slug]), own_g[slug])
            for work in stocks.stocks
            for slug in [work.stock.slug]
        )
        told = (_made_anew(work) for work in found if work.later > LEAST_G)
        return StocksWork(stocks=found, figures=(*stocks.figures, *told))

    def cautions(self, settled: Settled, put: PaintWork) -> Iterator[Caution]:
        """paint.*, and stocks that are too weak for their liquid."""
        yield from _capacity(settled, put)
        yield from _too_weak(settled, put)
        yield from thickener_cautions(settled, put.colours)  # its dust first
        yield from acid_cautions(settled, put.colours, put.pieces)

    def steps(self, worked: Worked, put: PaintWork, last_stock: str) -> tuple[Step, ...]:
        """Squeeze, mix, paint, wrap; what a gum thickens is mixed first, and swells while the fibre soaks, unless it
        has swollen overnight."""
        gum, dry_g = worked.settled.thickener, worked.settled.dry_g
        overnight = gum is not None and gum.overnight
        thick: list[Step] = []
        mixes: list[Step] = []
        for liquid in put.colours:
            mix = _mix(liquid, worked.stocks.of(liquid.colour), overnight)
            (thick if liquid.added("thickener") and not overnight else mixes).append(mix)
        if thick:
            thick[0] = msgspec.structs.replace(thick[0], after=(last_stock,))
            thick[-1] = msgspec.structs.replace(thick[-1], starts="swell")
            thick.append(step("paint.swell"))
        soaked = ("presoak.wait", last_stock)
        strip = end_ph(
            "presoak",
            "Read the pH of the soak again, for the record: the fibre has taken up acid",
            *soaked,
        )
        strips = (strip,) if worked.settled.acid else ()
        return (
            *thick,
            *strips,
            step("paint.squeezed", low=round(dry_g, 1), high=round(dry_g * 4, 1), after=soaked),
            *mixes,
            *_paint(worked),
            _wrap(worked),
        )

    def clocks(self, worked: Worked) -> tuple[Timer, ...]:
        """The gum swelling."""
        gum = worked.settled.thickener
        if gum is None or gum.overnight or not any(liquid.added("thickener") for liquid in worked.liquids):
            return ()
        return (clock("swell", gum=gum, minutes=gum.row.swell_min),)

    def hands_on(self, colours: int, painted_g: float, pieces: int) -> float:
        """Each piece is squeezed and wrapped by itself. Estimate."""
        return SQUEEZE_AND_WRAP_MIN * pieces + colours * COLOUR_MIN + painted_g / 100.0 * PAINT_MIN_PER_100G


def _with_anew(work: StockWork, more_ml: float, left_ml: float, own_g: float) -> StockWork:
    """A jar that gave so many mL to paint mixed later where so many were left, and g of its dye to another stock."""
    later, ready = max(0.0, more_ml - left_ml), work.stock.dye.ready_percent
    grams = later * (work.strength_percent or 0.0) / 100.0 + own_g
    if work.weighed:
        later = grams
    elif ready:
        later = grams / ready * 100.0
    return msgspec.structs.replace(work, left_ml=max(0.0, left_ml - more_ml), later=later)


def _made_anew(work: StockWork) -> Figure:
    unit = "g" if work.weighed else "mL"
    label = f"{work.stock.dye.name} for a second jar of {work.colours}"
    because = "what the first jar no longer held of the stock that went into paint mixed later"
    return fig(f"stock.{work.stock.slug}.more", work.later, unit, label, because, "plan")


def _capacity(settled: Settled, paint: PaintWork) -> Iterator[Caution]:
    if paint.capacity_ml <= 0:
        yield caution("paint.full", room=paint.room)
        return
    if paint.applied_ml > paint.capacity_ml * 1.001:
        yield caution("paint.over-capacity", applied=paint.applied_ml, room=paint.room)
    if settled.plan.fibre.squeezed_weight is None:
        yield caution("paint.squeezed-estimated", room=paint.room)


def _too_weak(settled: Settled, paint: PaintWork) -> Iterator[Caution]:
    weak = [liquid for liquid in paint.colours if liquid.too_weak and liquid.mixed_ml > 0]
    # Of a jar that several are made of only one strength is advised, which is enough for each.
    least: dict[str, float] = {}
    for liquid in weak:
        for stock in liquid.colour.stocks:
            least[stock.slug] = max(least.get(stock.slug, 0.0), liquid.least_percent or 0.0)
    for liquid in weak:
        plan, slugs = liquid.colour.plan, tuple(stock.slug for stock in liquid.colour.stocks)
        at = {"colour": plan, "of": slugs, "where": ("colour", plan.name, "stock")}
        if liquid.least_percent is None:
            yield caution("stock.drops-too-many", **at)
        else:
            percent = max(least[slug] for slug in slugs)
            advice = "; or ".join(_to_make_it_fit(settled, paint, liquid, percent))
            advice = advice[:1].upper() + advice[1:]
            beside = " beside the acid" if liquid.added_ml else ""
            yield caution("stock.too-weak", liquid=liquid, beside=beside, advice=advice, **at)


def _to_make_it_fit(
    settled: Settled, paint: PaintWork, liquid: ColourLiquid, least_percent: float
) -> list[str]:
    """What a dyer can do: a stronger stock where it dissolves, more squeezed out, coats, or a paler depth."""
    colour, ways = liquid.colour, []
    most = min((_strongest(stock.dye) for stock in colour.stocks), default=0.0)
    if least_percent <= most:
        ways.append(f"make the stock {rounded_up(least_percent)} % or stronger")
    depth = colour.plan.depth.value if colour.plan.depth else 0.0
    strength = depth * colour.dyed_g / liquid.stock_ml * keep_of(settled)
    wet_g = squeeze_to_g(settled, paint, colour, strength)
    if wet_g is not None and wet_g >= settled.dry_g * (1 + SQUEEZED_OUT_PERCENT / 100.0):
        ways.append(f"squeeze to {brief(wet_g)} g")
    if liquid.stock_ml <= (MOST_COATS + 1e-9) * liquid.stock_room_ml:
        ways.append(f"paint it in {MOST_COATS} coats and let it dry between them")
    paler = 0.995 * depth * liquid.stock_room_ml / liquid.stock_ml  # rounded, it must still fit
    return [*ways, f"take a depth of {brief(paler)} %"]


def _strongest(dye: DyeAtHand) -> float:
    """% that a stock of it can be: as it stands in the bottle, or what dissolves well."""
    return STRONG_PERCENT if dye.powder else dye.ready_percent or 0.0


def _paint(worked: Worked) -> tuple[Step, ...]:
    """Paint; where each side has half of it, turn over and paint the back as the front."""
    layout, pieces = worked.settled.plan.layout, worked.settled.pieces
    laid = (
        "Lay the fibre out flat on film"
        if pieces == 1
        else f"Lay each of the {pieces} pieces out flat on a film of its own"
    )
    shown = tuple(
        paint_path(liquid.colour.plan.slug, what)
        for liquid in worked.liquids
        for what in ("apply" if pieces == 1 else "each", "depth")
    )
    told = {"laid": laid, "bands": in_words(layout), "figures": shown}
    if layout.sides == 1:
        return (step("paint.apply", **told),)
    return step("paint.apply front", **told), step("paint.turned"), step("paint.apply-back", **told)


def _wrap(worked: Worked) -> Step:
    packet = worked.cool.packet
    pressed = worked.settled.plan.layout.sides > 1
    blot = (
        "Blot." if pressed else "Blot, turn the fibre over, press the paint in and paint what is still white."
    )
    roll = packet is not None and packet.shape == "roll"
    return step("paint.wrap roll" if roll else "paint.wrap flat", blot=blot)


def _mix(liquid: ColourLiquid, jars: Sequence[StockWork], overnight: bool) -> Step:
    """What to pour together for a colour, and what is asked for."""
    plan = liquid.colour.plan
    said = {added.what: added.said for added in liquid.additions if added.amount}
    sour, gum = said.get("acid", ""), said.get("thickener", "")
    if liquid.water_ml > 0.05 and liquid.stock_ml > 0:
        stocks, water = _stocks_said(liquid, jars), f"{show(liquid.water_ml, 'mL')} of water"
        if gum and overnight:
            water, gum = f"its {water} with {gum}, mixed the evening before", ""
        parts = f"{', '.join(stocks)}, {water}, then {sour}." if sour else f"{listed([*stocks, water])}."
    elif sour and liquid.stock_ml > 0:
        parts = f"{listed([*_stocks_said(liquid, jars), sour])}."
    elif liquid.colour.plan.drops is None and liquid.stock_ml > 0:
        parts = f"{listed(_stocks_said(liquid, jars))}, and no water."
    elif sour:
        parts = f"{sour} into its liquid; stir it."
    else:
        parts = "its liquid is ready as mixed; stir it."
    if gum:
        parts += f" Sprinkle {gum} onto it, a little at a time, while you stir fast."
    return step(
        "paint.{colour.slug}.mix",
        colour=plan,
        parts=parts,
        figures=tuple(paint_path(plan.slug, what) for what in MIXED),
        sets=paint_path(plan.slug, "liquid"),
        fixes=_poured(liquid),
    )


MIXED = ("liquid", "stock", "water", "acid", "thickener", "ph")


def _stocks_said(liquid: ColourLiquid, jars: Sequence[StockWork]) -> list[str]:
    """What is poured of each stock, by its dye where it is not plain which: of several, or out of a shared jar.

    Drops are in the jar of the paint already.
    """
    if liquid.colour.plan.drops is not None:
        return ["its drops"]
    named = len(jars) > 1 or len(jars[0].jar) > 1
    each = zip(liquid.stocks_ml, jars, strict=True)
    return [f"{show(ml, 'mL')} of {f'{jar.stock.dye.name} ' if named else ''}stock" for ml, jar in each]


def _poured(liquid: ColourLiquid) -> tuple[str, ...]:
    """The stocks and what is added to a colour's paint; drops are counted into the jar itself."""
    colour = liquid.colour
    added = tuple(paint_path(colour.plan.slug, each.what) for each in liquid.additions if each.amount)
    if colour.plan.drops is not None:
        return added
    return (*(pour_path(colour, stock) for stock in colour.stocks), *added)
