"""The rows of one section of a plan: its fields, and in the layout its bands; the table of colours; the job."""

from __future__ import annotations

import msgspec

from studio.plaintext import slug
from studio.plan import summary
from studio.plan.draft.draft import PlanDraft
from studio.plan.draft.edits import Place
from studio.plan.draft.field_text import stand_in
from studio.plan.fields import Field, FieldSection, field_of
from studio.plan.layout import BARE
from studio.plan.model import PlannedBand
from studio.plan.shapes import Caution, Figure, Worksheet, weakest
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
    """What stands in for it then."""
    origin: str
    """Where that comes from; empty where it needs no saying."""
    note: str = ""
    """What it comes to, beside it."""


ORDER = Place("layout", None, "order")


class BandRow(msgspec.Struct, frozen=True):
    """One band of the layout."""

    index: int
    band: PlannedBand
    waits: bool
    """Whether no colour has that name yet."""

    @property
    def place(self) -> Place:
        """The key that all bands are written in."""
        return ORDER

    @property
    def field(self) -> Field:
        """Its size, as it is asked for."""
        shares = self.band.rows is None
        return Field(
            key=ORDER.key,
            label=self.band.colour or BARE,
            kind="band",
            example="30 %" if shares else "14",
            tells="Per cent of the piece under this band." if shares else "Rows of this band.",
        )

    @property
    def value(self) -> str:
        """The size as it is typed."""
        return f"{self.band.size:g}{' %' if self.band.rows is None else ''}"


Row = FieldRow | BandRow


def rows_of_section(draft: PlanDraft, section: FieldSection) -> list[Row]:
    """All rows, in the order of the screen; each colour's fields below its name, the bands below their order."""
    if section.table == "colour":
        return [
            _field_row(draft, section, f, n) for n in range(len(draft.colour_names())) for f in section.fields
        ]
    rows: list[Row] = []
    for field in section.fields:
        rows.append(_field_row(draft, section, field, None))
        if field.kind == "layout" and (layout := draft.layout()) is not None:
            waiting = draft.awaited()
            rows.extend(BandRow(n, band, band.colour in waiting) for n, band in enumerate(layout.order))
    return rows


def _field_row(draft: PlanDraft, section: FieldSection, field: Field, number: int | None) -> FieldRow:
    place = Place(section.table, number, field.key)
    value = draft.shown(place)
    name = draft.colour_names()[number] if number is not None else ""
    instead, origin = stand_in(field, draft.settled, draft.worksheet, slug(name) if name else "")
    return FieldRow(place, field, value, instead, origin, _note(draft, place, slug(name)) if name else "")


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


# The table of colours and the job as text.


class TableLine(msgspec.Struct, frozen=True):
    """One line of the table of colours, its cells by the heads of their columns."""

    number: int
    name: str
    part: bool
    cells: dict[str, str]


def colour_table(draft: PlanDraft, *, wide: bool) -> tuple[tuple[str, ...], list[TableLine]]:
    """Heads of the columns that say anything, and the lines."""
    settled, sheet = draft.settled, draft.worksheet
    if settled is None or sheet is None:
        return (), []
    lines = [
        TableLine(line.number, line.name, line.part, _cells(line))
        for line in summary.colour_lines(settled, sheet, draft.colour_names())
    ]
    heads = summary.heads(settled, wide=wide)
    return tuple(head for head in heads if any(line.cells.get(head) for line in lines)), lines


def _cells(line: summary.ColourLine) -> dict[str, str]:
    cells = {head: _counted(figure) for head, figure in line.cells.items()}
    if line.depth:
        cells[summary.DEPTH] = line.depth
    if line.shared:
        cells[summary.MAKE_UP] = "shared"
    if line.share is not None:
        cells[summary.COVERS] = percent(line.share)
    return cells


def _counted(figure: Figure) -> str:
    """Of the figures of a jar only drops have no unit."""
    return f"{value_words(figure)} drops" if figure.unit == "1" else value_words(figure)


def _note(draft: PlanDraft, place: Place, colour: str) -> str:
    """What a field of a colour comes to; nothing of one that is wrong."""
    settled, sheet = draft.settled, draft.worksheet
    if settled is None or sheet is None or (draft.trouble is not None and draft.trouble.place == place):
        return ""
    of = next((one for one in settled.colours if one.plan.slug == colour), None)
    if place.key == "dye" and of is not None and len(of.stocks) == 1:
        dye, there = of.stocks[0].dye, on_hand(settled, of.stocks[0].dye)
        ci = dye.row.ci if dye.row is not None and dye.row.ci != draft.value(place) else ""
        return ", ".join(filter(None, (ci, f"{told(there.value, there.unit)} on the shelf" if there else "")))
    return ", ".join(_worded(words) for words in summary.notes(sheet, place.key, colour))


def _worded(words: summary.Words) -> str:
    text, figures = words
    return text.format(*(value_words(f) if f.unit == "min" else figure_told(f, f.value) for f in figures))


def job(draft: PlanDraft, *, tall: bool) -> list[tuple[str, str, str]]:
    """Stage or cost, what it comes to and the weakest origin of that, of the last plan that could be worked out."""
    if draft.settled is None or draft.worksheet is None:
        return []
    return [
        (
            line.name,
            ", ".join(_worded(words) for words in line.said),
            weakest(*(figure.origin for _, figures in line.said for figure in figures)),
        )
        for line in summary.job(draft.settled, draft.worksheet, tall=tall)
    ]
