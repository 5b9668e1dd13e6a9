"""The rows of one section of a plan: its fields, and in the layout its bands; the table of colours; the job."""

from __future__ import annotations

import msgspec

from studio.plaintext import slug
from studio.plan.draft.draft import PlanDraft
from studio.plan.draft.edits import Place
from studio.plan.draft.field_text import stand_in
from studio.plan.fields import Field, FieldSection, field_of
from studio.plan.settled import Settled, SettledColour
from studio.plan.shapes import Caution, Figure, Origin, Worksheet, weakest
from studio.plan.ways import method_of
from studio.plan.work.stocks import on_hand
from studio.quantity.reading_in import told
from studio.report.worksheet import figure_told, value_words


class FieldRow(msgspec.Struct, frozen=True):
    """One key."""

    place: Place
    field: Field
    value: str
    """As it is typed; empty where it was left out."""
    instead: str
    """What stands in for it then, with where that comes from."""
    note: str = ""
    """What it comes to, beside it."""


class BandRow(msgspec.Struct, frozen=True):
    """One band of the layout."""

    index: int
    colour: str
    size: str
    rows: float
    """Rows, or per cent."""
    waits: bool
    """Whether no colour has that name yet."""


Row = FieldRow | BandRow


def rows_of_section(draft: PlanDraft, section: FieldSection) -> list[Row]:
    """All rows, in the order of the screen; each colour's fields below its name."""
    if section.table == "colour":
        return [
            _field_row(draft, section, f, n) for n in range(len(draft.colour_names())) for f in section.fields
        ]
    rows: list[Row] = [_field_row(draft, section, f, None) for f in section.fields]
    layout = draft.layout() if section.table == "layout" else None
    waiting = draft.awaited() if layout else ()
    for index, band in enumerate(layout.order if layout else ()):
        size = f"{band.rows} rows" if band.rows is not None else f"{band.share_percent:g} %"
        rows.append(
            BandRow(
                index, band.colour, size, float(band.rows or band.share_percent or 0), band.colour in waiting
            )
        )
    return rows


def _field_row(draft: PlanDraft, section: FieldSection, field: Field, number: int | None) -> FieldRow:
    place = Place(section.table, number, field.key)
    value = draft.shown(place)
    name = draft.colour_names()[number] if number is not None else ""
    other, origin = stand_in(field, draft.settled, draft.worksheet, slug(name) if name else "")
    instead = "" if value or not other else f"{other} ({origin})" if origin else other
    return FieldRow(place, field, value, instead, _note(draft, place, slug(name)) if name else "")


def figures_of(section: FieldSection, worksheet: Worksheet, colour: str) -> list[Figure]:
    """The figures that belong beside a section; `colour` is the slug of the one that is looked at."""
    wanted = section.figures
    return [
        f
        for f in worksheet.figures
        if f.id in wanted or (f.part in wanted and (section.table != "colour" or colour in f.of))
    ]


def cautions_of(section: FieldSection, worksheet: Worksheet) -> list[Caution]:
    """Those whose key stands in that section."""
    if not section.table:
        tops = tuple(f.key for f in section.fields)
        return [c for c in worksheet.cautions if c.where and c.where[0] in tops]
    return [c for c in worksheet.cautions if c.where and c.where[0] == section.table]


def section_index(sections: tuple[FieldSection, ...], place: Place) -> int | None:
    """The section of a place."""
    return next(
        (n for n, s in enumerate(sections) if s.table == place.table and field_of(s.table, place.key)), None
    )


def percent(share: float) -> str:
    """A share of the piece, in whole per cent.

    >>> percent(0.327), percent(0.002)
    ('33 %', 'under 1 %')
    """
    return f"{100 * share:.0f} %" if share >= 0.005 else "under 1 %"


# The table of colours: what is weighed and mixed for each, in the order of work.


class ColourLine(msgspec.Struct, frozen=True):
    """One line: a colour, or below it a dye of its mix."""

    number: int
    """Of the colour, from 0."""
    name: str
    part: bool
    """Whether it is a dye of the mix above."""
    cells: dict[str, str]
    """What is known of it, by the head of its column."""


TAKEN = {"from_jar": "take", "drops": "take", "dye": "weigh"}
"""The column of what is taken of a dye: of a ready liquid, of a bottle that drops, of a powder."""
MAKE_UP, DEPTH, COVERS = "make up to", "depth", "covers"


def colour_table(draft: PlanDraft, *, wide: bool) -> tuple[tuple[str, ...], list[ColourLine]]:
    """Heads of the columns that say anything, and the lines; `wide`: with the columns that only width has room for."""
    settled, sheet = draft.settled, draft.worksheet
    if settled is None or sheet is None:
        return (), []
    said = {figure.id: value_words(figure) for figure in sheet.figures}
    lines: list[ColourLine] = []
    jars: set[str] = set()
    for number, name in enumerate(draft.colour_names()):
        colour = _settled(settled, slug(name) if name else "")
        lines.append(ColourLine(number, name, False, _cells(settled, colour, said) if colour else {}))
        for stock in colour.stocks if colour else ():
            cells = {} if stock.slug in jars else _jar(stock.slug, said)
            jars.add(stock.slug)
            if colour and len(colour.stocks) > 1:
                lines.append(ColourLine(number, stock.dye.name, True, cells))
            else:
                lines[-1].cells.update(cells)
    shown = [head for head, _, narrow in method_of(settled).put_on.columns if narrow or wide]
    heads = (DEPTH, *dict.fromkeys(TAKEN.values()), MAKE_UP, *shown, *((COVERS,) if wide else ()))
    return tuple(head for head in heads if any(line.cells.get(head) for line in lines)), lines


def _settled(settled: Settled, colour: str) -> SettledColour | None:
    return next((one for one in settled.colours if one.plan.slug == colour), None)


def _cells(settled: Settled, colour: SettledColour, said: dict[str, str]) -> dict[str, str]:
    of = colour.plan
    cells = {
        head: said.get(path.replace("{colour}", of.slug), "")
        for head, path, _ in method_of(settled).put_on.columns
    }
    depth = of.depth.typed if of.depth else said.get(f"paint.{of.slug}.depth", "")
    return {DEPTH: depth, COVERS: percent(colour.share), **cells}


def _jar(jar: str, said: dict[str, str]) -> dict[str, str]:
    kind = next((kind for kind in TAKEN if f"stock.{jar}.{kind}" in said), "")
    taken = said.get(f"stock.{jar}.{kind}", "")
    drops = kind == "drops"
    return {
        TAKEN.get(kind, ""): f"{taken} drops" if drops else taken,
        MAKE_UP: "" if drops else said.get(f"stock.{jar}.volume", ""),
    }


NOTES = {
    "name": (("paint.{colour}.fibre", "{} of fibre"),),
    "stock": (("stock.{colour}.weighing", "weighs {} either way on your scale"),),
    "liquid": (("paint.capacity", "of {} room in the damp fibre"),),
    "acid": (("paint.{colour}.acid", "{} goes in"), ("paint.{colour}.ph", "{} once the dye is on")),
}
"""Figures told beside a field of a colour."""


def _note(draft: PlanDraft, place: Place, colour: str) -> str:
    """What a field of a colour comes to."""
    settled, sheet = draft.settled, draft.worksheet
    if settled is None or sheet is None or (draft.trouble is not None and draft.trouble.place == place):
        return ""
    of = _settled(settled, colour)
    if place.key == "dye" and of is not None and len(of.stocks) == 1:
        dye, there = of.stocks[0].dye, on_hand(settled, of.stocks[0].dye)
        ci = dye.row.ci if dye.row is not None and dye.row.ci != dye.name else ""
        return ", ".join(filter(None, (ci, f"{told(there.value, there.unit)} on the shelf" if there else "")))
    parts = (
        (sheet.figure(path.replace("{colour}", colour)), words) for path, words in NOTES.get(place.key, ())
    )
    return ", ".join(words.format(value_words(figure)) for figure, words in parts if figure is not None)


# The job in three lines.


class JobLine(msgspec.Struct, frozen=True):
    """A stage, or the cost, with what it comes to and the weakest origin of that."""

    name: str
    said: str
    origin: str


def job(draft: PlanDraft) -> list[JobLine]:
    """Soak, heat and cost, of the last plan that could be worked out."""
    settled, sheet = draft.settled, draft.worksheet
    if settled is None or sheet is None:
        return []
    method = method_of(settled)
    acid = settled.acid.name if settled.acid else ""
    sour = ((f"{{}} {acid}", f"{method.acid_table}.acid"), ("{}", f"{method.acid_table}.ph"))
    in_soak = method.acid_table == "presoak"
    soak = (("{}", "presoak.water"), *(sour if in_soak else ()), ("{}", "presoak.time"))
    heat = (*(() if in_soak else sour), *method.set_by.job)
    each, whole = sheet.figure("cost.per_piece"), sheet.figure("cost.total")
    several = each is not None and whole is not None and each.value < whole.value
    cost = (
        ("{}", "cost.total"),
        ("{} a piece" if several else "", "cost.per_piece"),
        ("sells at {} a piece" if several else "sells at {}", "price.suggested"),
    )
    stages = (("soak", soak), (method.set_by.stage, heat), ("cost", cost))
    return [line for name, parts in stages if (line := _job_line(sheet, name, parts)).said]


def _job_line(sheet: Worksheet, name: str, parts: tuple[tuple[str, ...], ...]) -> JobLine:
    said, origins = list[str](), list[Origin]()
    for words, *paths in parts:
        found = [figure for path in paths if (figure := sheet.figure(path)) is not None]
        if words and len(found) == len(paths):
            amounts = (value_words(f) if f.unit == "min" else figure_told(f, f.value) for f in found)
            said.append(words.format(*amounts))
            origins.extend(figure.origin for figure in found)
    return JobLine(name, ", ".join(said), weakest(*origins) if origins else "")
