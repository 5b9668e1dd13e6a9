"""What an export is made from: one session as it was read, and where it was read from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from studio.plaintext import clean
from studio.plan.shapes import Figure
from studio.report.spans import Section
from studio.report.worksheet_rows import sections, value_words
from studio.session.events import Event
from studio.session.state import State

ALL_OF_IT = 4000
"""Cells of a text that an export shows; more than a line of a session file is written with. House rule."""
PLANNED_AND_ACTUAL = "planned and actual"
VALUE_HEADS = ("", "planned", "asked", "actual", "off by")


@dataclass(frozen=True, slots=True)
class Source:
    """A session and its provenance: file name, SHA-256 of its bytes, program that writes the export."""

    name: str
    sha256: str
    program: str
    state: State
    events: Sequence[Event]
    remarks: tuple[str, ...] = ()

    @property
    def told(self) -> str:
        """Where it comes from, in one sentence."""
        return f"From {clean(self.name)}, SHA-256 {self.sha256}, by potside {clean(self.program)}."


@dataclass(frozen=True, slots=True)
class FigureRow:
    """One figure as text that is safe to show."""

    label: str
    value: str
    because: str
    origin: str
    source: str


def figure_rows(source: Source) -> tuple[tuple[str, tuple[FigureRow, ...]], ...]:
    """The figures of the worksheet with their reasons, cut into sections by name."""
    return tuple(
        (clean(cut.name), tuple(_figure(f) for f in cut.figures)) for cut in sections(source.state.worksheet)
    )


def _figure(figure: Figure) -> FigureRow:
    return FigureRow(
        clean(figure.label, limit=ALL_OF_IT),
        _value(figure),
        clean(figure.because, limit=ALL_OF_IT),
        clean(figure.origin),
        clean(figure.source, limit=ALL_OF_IT),
    )


def _value(figure: Figure) -> str:
    try:
        return clean(value_words(figure))
    except ValueError:  # a unit of a later version
        return f"{figure.value:g} {clean(figure.unit)}"


def cells(section: Section) -> tuple[tuple[tuple[str, str], ...], ...]:
    """The rows of a section as cells of (text, role), without the blanks that align them on a screen."""
    rows = tuple(tuple((text.strip(), role) for text, role in row) for row in section.rows)
    return rows[1:] if section.name == PLANNED_AND_ACTUAL else rows
