"""The rows of one section of a plan: its fields, and in the layout its bands."""

from __future__ import annotations

import msgspec

from studio.plaintext import slug
from studio.plan.draft.draft import PlanDraft
from studio.plan.draft.edits import Place
from studio.plan.draft.field_text import stand_in
from studio.plan.fields import Field, FieldSection, field_of
from studio.plan.shapes import Caution, Figure, Worksheet


class FieldRow(msgspec.Struct, frozen=True):
    """One key."""

    place: Place
    field: Field
    value: str
    """As it is typed; empty where it was left out."""
    instead: str
    """What stands in for it then, with where that comes from."""


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
    return FieldRow(place, field, value, instead)


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
