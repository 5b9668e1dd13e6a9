"""Which key of a plan decides which figure, for the colours and stocks of one plan: the table is `fields`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import msgspec

from studio.plan.fields import WEIGHT, Field, FieldSection, sections_for
from studio.plan.settled import Settled, SettledColour
from studio.plan.shapes import Worksheet
from studio.plan.ways import method_of

_Place = tuple[int | None, int | None, SettledColour | None]
"""Number of a colour, of a part of it, and the colour."""


class DecidedKey(msgspec.Struct, frozen=True, kw_only=True):
    """A key of a plan with the figure it decides."""

    field: Field
    table: str
    number: int | None
    """Of a [[colour]], from 0."""
    part: int | None
    """Of the stocks of a mixed colour, from 0."""
    colour: SettledColour | None
    path: str
    goes_with: str
    """The figure it is in proportion to; empty where it stands whatever the weight."""

    def value(self, sheet: Worksheet) -> float | None:
        """The figure, or what it is for each of the one it goes with; None where the sheet has none."""
        figure, whole = sheet.figure(self.path), sheet.figure(self.goes_with)
        if figure is None or not self.goes_with:
            return None if figure is None else figure.value
        return figure.value / whole.value if whole is not None and whole.value > 0 else None


def decided(settled: Settled, sheet: Worksheet) -> Iterator[DecidedKey]:
    """Every key that decides a figure of the sheet, but for the dry weight, in the order they are worked out."""
    for section in sections_for(settled.plan.method):
        fields = sorted((f for f in section.fields if f.decides), key=lambda field: field.worked_last)
        places = _of_colours(settled) if section.table == "colour" else [(None, None, None)]
        for place in places:
            rows = (
                _row(section, field, sheet, *place) for field in fields if _fits(settled, field, place[1:])
            )
            yield from (row for row in rows if row.path != WEIGHT and row.value(sheet) is not None)


def _of_colours(settled: Settled) -> list[_Place]:
    """Each colour, and each stock of one that is mixed."""
    found: list[_Place] = []
    for number, colour in enumerate(settled.colours):
        parts = range(len(colour.stocks)) if len(colour.stocks) > 1 else ()
        found.extend((number, part, colour) for part in (*parts, None))
    return found


def _fits(settled: Settled, field: Field, place: tuple[int | None, SettledColour | None]) -> bool:
    """A mixed colour has its stocks part by part, and everything else once.

    The liquid of a drop recipe is what whole drops make, unless it was written; that of a bath is told of drops only.
    """
    part, colour = place
    if colour is not None and len(colour.stocks) > 1 and (field.key == "stock") != (part is not None):
        return False
    if field.key == "depth" and colour is not None:
        return colour.plan.drops is None
    if field.key != "liquid" or colour is None:
        return True
    counted, in_bath = colour.plan.drops is not None, not method_of(settled).put_on.has_bands
    return counted == in_bath or (counted and colour.plan.liquid is not None)


def _row(
    section: FieldSection,
    field: Field,
    sheet: Worksheet,
    number: int | None,
    part: int | None,
    colour: SettledColour | None,
) -> DecidedKey:
    names = {"{colour}": colour.plan.slug, "{stock}": colour.stocks[part or 0].slug} if colour else {}
    pairs = [(_named(path, names), _named(goes_with, names)) for path, goes_with in field.decides]
    path, goes_with = next((p for p in pairs if sheet.figure(p[0]) is not None), pairs[0])
    return DecidedKey(
        field=field,
        table=section.table,
        number=number,
        part=part,
        colour=colour,
        path=path,
        goes_with=goes_with,
    )


def _named(figure_id: str, names: Mapping[str, str]) -> str:
    for told, slug in names.items():
        figure_id = figure_id.replace(told, slug)
    return figure_id
