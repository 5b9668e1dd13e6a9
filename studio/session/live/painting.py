"""Painting: whether the stocks hold the dye, whether the paint will reach and how deep it comes."""

from __future__ import annotations

import math

import msgspec

from studio.craft.liquor import reach
from studio.methods.put_on.paint_work import PaintWork, squeeze_to_g
from studio.plan.settled import SettledColour, Sharing
from studio.plan.shapes import Origin, fig, listed
from studio.plan.steps.lay import paint_path, stock_path
from studio.plan.work.stocks import colours_of
from studio.quantity.showing import show
from studio.session.bands import BandNow, bands_of, coats_on, still_bare
from studio.session.kinds.paint import BatchMixed, JarRead
from studio.session.live.given import Told, measured, record_of, warning
from studio.session.sheet import as_laid_out, value_now, worked_now
from studio.session.state import State

ESTIMATE_SLACK = 1.05
"""A jar nobody has read is called short only beyond this: a jug is read to a twentieth. House rule."""


class JarNow(msgspec.Struct, frozen=True):
    """One jar of paint: what was mixed, about what went out of it, and what is still to be painted from it."""

    colour: SettledColour
    mixed_ml: float
    used_ml: float
    """What was painted out of it."""
    left_ml: float
    """What it still holds."""
    rate_ml: float
    """For each row, or per cent of the fibre."""
    rate_read: bool
    """The rate is of this hand, from a jar that was read; else it is the plan's."""
    read_now: bool
    """Nothing was painted from it since it was read."""
    coated: float
    """Rows or per cent painted from it; a second coat counts again."""
    bare: float
    """Rows or per cent the plan still wants from it."""


def jar_called(state: State, text: str) -> SettledColour | None:
    """The colour of that slug, name or number from 1."""
    wanted = text.strip().casefold()
    for number, colour in enumerate(state.choices.colours, start=1):
        if wanted in (colour.plan.slug.casefold(), colour.plan.name.casefold(), str(number)):
            return colour
    return None


def in_jar_ml(state: State, slug: str) -> float | None:
    """All that was mixed of a colour, later batches included; None before it was mixed."""
    path = paint_path(slug, "liquid")
    mixed = value_now(state, path) if path in record_of(state, "mix", slug).fixed else None
    return None if mixed is None else mixed + (value_now(state, paint_path(slug, "more")) or 0.0)


def stock_left_ml(state: State, colour: SettledColour) -> float | None:
    """mL of its stocks, as they stand in its paint, that the sheet leaves; None of drops, and before it was mixed."""
    worked = worked_now(state)
    liquids = worked.liquids if worked is not None and in_jar_ml(state, colour.plan.slug) else ()
    mine = next((q for q in liquids if q.colour.plan.slug == colour.plan.slug and q.stock_ml > 0), None)
    if worked is None or mine is None or colour.plan.drops is not None:
        return None
    poured = zip(worked.stocks.of(mine.colour), mine.stocks_ml, strict=True)
    return min(jar.left_ml / ml for jar, ml in poured if ml > 0) * mine.stock_ml


def jars_now(state: State) -> tuple[JarNow, ...]:
    """Every jar that was mixed, in the order of the plan's colours."""
    found = (_jar(state, colour) for colour in state.choices.colours)
    return tuple(jar for jar in found if jar is not None)


def left_example(state: State, colour: SettledColour) -> str:
    """What may be left in its jar, as an example: about what it holds, of an empty one a tenth of what was mixed."""
    jar = _jar(state, colour)
    if jar is None:
        return "12 mL"
    return show(jar.left_ml if jar.left_ml >= 1.0 else jar.mixed_ml / 10, "mL", 2)


def _jar(state: State, colour: SettledColour) -> JarNow | None:
    """A jar as it was read, and from there on at the rate of this hand; one never read at the plan's rate."""
    slug = colour.plan.slug
    mixed = in_jar_ml(state, slug)
    if mixed is None:
        return None
    bands, reads = bands_of(state), [r for r in state.kept(JarRead) if r.event.colour == slug]
    read = reads[-1] if reads else None
    sides = state.choices.plan.layout.sides
    coats = [(n, size) for n, jar, size in coats_on(state) if jar == slug]
    coated = sum(size for _, size in coats)
    bare = sum(b.plan.size * len(b.to_paint) / sides for b in bands if b.jar == slug)
    planned = sum(b.plan.size for b in bands if b.jar == slug)
    apply = as_laid_out(state).figure(paint_path(slug, "apply"))
    rate = apply.value / planned if apply is not None and planned > 0 else 0.0
    left, before, of_this_hand = mixed, 0.0, False
    if read is not None:
        later = (b.event.ml for b in state.kept(BatchMixed) if b.event.colour == slug and b.n > read.n)
        left = read.event.ml + sum(later)
        before = sum(size for n, size in coats if n < read.n)
        of_this_hand = left < mixed and before > 0
        rate = (mixed - left) / before if of_this_hand else rate
    left = max(0.0, left - rate * (coated - before))
    read_now = read is not None and before == coated
    return JarNow(colour, mixed, max(0.0, mixed - left), left, rate, of_this_hand, read_now, coated, bare)


def band_ml(state: State, band: BandNow) -> float | None:
    """About what a coat of the band takes of its jar, mL; on both faces together where the plan paints one.

    None where nothing tells it.
    """
    rate = next((jar.rate_ml for jar in jars_now(state) if jar.colour.plan.slug == band.jar), 0.0)
    return rate * band.plan.size / len(band.faces) if rate > 0 else None


def think_painting(state: State) -> Told:
    """What each jar still holds and whether it reaches the bare bands; all the paint against the room for it."""
    jars = jars_now(state)
    for jar in jars:
        yield from _reach(jar, _unit(state))
    yield from _on_the_fibre(state, jars)


def _unit(state: State) -> str:
    rows = any(band.plan.rows is not None for band in bands_of(state))
    return "rows" if rows else "% of the fibre"


def _reach(jar: JarNow, unit: str) -> Told:
    slug, name = jar.colour.plan.slug, jar.colour.plan.name
    about = "" if jar.read_now else "about "
    because = (
        f"{show(jar.mixed_ml, 'mL')} mixed, {about}{show(jar.used_ml, 'mL')} used on "
        f"{show(jar.coated, '1')} {unit}; {show(jar.bare, '1')} still bare"
    )
    source = "read from the jar" if jar.read_now else f"worked out at {_whose(jar)}"
    by: Origin = "measured" if jar.read_now else "estimate"
    label = f"{name} left in the jar"
    if jar.coated or jar.read_now:
        yield fig(f"live.paint.{slug}.left", jar.left_ml, "mL", label, because, by, source)
    if jar.rate_ml <= 0:
        return
    told = reach(jar.rate_ml, 1.0, jar.bare, jar.left_ml)
    slack = 1.0 if jar.rate_read else ESTIMATE_SLACK
    if told.reaches or jar.left_ml * slack >= told.needed_ml:
        return
    text = (
        f"{name} will run short: {show(told.needed_ml, 'mL')} needed at {_whose(jar)}, "
        f"{about}{show(told.left_ml, 'mL')} left. Mix {show(told.short_ml, 'mL')} more ({{bench.more}}) or paint drier."
    )
    yield warning(f"paint.{slug}.short", text, "arithmetic on what was used so far")


def _whose(jar: JarNow) -> str:
    return "the rate so far" if jar.rate_read else "the planned rate"


def _on_the_fibre(state: State, jars: tuple[JarNow, ...]) -> Told:
    """The coats that are on and what is still to come, against what the fibre can take as it was squeezed."""
    room = value_now(state, "paint.capacity") if measured(state, "squeeze") is not None else None
    painted = [jar for jar in jars if jar.coated]
    on_ml = sum(jar.used_ml for jar in painted)
    if room is None or not state.coats:
        return
    to_come_ml = sum(jar.rate_ml * jar.bare for jar in jars)
    on = " + ".join(f"{show(jar.used_ml, 'mL')} of {jar.colour.plan.name}" for jar in painted)
    because = f"{on}; {show(to_come_ml, 'mL')} to come; room for {show(room, 'mL')}"
    source, label = "conservation of mass", "paint on the fibre"
    yield fig("live.paint.on", on_ml, "mL", label, because, "estimate", source)
    over_ml = on_ml + to_come_ml - room
    if over_ml <= max(0.5, (ESTIMATE_SLACK - 1) * room):
        return
    text = (
        f"The paint that is on and what is still bare come to {show(on_ml + to_come_ml, 'mL')}, "
        f"{show(over_ml, 'mL')} more than the fibre can take: "
        "paint the rest drier, or blot before you wrap it."
    )
    yield warning("paint.wet", text, source)


ENOUGH = 0.98
"""A stock that holds this share of the dye it needs, or more, is let be. House rule."""
SOURCE = "wet pick-up: A. D. Broadbent, Basic Principles of Textile Coloration (SDC 2001), p. 193"
PALER = 0.95
"""A depth this share of the planned one, or more, is not warned about: another lot begins beyond. House rule."""


def think_stocks(state: State) -> Told:
    """A warning for each stock that holds less dye than its depth takes: what to add, and the depth if it is left.

    More of it, or another volume, needs none: what is poured of it follows from what is in it.
    """
    for jar in state.choices.jars:
        yield from _short(state, jar)


def _short(state: State, jar: Sharing) -> Told:
    (colour, stock), *_ = jar
    counted = colour.plan.drops is not None
    record = record_of(state, "count drops" if counted else "weigh dye", stock.slug)
    if record.value is None or record.asked is None or record.value >= ENOUGH * record.asked:
        return
    if not counted and record.asked - record.value < state.choices.scale_g.value:
        return  # No weighing of this scale comes nearer.
    unit = "drops" if counted else "g"
    more = f"{math.ceil(record.asked - record.value)}" if counted else show(record.asked - record.value, "g")
    text = (
        f"Add {more}{f' {unit}' if counted else ''} of {stock.dye.name} for {colours_of(jar)} "
        f"and correct the value{_as_it_is(state, jar)}."
    )
    yield warning(f"stock.{stock.slug}", text, "arithmetic on what was weighed")


def _as_it_is(state: State, jar: Sharing) -> str:
    """What the depth of each colour comes to without it."""
    depths = [(c.plan.name, value_now(state, paint_path(c.plan.slug, "depth"))) for c, _ in jar]
    told = [(name, show(depth, "%")) for name, depth in depths if depth is not None]
    if len(told) == 1:
        return f"; as it is the depth comes to {told[0][1]}"
    return f"; as it is {listed([f'{name} comes to {depth}' for name, depth in told])}" if told else ""


def think_depth(state: State) -> Told:
    """A warning for each colour that will come paler than planned, with the weight to squeeze to."""
    worked = worked_now(state)
    if worked is None or measured(state, "squeeze") is None:
        return
    for colour in worked.settled.colours:
        comes = value_now(state, paint_path(colour.plan.slug, "depth"))
        planned = colour.plan.depth.value if colour.plan.depth is not None else 0.0
        if comes is None or comes >= PALER * planned:
            continue
        text = f"{colour.plan.name} will come to {show(comes, '%')}, planned {show(planned, '%')}"
        only = colour.stocks[0] if len(colour.stocks) == 1 else None
        strength = value_now(state, stock_path(only.slug, "strength")) if only else None
        paint = worked.put
        told = (
            squeeze_to_g(worked.settled, paint, colour, strength)
            if isinstance(paint, PaintWork) and strength and still_bare(state) and not state.coats
            else None
        )
        text += (
            f": squeeze to {show(told, 'g')} and weigh again ({{bench.correct}}), or go on as it is."
            if told
            else "."
        )
        yield warning(f"paint.{colour.plan.slug}.pale", text, SOURCE)
