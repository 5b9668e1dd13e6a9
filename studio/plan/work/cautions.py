"""What is to be minded: a table of what is said, and when it is said of kit, shelf, cost, stocks, acid and water."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

from studio.craft import shade
from studio.plaintext import slug
from studio.plan.errors import KeyPath
from studio.plan.said import Sayings
from studio.plan.settled import Settled
from studio.plan.shapes import Caution, brief, said_by
from studio.plan.shelf import KitItem, age_of, read_day
from studio.plan.steps.stages import MOST_STOCKS, most_colours
from studio.plan.ways import ColourLiquid
from studio.plan.work.stocks import GUM, LEAST_POUR_ML, StockWork, on_hand, pour_path, round_ml
from studio.plan.work.worked import Worked
from studio.quantity.showing import show
from studio.shaping import shaped_json

_TABLE = Path(__file__).with_name("cautions.json")
caution = Sayings(lambda: shaped_json(_TABLE.read_bytes(), dict[str, Caution]))
"""What is to be minded, by what it is about."""


def cost_cautions(worked: Worked) -> Iterator[Caution]:
    """cost.incomplete: a cost that leaves something out says so."""
    if worked.cost.missing:
        yield caution("cost.incomplete", missing=", ".join(worked.cost.missing))


# Cautions that come of the shelf: old jars, and less dye than is needed.


def shelf_cautions(worked: Worked) -> Iterator[Caution]:
    """jar.old.*, shelf.several.* and dye.short.*."""
    settled = worked.settled
    today = read_day(settled.shelf.read_on)
    for dye in settled.dyes:
        age = age_of(dye.jar, today) if dye.jar is not None else None
        if age is not None and age.standing == "old":
            source = said_by(age.origin, age.source)
            yield caution("jar.old", dye=dye, age=age.told, source=source, of=worked.jars_of(dye.name))
    acid = (settled.acid, worked.method.put_on.acid_at, (settled.plan.sour.table, "acid"), ())
    dyes = ((dye, "stocks", ("colour",), worked.jars_of(dye.name)) for dye in settled.dyes)
    for taken, stage, where, of in (acid, *dyes):
        if taken is not None and taken.others:
            told, names = slug(taken.name), [taken.name, *taken.others]
            yield caution(
                "shelf.several", slug=told, names=names, taken=taken, stage=stage, where=where, of=of
            )
    for dye in settled.dyes:
        there = on_hand(settled, dye)
        needed = sum(w.taken or 0.0 for w in worked.stocks.stocks if w.stock.dye.name == dye.name)
        if there is not None and needed > there.value * 1.001:
            yield caution("dye.short", dye=dye, taken=needed, there=there, of=worked.jars_of(dye.name))


# Cautions about method and kit: how much one session walks, and what may touch food again.


def kit_cautions(worked: Worked) -> Iterator[Caution]:
    """method.too-many-colours, kit.dye-only, kit.kitchen and kit.unlisted."""
    settled = worked.settled
    colours, stocks, most = len(settled.colours), len(settled.jars), most_colours(settled.plan.layout.sides)
    if colours > most or stocks > MOST_STOCKS:
        most_told = {"most": most, "most_stocks": MOST_STOCKS}
        yield caution("method.too-many-colours", colours=colours, stocks=stocks, **most_told)
    named: dict[str, list[str]] = {"dye only": [], "kitchen": [], "": []}
    for item in settled.kit:
        kept_for, name = (item.kept_for, item.name) if isinstance(item, KitItem) else ("", item)
        named[kept_for].append(name)
    kept, kitchen, unlisted = (", ".join(names) for names in named.values())
    if settled.food_only:
        if kept:
            yield caution("kit.dye-only", kept=kept)
        return
    if kitchen:
        others = ", ".join(d.name for d in settled.dyes if not d.food)
        yield caution("kit.kitchen", kitchen=kitchen, others=others)
    if unlisted:
        yield caution("kit.unlisted", unlisted=unlisted)


def pot_too_small(
    settled: Settled, needed_ml: float, what: str, way: str, where: KeyPath
) -> Iterator[Caution]:
    """kit.pot-small: where the largest vessel of the kit in use holds less than it must, to the brim."""
    sized = [item for item in settled.kit if isinstance(item, KitItem) and item.volume_ml]
    largest = max(sized, key=lambda item: item.volume_ml or 0.0, default=None)
    if largest is None or largest.volume_ml is None or largest.volume_ml >= needed_ml:
        return
    yield caution("kit.pot-small", pot=largest, what=what, needed=needed_ml, way=way, where=where)


# Cautions about stocks and liquid: too weak, too strong, too little to weigh, more than the fibre holds.

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
    yield caution(
        "dye.pale",
        colour=colour,
        depth=depth,
        pale=PALE_PERCENT,
        takes=colour.dyed_g * PALE_PERCENT / strength.value,
        times=PALE_PERCENT / depth,
        of=tuple(stock.slug for stock in colour.stocks),
    )


def _small(liquid: ColourLiquid) -> Iterator[Caution]:
    """stock.<colour>[.<dye>].small: less of a stock than pours well."""
    colour = liquid.colour
    for ml, stock in zip(liquid.stocks_ml, colour.stocks, strict=True):
        if 0 < ml < LEAST_POUR_ML and colour.plan.drops is None:
            told = {"path": pour_path(colour, stock), "ml": ml, "least": LEAST_POUR_ML}
            yield caution("stock.small", colour=colour.plan, stock=stock, of=(stock.slug,), **told)


def rounded_up(percent: float) -> str:
    """A strength rounded up in its third digit, so that what is advised is enough."""
    for digits in (2, 3, 4):
        text = f"{percent * (1 + 0.5 * 10 ** (1 - digits)):.{digits}g}"
        if percent <= float(text) <= percent * 1.05:
            return text
    return brief(percent)


def _stock(worked: Worked, work: StockWork) -> Iterator[Caution]:
    strength, of = work.stock.strength, (work.stock.slug,)
    where = (*work.stock.key[:-1], "stock")
    if strength is not None and strength.value > STRONG_PERCENT and work.stock.dye.powder:
        yield caution("stock.strong", stock=work.stock, most=STRONG_PERCENT, of=of, where=where)
    if work.drops is not None and 0 < work.drops < FEW_DROPS:
        yield caution("stock.few-drops", work=work, drops=_drops(work.drops), of=of)
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
    yield caution(
        "stock.weighing",
        stock=work.stock,
        few=few,
        ways=", or ".join(ways),
        gum=GUM,
        least=shade.LEAST_STEPS,
        level="warn" if steps < 1 else "note",
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
    slugs = {dye.jar.name: dye.slug for dye in reversed(worked.settled.dyes) if dye.jar is not None}
    for work in worked.stocks.stocks:
        jar = work.stock.dye.jar
        if jar is not None:
            used[jar.name] = used.get(jar.name, 0.0) + (work.from_jar_ml or work.volume_ml)
    for jar in worked.settled.shelf.jars:
        if jar.name not in used:
            continue
        told, age, of = slugs[jar.name], f", made {jar.made}" if jar.made else "", worked.jars_of(jar.name)
        if used[jar.name] > jar.volume_ml:
            yield caution("jar.short", slug=told, jar=jar, needed=used[jar.name], of=of)
        yield caution("jar.check", slug=told, jar=jar, age=age, of=of)


# Cautions about acid, water and what is left over.


def heat_cautions(worked: Worked) -> Iterator[Caution]:
    """acid.* and water.* of every method, and the hazard of leftovers."""
    yield from _acid(worked)
    settled = worked.settled
    if settled.alkalinity.origin == "estimate" and settled.acid is not None:
        yield caution("water.alkalinity-unknown", water=settled, stage=worked.method.put_on.acid_at)
    yield caution("leftovers.label")


def _acid(worked: Worked) -> Iterator[Caution]:
    acid = worked.settled.acid
    if acid is None:
        return
    table = worked.settled.plan.sour.table
    stage, role, of = worked.acid_poured
    at = {"table": table, "stage": stage, "role": role, "of": of}
    if acid.strong:
        yield caution("acid.strong", **at)
    if not acid.liquid:
        yield caution("acid.dust", **at)
    spread = worked.soured.spread
    amount = worked.soured.acid_amount
    # What a weak soak lacks on the goods is told by the pH its pieces end at.
    least = 0.0 if spread is None or table == "presoak" else spread.low
    if spread is not None and amount > 0 and not least <= amount <= spread.high:
        beyond, what = "less" if amount < least else "more", "water" if table == "presoak" else "weight"
        told = {"amount": amount, "beyond": beyond, "what": what, "spread": spread}
        yield caution("acid.beyond-published", acid=acid, **told, **at)
