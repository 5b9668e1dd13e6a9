"""How a worksheet is cut into sections, and how a figure's value is written."""

from __future__ import annotations

import msgspec

from studio.plan.shapes import Figure, Worksheet
from studio.quantity import money_text, show, show_number


class WorksheetSection(msgspec.Struct, frozen=True):
    name: str
    figures: tuple[Figure, ...]


def sections(worksheet: Worksheet) -> tuple[WorksheetSection, ...]:
    """The figures in order of work, cut by the part that each belongs to."""
    cut: dict[str, list[Figure]] = {}
    for figure in worksheet.figures:
        cut.setdefault(figure.part or "more", []).append(figure)
    return tuple(WorksheetSection(name, tuple(figures)) for name, figures in cut.items())


def value_words(figure: Figure) -> str:
    """Value with unit, and the ends of the range where it is one of a range.

    >>> value_words(Figure(id="set.hold", value=49.0, unit="min", label="", because="", origin="house rule",
    ...                    low=34.0, high=49.0))
    '49 min (34 at the earliest)'
    """
    if figure.currency:
        return money_text(figure.value, figure.currency)
    value = show(figure.value, figure.unit)
    if figure.low is None or figure.high is None or not figure.high > figure.low:
        return value
    low, high = (show_number(end, figure.unit) for end in (figure.low, figure.high))
    if figure.value == figure.high and figure.unit == "min":
        return f"{value} ({low} at the earliest)"
    if figure.unit in ("mL", "g") and figure.low < figure.value < figure.high:
        return f"{value} ({low} to {high})"
    return f"{low} to {high} {figure.unit}"
