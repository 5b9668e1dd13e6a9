"""Each jar of stock: dye to weigh, volume to make up, how well the scale can weigh it."""

from __future__ import annotations

import msgspec

from studio.craft import shade, weighing
from studio.plan.figure_text import BROADBENT, PRACTICE, fig, num
from studio.plan.figures_paint import ColourLiquid
from studio.plan.settled import Settled, StockPlan
from studio.plan.shapes import Figure

GUM = "JCGM 100:2008 (GUM), F.2.2.1, from memory: rectangular, smallest step / root 12"
USP = "USP <1101>: 20 drops in 1 mL within 10 %, unless the dyer counted the own dropper"


class StockWork(msgspec.Struct, frozen=True, kw_only=True):
    """One jar as it is made ready."""

    stock: StockPlan
    colour: str
    volume_ml: float
    """Of stock at its strength; of the bottle's own liquid for drops."""
    dye_g: float | None
    """Dye in it; None for drops of unknown strength."""
    from_jar_ml: float | None
    """mL of the ready liquid or jar that go into it; None for powder and drops."""
    drops: float | None
    relative_error: float | None
    """Of the weighing, standard uncertainty over weight; None where nothing is weighed."""


class StocksWork(msgspec.Struct, frozen=True, kw_only=True):
    stocks: tuple[StockWork, ...]
    figures: tuple[Figure, ...]


def work_stocks(settled: Settled, liquids: tuple[ColourLiquid, ...]) -> StocksWork:
    """stock.<colour>[.<dye>].dye, .volume, .weighing, .strength, .drops, .from_jar, and totals of a mix."""
    stocks: list[StockWork] = []
    figures: list[Figure] = []
    for liquid in liquids:
        own = [_stock(settled, liquid, n) for n in range(len(liquid.colour.stocks))]
        for work in own:
            figures.extend(_figures(settled, liquid, work))
        if len(own) > 1:
            figures.extend(_totals(liquid, own))
        stocks.extend(own)
    return StocksWork(stocks=tuple(stocks), figures=tuple(figures))


def _stock(settled: Settled, liquid: ColourLiquid, number: int) -> StockWork:
    stock = liquid.colour.stocks[number]
    volume = liquid.stocks_ml[number]
    drops = volume * settled.shelf.studio.drops_per_ml if liquid.colour.plan.drops is not None else None
    dye_g = shade.dye_in_stock_g(volume, stock.strength.value) if stock.strength and volume > 0 else None
    ready = stock.dye.ready_percent
    from_jar = None
    if ready is not None and stock.strength is not None and drops is None and volume > 0:
        from_jar = shade.dilution_ml(ready, stock.strength.value, volume)
    weighed = stock.dye.powder and drops is None and dye_g is not None
    error = weighing.relative_uncertainty(dye_g, settled.scale_g.value) if weighed and dye_g else None
    return StockWork(
        stock=stock,
        colour=liquid.colour.plan.name,
        volume_ml=volume,
        dye_g=dye_g,
        from_jar_ml=from_jar,
        drops=drops,
        relative_error=error,
    )


def _figures(settled: Settled, liquid: ColourLiquid, work: StockWork) -> list[Figure]:
    stock, key = work.stock, f"stock.{work.stock.slug}"
    part = f"{stock.dye.name} " if len(liquid.colour.stocks) > 1 else ""
    named = work.colour
    if work.drops is not None:
        return [
            _drops(settled, liquid, work, key),
            _volume(settled, work, key, f"dye liquid for {named}", "the drops"),
        ]
    figures = []
    if stock.strength is not None and work.dye_g is not None:
        figures.append(
            fig(
                f"{key}.dye",
                work.dye_g,
                "g",
                f"{part}dye for {named}",
                f"{num(work.volume_ml)} mL x {num(stock.strength.value)} g / 100 mL = {num(work.dye_g)} g "
                f"({_on_fibre(settled, work.dye_g)})",
                "published",
                f"{BROADBENT}, p. 22: per cent of the air-dry weight of fibre",
            )
        )
        total = "kettle.dye" if settled.plan.kettle else f"paint.{liquid.colour.plan.slug}.stock"
        figures.append(_volume(settled, work, key, f"{part}stock for {named}", f"its share of {total}"))
        figures.append(
            fig(
                f"{key}.strength",
                stock.strength.value,
                "%",
                f"strength of {part}stock for {named}",
                f"{num(stock.strength.value)} g of dye made up to 100 mL",
                stock.strength.origin,
                stock.strength.source,
            )
        )
    if work.relative_error is not None and work.dye_g is not None:
        figures.append(_weighing(settled, work, key, f"{part}for {named}".strip()))
    if work.from_jar_ml is not None and stock.dye.ready_percent is not None and stock.strength is not None:
        figures.append(
            fig(
                f"{key}.from_jar",
                work.from_jar_ml,
                "mL",
                f"{part}from the jar for {named}",
                f"{num(work.volume_ml)} mL x {num(stock.strength.value)} % / {num(stock.dye.ready_percent)} "
                "% "
                f"= {num(work.from_jar_ml)} mL",
                "yours",
                "strength on the shelf's label",
            )
        )
    return figures


def _on_fibre(settled: Settled, dye_g: float) -> str:
    """How the dye in a jar hangs together with the depth of shade."""
    reserve = settled.plan.reserve_percent
    if not reserve:
        return "fibre x depth"
    return f"fibre x depth = {num(dye_g / (1 + reserve / 100))} g, and the reserve"


def _volume(settled: Settled, work: StockWork, key: str, label: str, what: str) -> Figure:
    kept = ", reserve included" if settled.plan.reserve_percent else ""
    because = f"{what}: {num(work.volume_ml)} mL{kept}"
    return fig(
        f"{key}.volume",
        work.volume_ml,
        "mL",
        label,
        because,
        "common practice",
        f"{PRACTICE}: dye made up to volume",
    )


def _drops(settled: Settled, liquid: ColourLiquid, work: StockWork, key: str) -> Figure:
    plan = liquid.colour.plan
    recipe, into, drops = plan.drops or 0.0, plan.drops_in.value if plan.drops_in else 0.0, work.drops or 0.0
    wanted = liquid.applied_ml * (1 + settled.plan.reserve_percent / 100.0)
    exact = recipe * wanted / into if into else 0.0
    because = f"{num(recipe)} drops x {num(wanted)} mL / {num(into)} mL = {num(exact)} drops"
    if plan.liquid is None and drops != exact:
        because += f", {num(drops)} whole ones, for {num(liquid.mixed_ml)} mL"
    source = f"{PRACTICE}: a drop recipe scales with its water; {USP}"
    return fig(
        f"{key}.drops", drops, "1", f"drops of {work.stock.dye.name}", because, "common practice", source
    )


def _weighing(settled: Settled, work: StockWork, key: str, named: str) -> Figure:
    step, grams = settled.scale_g.value, work.dye_g or 0.0
    percent = (work.relative_error or 0.0) * 100.0
    return fig(
        f"{key}.weighing",
        percent,
        "%",
        f"weighing error, {named}",
        f"({num(step)} g / root 12) / {num(grams)} g x 100 = {num(percent)} %",
        "published" if settled.scale_g.origin != "estimate" else "estimate",
        f"{GUM}; smallest step: {settled.scale_g.source}",
    )


def _totals(liquid: ColourLiquid, own: list[StockWork]) -> list[Figure]:
    plan = liquid.colour.plan
    grams = [work.dye_g or 0.0 for work in own]
    return [
        fig(
            f"stock.{plan.slug}.dye",
            sum(grams),
            "g",
            f"all dye for {plan.name}",
            " + ".join(num(g) for g in grams) + f" = {num(sum(grams))} g",
            "plan",
        ),
        fig(
            f"stock.{plan.slug}.volume",
            liquid.stock_ml,
            "mL",
            f"all stocks for {plan.name}",
            " + ".join(num(ml) for ml in liquid.stocks_ml) + f" = {num(liquid.stock_ml)} mL",
            "plan",
        ),
    ]
