"""Painting: whether the stocks hold the dye, which coats every band has, whether the paint will reach and how deep it
comes.
"""

from __future__ import annotations

import math

import msgspec

from studio.craft.liquor import reach
from studio.methods.put_on.paint_work import PaintWork, squeeze_to_g
from studio.plan.layout import laid_bands
from studio.plan.model import PlannedBand
from studio.plan.settled import SettledColour, Sharing, rows_of
from studio.plan.shapes import Caution, Figure, listed
from studio.plan.steps.lay import paint_path, stock_path
from studio.plan.work.stocks import colours_of
from studio.quantity.showing import show
from studio.session.kinds.paint import BandPainted, Face
from studio.session.live.given import NOTHING, Thought, measured, record_of, warning
from studio.session.sheet import value_now, worked_now
from studio.session.state import State

FACES: tuple[Face, ...] = ("front", "back")
ESTIMATE_SLACK = 1.05
"""A jar nobody has read is called short only beyond this: a jug is read to a twentieth. House rule."""


class BandNow(msgspec.Struct, frozen=True):
    """One band to paint, as it stands."""

    number: int
    """Its place among the painted bands, from 1; what the plan leaves bare is not counted."""
    plan: PlannedBand
    jar: str
    """Slug of the jar the plan paints it from."""
    coats: tuple[BandPainted, ...]
    faces: tuple[Face, ...]
    """Those that the plan paints."""
    told: frozenset[Face]
    """Those of which all was said to be painted, whether each band was ticked or not."""

    @property
    def jars(self) -> tuple[str, ...]:
        """Slug of the jar of each coat it has."""
        return tuple(coat.jar for coat in self.coats)

    def on(self, face: Face) -> tuple[BandPainted, ...]:
        """The coats of one face, the newest last."""
        return tuple(coat for coat in self.coats if coat.face == face)

    @property
    def to_paint(self) -> tuple[Face, ...]:
        """The faces that the plan paints and that have no coat yet."""
        return tuple(face for face in self.faces if face not in self.told and not self.on(face))

    @property
    def again(self) -> bool:
        """Whether it was painted more often than planned."""
        return len(self.coats) > max(1, len({coat.face for coat in self.coats} & {*self.faces}))

    @property
    def bare(self) -> bool:
        """Whether it has no coat yet."""
        return not self.coats

    @property
    def strange(self) -> bool:
        """Whether a coat of it came from another jar than planned."""
        return any(jar != self.jar for jar in self.jars)


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


def bands_of(state: State) -> tuple[BandNow, ...]:
    """Every band to paint, in the order of the layout."""
    if state.worksheet.step_for("paint") is None:
        return ()
    planned = [b for b in laid_bands(state.choices.plan.layout, rows_of(state.choices)) if b.colour]
    slugs = {colour.plan.name: colour.plan.slug for colour in state.choices.colours}
    told = frozenset(face for face in FACES if _whole(state, face))
    return tuple(
        BandNow(
            number,
            band,
            slugs.get(band.colour, band.colour),
            tuple(c.event for c in state.coats if c.event.band == number),
            FACES[: state.choices.plan.layout.sides],
            told,
        )
        for number, band in enumerate(planned, start=1)
    )


def _whole(state: State, face: Face) -> bool:
    """Whether its step is closed without a doubt that some was left."""
    record = record_of(state, "paint", "back" if face == "back" else "")
    return record.state == "done" and not record.flagged


def all_painted(state: State) -> bool:
    """Whether every face that the plan paints was said to be painted, whole."""
    return all(_whole(state, face) for face in FACES[: state.choices.plan.layout.sides])


def painted_with(state: State, *faces: Face) -> dict[int, str]:
    """The colour of each band that has a coat on these faces (of none said, on any), by its number: that of the jar of
    its newest one.
    """
    names = {colour.plan.slug: colour.plan.name for colour in state.choices.colours}
    coats = (kept.event for kept in state.coats)
    return {
        coat.band: names[coat.jar] for coat in coats if coat.jar in names and coat.face in (faces or FACES)
    }


def face_up(state: State) -> Face:
    """Which face lies up: the back once turning over is behind, also where that was left out."""
    return "back" if record_of(state, "turn over").closed else "front"


def next_band(state: State, after: int = 0, face: Face | None = None) -> int | None:
    """The first band after that one that is to be painted on the face (of none said, the one that lies up), else the
    first of all; None where there is none.
    """
    up = face or face_up(state)
    bare = [band.number for band in bands_of(state) if up in band.to_paint]
    return next((number for number in bare if number > after), next(iter(bare), None))


def still_bare(state: State, *faces: Face) -> str:
    """Numbers of the bands to be painted, `2, 4 to 11`, on these faces (of none said, on any, and it is said which
    where the plan paints both); empty where there are none.
    """
    bands = bands_of(state)
    runs = [
        (face, _in_runs([band.number for band in bands if face in band.to_paint])) for face in faces or FACES
    ]
    both = not faces and state.choices.plan.layout.sides > 1
    return ", ".join(f"{face} of {run}" if both else run for face, run in runs if run)


def _in_runs(numbers: list[int]) -> str:
    """Rising numbers, three and more in a row as a span.

    >>> _in_runs([2, 4, 5, 6, 8, 9])
    '2, 4 to 6, 8, 9'
    """
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    parts = [f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs]
    return ", ".join(parts)


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


def jars_now(state: State) -> tuple[JarNow, ...]:
    """Every jar that was mixed, in the order of the plan's colours."""
    found = (_jar(state, colour) for colour in state.choices.colours)
    return tuple(jar for jar in found if jar is not None)


def _jar(state: State, colour: SettledColour) -> JarNow | None:
    """A jar as it was read, and from there on at the rate of this hand; one never read at the plan's rate."""
    slug = colour.plan.slug
    mixed = in_jar_ml(state, slug)
    if mixed is None:
        return None
    bands, read = bands_of(state), state.paint_left.get(slug)
    sizes = {band.number: band.plan.size for band in bands}
    sides = state.choices.plan.layout.sides
    coats = [(c.n, sizes.get(c.event.band, 0.0) / sides) for c in state.coats if c.event.jar == slug]
    coated = sum(size for _, size in coats)
    bare = sum(b.plan.size * len(b.to_paint) / sides for b in bands if b.jar == slug)
    planned = sum(b.plan.size for b in bands if b.jar == slug)
    rate = (value_now(state, paint_path(slug, "apply")) or 0.0) / planned if planned > 0 else 0.0
    left, before, of_this_hand = mixed, 0.0, False
    if read is not None:
        later = (b.event.ml for b in state.batches if b.event.colour == slug and b.n > read.n)
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


def think_painting(state: State) -> Thought:
    """What each jar still holds and whether it reaches the bare bands; all the paint against the room for it."""
    jars = jars_now(state)
    thought = NOTHING
    for jar in jars:
        thought = thought + _reach(jar, _unit(state))
    return thought + _on_the_fibre(state, jars)


def _unit(state: State) -> str:
    rows = any(band.plan.rows is not None for band in bands_of(state))
    return "rows" if rows else "% of the fibre"


def _reach(jar: JarNow, unit: str) -> Thought:
    slug, name = jar.colour.plan.slug, jar.colour.plan.name
    about = "" if jar.read_now else "about "
    figure = Figure(
        id=f"live.paint.{slug}.left",
        value=jar.left_ml,
        unit="mL",
        label=f"{name} left in the jar",
        because=f"{show(jar.mixed_ml, 'mL')} mixed, {about}{show(jar.used_ml, 'mL')} used on "
        f"{show(jar.coated, '1')} {unit}; {show(jar.bare, '1')} still bare",
        origin="measured" if jar.read_now else "estimate",
        source="read from the jar" if jar.read_now else f"worked out at {_whose(jar)}",
    )
    figures = (figure,) if jar.coated or jar.read_now else ()
    if jar.rate_ml <= 0:
        return Thought(figures)
    told = reach(jar.rate_ml, 1.0, jar.bare, jar.left_ml)
    slack = 1.0 if jar.rate_read else ESTIMATE_SLACK
    if told.reaches or jar.left_ml * slack >= told.needed_ml:
        return Thought(figures)
    text = (
        f"{name} will run short: {show(told.needed_ml, 'mL')} needed at {_whose(jar)}, "
        f"{about}{show(told.left_ml, 'mL')} left. Mix {show(told.short_ml, 'mL')} more ({{bench.more}}) or paint drier."
    )
    return Thought(figures, (warning(f"paint.{slug}.short", text, "arithmetic on what was used so far"),))


def _whose(jar: JarNow) -> str:
    return "the rate so far" if jar.rate_read else "the planned rate"


def _on_the_fibre(state: State, jars: tuple[JarNow, ...]) -> Thought:
    """The coats that are on and what is still to come, against what the fibre can take as it was squeezed."""
    room = value_now(state, "paint.capacity") if measured(state, "squeeze") is not None else None
    painted = [jar for jar in jars if jar.coated]
    on_ml = sum(jar.used_ml for jar in painted)
    if room is None or not state.coats:
        return NOTHING
    to_come_ml = sum(jar.rate_ml * jar.bare for jar in jars)
    figure = Figure(
        id="live.paint.on",
        value=on_ml,
        unit="mL",
        label="paint on the fibre",
        because=" + ".join(f"{show(jar.used_ml, 'mL')} of {jar.colour.plan.name}" for jar in painted)
        + f"; {show(to_come_ml, 'mL')} to come; room for {show(room, 'mL')}",
        origin="estimate",
        source="conservation of mass",
    )
    over_ml = on_ml + to_come_ml - room
    if over_ml <= max(0.5, (ESTIMATE_SLACK - 1) * room):
        return Thought((figure,))
    text = (
        f"The paint that is on and what is still bare come to {show(on_ml + to_come_ml, 'mL')}, "
        f"{show(over_ml, 'mL')} more than the fibre can take: "
        "paint the rest drier, or blot before you wrap it."
    )
    return Thought((figure,), (warning("paint.wet", text, "conservation of mass"),))


ENOUGH = 0.98
"""A stock that holds this share of the dye it needs, or more, is let be. House rule."""
SOURCE = "wet pick-up: A. D. Broadbent, Basic Principles of Textile Coloration (SDC 2001), p. 193"
PALER = 0.95
"""A depth this share of the planned one, or more, is not warned about: another lot begins beyond. House rule."""


def think_stocks(state: State) -> Thought:
    """A warning for each stock that holds less dye than its depth takes: what to add, and the depth if it is left.

    More of it, or another volume, needs none: what is poured of it follows from what is in it.
    """
    found = (_short(state, jar) for jar in state.choices.jars)
    return Thought((), tuple(caution for caution in found if caution is not None))


def _short(state: State, jar: Sharing) -> Caution | None:
    (colour, stock), *_ = jar
    counted = colour.plan.drops is not None
    record = record_of(state, "count drops" if counted else "weigh dye", stock.slug)
    if record.value is None or record.asked is None or record.value >= ENOUGH * record.asked:
        return None
    if not counted and record.asked - record.value < state.choices.scale_g.value:
        return None  # No weighing of this scale comes nearer.
    unit = "drops" if counted else "g"
    more = f"{math.ceil(record.asked - record.value)}" if counted else show(record.asked - record.value, "g")
    text = (
        f"Add {more}{f' {unit}' if counted else ''} of {stock.dye.name} for {colours_of(jar)} "
        f"and correct the value{_as_it_is(state, jar)}."
    )
    return warning(f"stock.{stock.slug}", text, "arithmetic on what was weighed")


def _as_it_is(state: State, jar: Sharing) -> str:
    """What the depth of each colour comes to without it."""
    depths = [(c.plan.name, value_now(state, paint_path(c.plan.slug, "depth"))) for c, _ in jar]
    told = [(name, show(depth, "%", 2)) for name, depth in depths if depth is not None]
    if len(told) == 1:
        return f"; as it is the depth comes to {told[0][1]}"
    return f"; as it is {listed([f'{name} comes to {depth}' for name, depth in told])}" if told else ""


def think_depth(state: State) -> Thought:
    """A warning for each colour that will come paler than planned, with the weight to squeeze to."""
    worked = worked_now(state)
    if worked is None or measured(state, "squeeze") is None:
        return NOTHING
    thought = NOTHING
    for colour in worked.settled.colours:
        comes = value_now(state, paint_path(colour.plan.slug, "depth"))
        planned = colour.plan.depth.value if colour.plan.depth is not None else 0.0
        if comes is None or comes >= PALER * planned:
            continue
        text = f"{colour.plan.name} will come to {show(comes, '%', 2)}, planned {show(planned, '%', 2)}"
        only = colour.stocks[0] if len(colour.stocks) == 1 else None
        strength = value_now(state, stock_path(only.slug, "strength")) if only else None
        paint = worked.put
        told = (
            squeeze_to_g(worked.settled, paint, colour, strength)
            if isinstance(paint, PaintWork) and strength and still_bare(state)
            else None
        )
        text += (
            f": squeeze to {show(told, 'g')} and weigh again ({{bench.correct}}), or go on as it is."
            if told
            else "."
        )
        thought = thought + Thought((), (warning(f"paint.{colour.plan.slug}.pale", text, SOURCE),))
    return thought
