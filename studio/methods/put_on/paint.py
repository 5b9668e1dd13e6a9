"""Painting: paints mixed of stocks and laid on squeezed fibre, band by band, then wrapped."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import msgspec

from studio.methods.put_on.paint_work import PaintWork, with_later, work_paint
from studio.plan.facts import ColourFacts, ProcedureFacts
from studio.plan.keys import Keys
from studio.plan.layout import in_words
from studio.plan.model import ColourPlan
from studio.plan.settled import Settled
from studio.plan.shapes import Caution, Stage, StageId, Step, brief
from studio.plan.steps.lay import laid_stage, step_id
from studio.plan.steps.preparing import near
from studio.plan.ways import StageHands
from studio.plan.work.cautions_liquid import rounded_up
from studio.plan.work.costs import COLOUR_MIN, PAINT_MIN_PER_100G, SQUEEZE_AND_WRAP_MIN
from studio.plan.work.fibre import RoomWork, work_room
from studio.plan.work.stocks import StocksWork
from studio.plan.work.worked import Worked
from studio.quantity.showing import show


class Paint:
    """Paint put on squeezed fibre, in bands."""

    part = "paint"
    stage = "paint"
    acid_at: StageId = "presoak"
    has_bands = True
    reserve_percent = 20.0
    decides: Mapping[str, tuple[str, str]] = {}
    breaks = (
        "the faster part can halo its edge, violet above all. Presoak evenly, no extra acid on top, do not "
        "overload."
    )
    superwash = "paint even coats and do not steam longer than needed"

    def refuse(self, keys: Keys) -> None:
        """Nothing: all tables of painting are those of every plan."""

    def refuse_colours(self, keys: Keys, colours: tuple[ColourPlan, ...]) -> None:
        """Nothing: any number of them, mixed or of drops."""

    def acid_figures(self, settled: Settled) -> tuple[str, ...]:
        """All of it into the soak."""
        return ("presoak.acid",)

    def room(self, settled: Settled) -> RoomWork:
        """What squeezed fibre can take."""
        return work_room(settled)

    def work(self, settled: Settled, room: RoomWork | None, stocks: StocksWork) -> PaintWork:
        """paint.*."""
        return work_paint(settled, room or work_room(settled), stocks)

    def with_later(self, settled: Settled, stocks: StocksWork, put: PaintWork) -> StocksWork:
        """With what later batches took."""
        return with_later(settled, stocks, put)

    def facts(self, worked: Worked, facts: ProcedureFacts) -> ProcedureFacts:
        """Bands and room."""
        paint: PaintWork = worked.put
        bands = in_words(worked.settled.plan.layout)
        return msgspec.structs.replace(facts, bands=bands, squeezed_g=paint.room.squeezed_g)

    def cautions(self, worked: Worked) -> Iterator[Caution]:
        """paint.*, and stocks that are too weak for their liquid."""
        yield from _capacity(worked, worked.put)
        yield from _too_weak(worked.put)

    def lay(self, facts: ProcedureFacts, last_stock: str) -> Stage:
        """Squeeze, mix, paint, wrap."""
        return _stage(facts, last_stock)

    def habits(self, settled: Settled) -> frozenset[str]:
        """How much is held squeezed, and how much is painted on, where the plan does not say."""
        fibre = settled.plan.fibre
        found = {"held": fibre.squeezed_weight is None, "painted": fibre.target_pickup is None}
        return frozenset(name for name, stands in found.items() if stands)

    def hands_on(self, colours: int, painted_g: float, pieces: int) -> StageHands:
        """Each piece is squeezed and wrapped by itself. Estimate."""
        minutes = SQUEEZE_AND_WRAP_MIN * pieces + colours * COLOUR_MIN
        return StageHands("paint", minutes + painted_g / 100.0 * PAINT_MIN_PER_100G)


def _capacity(worked: Worked, paint: PaintWork) -> Iterator[Caution]:
    fibre = worked.settled.plan.fibre
    if paint.capacity_ml <= 0:
        yield Caution(
            id="paint.full",
            level="stop",
            text=f"Squeezed to {brief(paint.room.held_percent)} % the fibre has no room for dye up to "
            f"{brief(paint.target_percent)} "
            "%: squeeze more out and write the new squeezed weight, or a higher target pick-up.",
            source="arithmetic on wet pick-up, Broadbent 2001, p. 193",
            stage="colour",
            where=("fibre", "squeezed_weight"),
        )
        return
    applied = sum(colour.applied_ml for colour in paint.colours)
    if applied > paint.capacity_ml * 1.001:
        yield Caution(
            id="paint.over-capacity",
            level="warn",
            text=f"{brief(applied)} mL of paint is planned for the fibre, and it can take "
            f"{brief(paint.capacity_ml)} mL: the "
            "rest pools in the wrap and runs into its neighbour. Mix less, or squeeze more water out.",
            source="arithmetic on wet pick-up, Broadbent 2001, p. 193; that pools run is common practice",
            stage="colour",
            where=("colour", "liquid"),
        )
    if fibre.squeezed_weight is None:
        yield Caution(
            id="paint.squeezed-estimated",
            level="note",
            text=f"How much water stays in after squeezing is an estimate ({brief(paint.room.held_percent)} %): "
            "weigh the "
            "squeezed fibre once and write its squeezed weight.",
            source="estimate",
            stage="colour",
            where=("fibre", "squeezed_weight"),
        )


def _too_weak(paint: PaintWork) -> Iterator[Caution]:
    for liquid in paint.colours:
        if not liquid.too_weak or liquid.mixed_ml <= 0:
            continue
        plan = liquid.colour.plan
        if liquid.least_percent is None:
            text = f"The drops for {plan.name} are more than its liquid: write a weaker recipe."
        else:
            text = (
                f"Stock for {plan.name} is too weak: {brief(liquid.stock_ml)} mL of it into "
                f"{brief(liquid.mixed_for_zone_ml)} mL of "
                f"liquid. Use at least {rounded_up(liquid.least_percent)} %, or a paler depth."
            )
        yield Caution(
            id=f"stock.{plan.slug}.too-weak",
            level="warn",
            text=text,
            source="arithmetic: least strength = g of fibre x depth % / mL of liquid for it",
            stage="stocks",
            where=("colour", plan.name, "stock"),
        )


def _stage(facts: ProcedureFacts, last_stock: str) -> Stage:
    mixes = [_mix(colour) for colour in facts.colours]
    return laid_stage(
        "colour",
        Step(
            role="squeeze",
            kind="measure",
            text="Squeeze the fibre, without wringing, and weigh it wet.",
            done="Fibre squeezed and weighed",
            quantity="mass",
            unit="g",
            expected=facts.squeezed_g,
            low=round(facts.dry_weight_g, 1),
            high=round(facts.dry_weight_g * 4, 1),
            after=(step_id("presoak", "soaking"), last_stock),
            figures=("paint.held", "paint.capacity"),
            sets="paint.squeezed",
        ),
        *mixes,
        Step(
            role="paint",
            kind="do",
            text=f"{_lay_out(facts)} and paint, in any order: {facts.bands}.",
            done="All bands painted",
            figures=tuple(
                f"paint.{colour.slug}.{what}"
                for colour in facts.colours
                for what in ("apply" if facts.pieces == 1 else "each", "depth")
            ),
        ),
        Step(
            role="wrap",
            kind="do",
            text=(
                "Blot stray liquid, fold the film over, roll it up without squeezing: pressure drives colour "
                "into its neighbour."
                if facts.shape == "roll"
                else "Blot stray liquid and fold the film into a flat, closed packet without pressing it."
            ),
            done="Wrapped and closed",
        ),
        name="paint",
    )


def _lay_out(facts: ProcedureFacts) -> str:
    if facts.pieces == 1:
        return "Lay it out flat on film"
    return f"Lay each of the {facts.pieces} pieces out flat on a film of its own"


def mix_text(name: str, stock_ml: float, water_ml: float) -> str:
    """What to pour together for a colour, and what is asked for."""
    if water_ml > 0.05 and stock_ml > 0:
        parts = f"{show(stock_ml, 'mL')} of stock and {show(water_ml, 'mL')} of water."
    else:
        parts = "its liquid is ready as mixed; stir it."
    return f"Mix the paint for {name}: {parts} How much is in the jar?"


def _poured(colour: ColourFacts) -> tuple[str, ...]:
    """The stocks that go into a colour's paint; drops are counted into the jar itself."""
    if any(stock.form == "drops" for stock in colour.stocks):
        return ()
    total = f"paint.{colour.slug}.stock"
    if len(colour.stocks) == 1:
        return (total,)
    return tuple(f"{total}.{stock.slug.removeprefix(f'{colour.slug}.')}" for stock in colour.stocks)


def _mix(colour: ColourFacts) -> Step:
    return Step(
        role="mix",
        of=colour.slug,
        kind="measure",
        text=mix_text(colour.name, colour.stock_ml, colour.water_ml),
        done=f"Paint for {colour.name} mixed",
        quantity="volume",
        unit="mL",
        figures=(
            f"paint.{colour.slug}.liquid",
            f"paint.{colour.slug}.stock",
            f"paint.{colour.slug}.water",
        ),
        sets=f"paint.{colour.slug}.liquid",
        fixes=_poured(colour),
        **near(colour.liquid_ml),
    )
