"""How a worksheet is cut into sections, and how a figure's value is written."""

from __future__ import annotations

import msgspec

from studio.plan.shapes import Figure, Worksheet
from studio.quantity import money_text, show

SECTIONS = (
    ("fibre", ("fibre.",)),
    ("presoak", ("presoak.",)),
    ("stocks", ("stock.",)),
    ("paint", ("paint.",)),
    ("set", ("set.",)),
    ("kettle", ("kettle.",)),
    ("microwave", ("microwave.",)),
    ("cool and rinse", ("cool.", "rinse.")),
    ("cost", ("cost.", "price.")),
)


class WorksheetSection(msgspec.Struct, frozen=True):
    name: str
    figures: tuple[Figure, ...]


def sections(worksheet: Worksheet) -> tuple[WorksheetSection, ...]:
    """The figures in order of work; a section without figures is left out, a figure of no section comes last."""
    cut = [
        WorksheetSection(name, tuple(f for f in worksheet.figures if f.id.startswith(ids)))
        for name, ids in SECTIONS
    ]
    known = {f.id for section in cut for f in section.figures}
    cut.append(WorksheetSection("more", tuple(f for f in worksheet.figures if f.id not in known)))
    return tuple(section for section in cut if section.figures)


def value_words(figure: Figure) -> str:
    """Value with unit, and the ends of the range where it is one of a range.

    >>> value_words(Figure(id="set.hold", value=49.0, unit="min", label="", because="", origin="house rule",
    ...                    low=34.0, high=49.0))
    '49 min (34 at the earliest)'
    """
    if figure.currency or figure.id.startswith("cost."):
        return money_text(figure.value, figure.currency)
    value = show(figure.value, figure.unit)
    if figure.low is None or figure.high is None or not figure.high > figure.low:
        return value
    low, high = (show(end, figure.unit).removesuffix(f" {figure.unit}") for end in (figure.low, figure.high))
    if figure.value == figure.high and figure.unit == "min":
        return f"{value} ({low} at the earliest)"
    if figure.id == "presoak.acid":
        return f"{value} ({low} to {high})"
    return f"{low} to {high} {figure.unit}"
