"""Cautions about stocks and liquid: too weak, too strong, too little to weigh, more than the fibre holds."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal

from studio.craft import shade
from studio.plan.errors import KeyPath
from studio.plan.settled import Settled
from studio.plan.shapes import HOUSE, Caution, Level, Role, StageId, brief
from studio.plan.shelf import KitItem
from studio.plan.ways import ColourLiquid
from studio.plan.work.stocks import GUM, LEAST_POUR_ML, StockWork, on_hand, pour_path, round_ml
from studio.plan.work.worked import Worked
from studio.quantity.showing import show
from studio.tables.loading import hazards

STRONG_PERCENT = 4.0
"""Above it a kitchen stock clumps, and "made up to" and "added to" part. House rule."""

NEARLY_WHITE_PERCENT = 0.1
"""Drops that come to less are warned about. House rule."""
PALE_PERCENT = 0.25
"""**Source:** George Weil, acid dyes: 0.25 g on 100 g is pale."""
FEW_DROPS = 5.0
"""House rule."""

FINEST_SCALE_G = 0.001
"""No finer scale is sold for a kitchen or a small studio. House rule."""


def liquid_cautions(worked: Worked) -> Iterator[Caution]:
    """stock.<colour>.* and jar.*."""
    for work in worked.stocks.stocks:
        yield from _stock(worked, work)
    for liquid in worked.liquids:
        yield from _pale(liquid)
        yield from _small(liquid)
    yield from _jars(worked)


def _pale(liquid: ColourLiquid) -> Iterator[Caution]:
    """dye.pale.<colour>: drops that come to next to nothing, and what a pale shade takes."""
    depth, colour = liquid.depth_percent, liquid.colour
    drops, strength = colour.plan.drops, colour.stocks[0].strength
    if drops is None or strength is None or not depth or depth >= NEARLY_WHITE_PERCENT:
        return
    takes_ml = colour.dyed_g * PALE_PERCENT / strength.value
    yield Caution(
        id=f"dye.pale.{colour.plan.slug}",
        level="warn",
        text=f"{colour.plan.name} comes to a depth of {brief(depth)} %, nearly white. A pale shade takes "
        f"{PALE_PERCENT:g} %: {brief(takes_ml)} mL of {colour.stocks[0].dye.name} on its {brief(colour.dyed_g)} g, "
        f"{brief(PALE_PERCENT / depth)} times the drops. Write more drops, or a depth to pour.",
        source="pale to deep is 0.25 to 2 g on 100 g (George Weil, Dye recipes using acid dyes, no year); below 0.1 % "
        "is a house rule",
        stage="stocks",
        of=tuple(stock.slug for stock in colour.stocks),
        where=("colour", colour.plan.name, "drops"),
    )


def _small(liquid: ColourLiquid) -> Iterator[Caution]:
    """stock.<colour>[.<dye>].small: less of a stock than pours well."""
    colour = liquid.colour
    for ml, stock in zip(liquid.stocks_ml, colour.stocks, strict=True):
        if 0 < ml < LEAST_POUR_ML and colour.plan.drops is None:
            yield Caution(
                id=f"{pour_path(colour, stock)}.small",
                level="note",
                text=f"Only {brief(ml)} mL of {stock.dye.name} stock go into {colour.plan.name}: use a weaker stock "
                "for it, or a pipette.",
                source=f"{HOUSE}: below {LEAST_POUR_ML:g} mL",
                stage="stocks",
                of=(stock.slug,),
                where=("colour", colour.plan.name, "stock"),
            )


def rounded_up(percent: float) -> str:
    """A strength rounded up in its third digit, so that what is advised is enough."""
    for digits in (2, 3, 4):
        text = f"{percent * (1 + 0.5 * 10 ** (1 - digits)):.{digits}g}"
        if percent <= float(text) <= percent * 1.05:
            return text
    return brief(percent)


def _stock(worked: Worked, work: StockWork) -> Iterator[Caution]:
    key, strength = work.stock.slug, work.stock.strength
    where = (*work.stock.key[:-1], "stock")
    if strength is not None and strength.value > STRONG_PERCENT and work.stock.dye.powder:
        yield Caution(
            id=f"stock.{key}.strong",
            level="note",
            text=f"A {brief(strength.value)} % stock of {work.stock.dye.name} dissolves badly, and a small slip in mL "
            f"is a large one in dye: make it {STRONG_PERCENT:g} % or weaker.",
            source=f"{HOUSE}: above {STRONG_PERCENT:g} %",
            stage="stocks",
            of=(key,),
            where=where,
        )
    if work.drops is not None and 0 < work.drops < FEW_DROPS:
        yield Caution(
            id=f"stock.{key}.few-drops",
            level="note",
            text=f"{_drops(work.drops)} of {work.stock.dye.name} for {work.colours} repeat badly, for a drop varies "
            "by a tenth: count more drops into as many times the water, and keep the rest.",
            source="USP <1101>: drops of water are 45 to 55 mg; below five drops is a house rule",
            stage="stocks",
            of=(key,),
            where=("colour", work.colours, "drops"),
        )
    if work.weighed and work.dye_g is not None and strength is not None:
        yield from _hard_to_weigh(worked, work, work.dye_g, strength.value)


def _hard_to_weigh(worked: Worked, work: StockWork, grams: float, percent: float) -> Iterator[Caution]:
    """stock.<colour>.weighing: less than the scale can weigh, or than it weighs well, and what to do."""
    step, dye = worked.settled.scale_g.value, work.stock.dye.name
    steps = grams / step
    if steps >= shade.LEAST_STEPS:
        return
    off = shade.weighing_doubt(step).most_of_20_g
    few = (
        f"A scale that shows {brief(step)} g cannot weigh {show(grams, 'g')} of {dye}"
        if steps < 1
        else f"{show(grams, 'g')} of {dye} on a scale that shows {brief(step)} g may be "
        f"{brief(off / grams * 100)} % off"
    )
    finer = 10.0 ** math.floor(math.log10(grams / shade.LEAST_STEPS))
    ways = [_larger_stock(worked.settled, work, percent)]
    if finer >= FINEST_SCALE_G:
        ways.append(f"use a scale that shows {finer:g} g")
    yield Caution(
        id=f"stock.{work.stock.slug}.weighing",
        level="warn" if steps < 1 else "note",
        text=f"{few}: {', or '.join(ways)}.",
        source=f"{GUM}; fewer than {shade.LEAST_STEPS:g} steps is a house rule",
        stage="stocks",
        role="weigh dye",
        of=(work.stock.slug,),
        where=(*work.stock.key[:-1], "stock"),
    )


def _larger_stock(settled: Settled, work: StockWork, percent: float) -> str:
    """More of the stock than is needed, or a stronger one thinned: no more than a jar holds and the shelf has."""
    needed_ml = work.volume_ml
    ml = round_ml(settled, work.stock, needed_ml)
    if ml is not None:
        made = f"make {brief(ml)} mL of stock from {brief(ml * percent / 100)} g"
        return f"{made} and keep the {brief(ml - needed_ml)} mL left over" if ml > needed_ml else made
    grams, jar_ml = shade.LEAST_STEPS * settled.scale_g.value, shade.ROUND_ML[-1]
    stronger, there = grams / jar_ml * 100.0, on_hand(settled, work.stock.dye)
    takes_ml = needed_ml * percent / stronger
    if (
        not percent < stronger <= STRONG_PERCENT
        or takes_ml < LEAST_POUR_ML
        or (there and grams > there.value)
    ):
        return "use a ready liquid, or drops"
    return (
        f"make {brief(jar_ml)} mL of {brief(stronger)} % stock from {brief(grams)} g and thin {brief(takes_ml)} mL of "
        f"it to {brief(needed_ml)} mL"
    )


def _drops(number: float) -> str:
    return "1 drop" if number == 1 else f"{brief(number)} drops"


def _jars(worked: Worked) -> Iterator[Caution]:
    used: dict[str, float] = {}
    for work in worked.stocks.stocks:
        jar = work.stock.dye.jar
        if jar is not None:
            used[jar.name] = used.get(jar.name, 0.0) + (work.from_jar_ml or work.volume_ml)
    for jar in worked.settled.shelf.jars:
        if jar.name not in used:
            continue
        if used[jar.name] > jar.volume_ml:
            yield Caution(
                id=f"jar.short.{_slug(worked, jar.name)}",
                level="warn",
                text=f"The jar {jar.name} holds {brief(jar.volume_ml)} mL and the plan needs "
                f"{brief(used[jar.name])} mL: make fresh stock of the same strength for the rest.",
                source="the shelf's jar",
                stage="stocks",
                of=worked.jars_of(jar.name),
                where=("colour",),
            )
        age = f", made {jar.made}" if jar.made else ""
        yield Caution(
            id=f"jar.check.{_slug(worked, jar.name)}",
            level="note",
            text=f"{jar.name}{age}: shake it, look for mould or sediment, and try it on a scrap. Stocks keep about "
            "six months, some only weeks.",
            source="suppliers' pages on stock solutions: 6 months (George Weil), 3 to 6 months, some 1 to 2 "
            "weeks (Gaywool)",
            stage="stocks",
            of=worked.jars_of(jar.name),
            where=("colour",),
        )


def _slug(worked: Worked, name: str) -> str:
    return next(d.slug for d in worked.settled.dyes if d.jar is not None and d.jar.name == name)


# Cautions about acid, steam and cooling.


def heat_cautions(worked: Worked) -> Iterator[Caution]:
    """acid.* and water.* of every method, and the hazard of leftovers."""
    yield from _acid(worked)
    yield from _water(worked)
    yield hazard("leftovers", "leftovers.label", "note", "record")


def pot_too_small(
    settled: Settled, needed_ml: float, what: str, way: str, where: KeyPath
) -> Iterator[Caution]:
    """kit.pot-small: where the largest vessel of the kit in use holds less than it must, to the brim."""
    sized = [item for item in settled.kit if isinstance(item, KitItem) and item.volume_ml]
    largest = max(sized, key=lambda item: item.volume_ml or 0.0, default=None)
    if largest is None or largest.volume_ml is None or largest.volume_ml >= needed_ml:
        return
    yield Caution(
        id="kit.pot-small",
        level="warn",
        text=f"{largest.name} holds {brief(largest.volume_ml)} mL to the brim and {what} {brief(needed_ml)} mL: {way}.",
        source="yours: the shelf's kit",
        stage="heat",
        where=where,
    )


def hazard(
    row_id: str,
    caution_id: str,
    level: Level,
    stage: StageId,
    role: Role | Literal[""] = "",
    where: KeyPath = (),
    of: tuple[str, ...] = (),
) -> Caution:
    """The sentence of the hazards table as a caution."""
    row = hazards()[row_id]
    return Caution(
        id=caution_id,
        level=level,
        text=row.text,
        source=row.source,
        stage=stage,
        role=role,
        of=of,
        where=where,
    )


def _acid(worked: Worked) -> Iterator[Caution]:
    acid = worked.settled.acid
    if acid is None:
        return
    table = worked.settled.plan.sour.table
    stage, role, of = worked.acid_poured
    if acid.strong:
        yield hazard("acetic-strong", "acid.strong", "warn", stage, role, (table, "acid"), of)
    if not acid.liquid:
        yield hazard("acid-dust", "acid.dust", "note", stage, role, of=of)
    spread = worked.soured.spread
    amount = worked.soured.acid_amount
    # What a weak soak lacks on the goods is told by the pH its pieces end at.
    least = 0.0 if spread is None or table == "presoak" else spread.low
    if spread is not None and amount > 0 and not least <= amount <= spread.high:
        beyond = "less" if amount < least else "more"
        span = f"{brief(spread.low)} to {brief(spread.high)} {acid.unit}"
        yield Caution(
            id="acid.beyond-published",
            level="note",
            text=f"{brief(amount)} {acid.unit} of {acid.name} is {beyond} than any published dose for this "
            f"{'water' if table == 'presoak' else 'weight'} ({span}): read the pH with a strip.",
            source="table of practice doses",
            stage=stage,
            role=role,
            of=of,
            where=(table, "acid"),
        )


def _water(worked: Worked) -> Iterator[Caution]:
    settled = worked.settled
    if settled.alkalinity.origin == "estimate" and settled.acid is not None:
        yield Caution(
            id="water.alkalinity-unknown",
            level="note",
            text=f"The alkalinity of your water decides the acid and is taken as {brief(settled.alkalinity.value)} "
            "mg/L: ask your water supplier, or read the pH with a strip.",
            source="estimate",
            stage=worked.method.put_on.acid_at,
            where=("water", "alkalinity"),
        )
