"""A plan in short: what is weighed and mixed for each colour, what a field of one comes to, the job in three lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import msgspec

from studio.plan.settled import Settled, SettledColour
from studio.plan.shapes import Figure, Worksheet
from studio.plan.steps.lay import paint_path, stock_path
from studio.plan.ways import method_of

DEPTH, MAKE_UP, COVERS = "depth", "make up to", "covers"
TAKEN = {"from_jar": "take", "drops": "take", "dye": "weigh"}
"""The column of what is taken of a dye: of a ready liquid, of a bottle that drops, of a powder."""
Words = tuple[str, tuple[Figure, ...]]
"""Words with a place for each of the figures that go into them."""


class ColourLine(msgspec.Struct, frozen=True):
    """One line of the table: a colour, or below it a dye of its mix."""

    number: int
    """Of the colour, from 0."""
    name: str
    part: bool = False
    """Whether it is a dye of the mix above."""
    share: float | None = None
    """Of the piece, 0 to 1."""
    shared: bool = False
    """Whether a line above has its jar."""
    depth: str = ""
    """As it was typed, where it was."""
    cells: dict[str, Figure] = {}
    """What is known of it, by the head of its column."""


def heads(settled: Settled, *, wide: bool) -> tuple[str, ...]:
    """The columns in the order of work; `wide`: with those that only width has room for."""
    shown = (head for head, _, narrow in method_of(settled).put_on.columns if narrow or wide)
    return (DEPTH, *dict.fromkeys(TAKEN.values()), MAKE_UP, *shown, *((COVERS,) if wide else ()))


def colour_lines(settled: Settled, sheet: Worksheet, names: Sequence[str]) -> list[ColourLine]:
    """A line for each of the names, also where the plan knows none of that name yet; a shared jar is told once."""
    lines: list[ColourLine] = []
    figures = {figure.id: figure for figure in sheet.figures}
    by_name = {colour.plan.name: colour for colour in settled.colours}
    jars: set[str] = set()
    for number, name in enumerate(names):
        colour = by_name.get(name)
        if colour is None:
            lines.append(ColourLine(number, name))
            continue
        parts = [ColourLine(number, stock.dye.name, part=True, shared=True) for stock in colour.stocks]
        for n, stock in enumerate(colour.stocks):
            if stock.slug not in jars:
                jar = _jar(stock.slug, figures)
                parts[n] = msgspec.structs.replace(parts[n], shared=False, cells=jar)
                jars.add(stock.slug)
        single = parts[0] if len(parts) == 1 else None
        depth = colour.plan.depth.typed if colour.plan.depth else ""
        cells = _put_on(settled, colour, figures) | (single.cells if single else {})
        shared = single is not None and single.shared
        lines.append(ColourLine(number, name, share=colour.share, shared=shared, depth=depth, cells=cells))
        lines.extend(() if single else parts)
    return lines


def _put_on(settled: Settled, colour: SettledColour, figures: dict[str, Figure]) -> dict[str, Figure]:
    of = colour.plan.slug
    paths = {
        DEPTH: paint_path(of, "depth"),
        **{head: path.replace("{colour}", of) for head, path, _ in method_of(settled).put_on.columns},
    }
    return {head: figures[path] for head, path in paths.items() if path in figures}


def _jar(jar: str, figures: dict[str, Figure]) -> dict[str, Figure]:
    """What is taken of its dye, and what that is made up to; drops are made up to nothing."""
    kind = next((kind for kind in TAKEN if stock_path(jar, kind) in figures), "")
    cells = {TAKEN[kind]: figures[stock_path(jar, kind)]} if kind else {}
    made = figures.get(stock_path(jar, "volume"))
    return cells | ({MAKE_UP: made} if made is not None and kind != "drops" else {})


NOTES = {
    "name": (("paint.{colour}.fibre", "{} of fibre"),),
    "stock": (("stock.{colour}.weighing", "weighs {} either way on your scale"),),
    "liquid": (("paint.capacity", "of {} room in the damp fibre"),),
    "acid": (("paint.{colour}.acid", "{} goes in"), ("paint.{colour}.ph", "{} once the dye is on")),
}
"""Figures told beside a field of a colour, with the words about each."""


def notes(sheet: Worksheet, key: str, colour: str) -> Iterator[Words]:
    """What a field of a colour comes to; `colour` is its slug."""
    for path, words in NOTES.get(key, ()):
        figure = sheet.figure(path.replace("{colour}", colour))
        if figure is not None:
            yield words, (figure,)


class JobLine(msgspec.Struct, frozen=True):
    """A stage, or the cost, with what it comes to."""

    name: str
    said: tuple[Words, ...]


def job(settled: Settled, sheet: Worksheet, *, tall: bool) -> list[JobLine]:
    """Soak, heat and cost; the wait for it to cool too where there is room."""
    method = method_of(settled)
    acid = f"{{}} {settled.acid.name}" if settled.acid else "{}"
    sour = ((acid, f"{method.acid_table}.acid"), ("{}", f"{method.acid_table}.ph"))
    in_soak = method.acid_table == "presoak"
    soak = (("{}", "presoak.water"), *(sour if in_soak else ()), ("{}", "presoak.time"))
    heat = (*(() if in_soak else sour), *method.set_by.job)
    each, whole = sheet.figure("cost.per_piece"), sheet.figure("cost.total")
    several = each is not None and whole is not None and each.value < whole.value
    cost = (
        ("{}", "cost.total"),
        *((("{} a piece", "cost.per_piece"),) if several else ()),
        ("sells at {} a piece" if several else "sells at {}", "price.suggested"),
    )
    cool = (("{} until it is cool enough to unwrap", "cool.time"),) if tall else ()
    stages = (("soak", soak), (method.set_by.stage, heat), ("cool", cool), ("cost", cost))
    lines = (JobLine(name, tuple(_known(sheet, parts))) for name, parts in stages)
    return [line for line in lines if line.said]


def _known(sheet: Worksheet, parts: Sequence[tuple[str, ...]]) -> Iterator[Words]:
    """Those whose figures the sheet has."""
    for words, *paths in parts:
        found = tuple(figure for path in paths if (figure := sheet.figure(path)) is not None)
        if len(found) == len(paths):
            yield words, found
