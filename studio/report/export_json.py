"""One session as one JSON document: what was planned, every event, and what follows from them."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import msgspec

from studio.plaintext import clean
from studio.plan.shapes import Figure
from studio.report.costs import cost_data
from studio.report.printing import Section, printable_json
from studio.report.worksheet import sections, value_words
from studio.session.after import review
from studio.session.clock import utc_text
from studio.session.events import Recorded
from studio.session.state import State

# What an export is made from: one session as it was read, and where it was read from.

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
    events: Sequence[Recorded]
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


SESSION_FORMAT = "potside-show/1"


def session_json(state: State, name: str, events: Sequence[Recorded], remarks: Sequence[str]) -> str:
    """The document, keys sorted, indented by two."""
    document: dict[str, Any] = {
        "format": SESSION_FORMAT,
        "file": name,
        "title": state.title,
        "outcome": state.outcome or "open",
        "why": state.outcome_why,
        "opened": utc_text(state.opened.wall_ns),
        "last": utc_text(state.last.wall_ns),
        "rehearsal_speed": state.rehearsal_speed,
        "remarks": list(remarks),
        "plan": state.plan_text,
        "worksheet": msgspec.to_builtins(state.worksheet),
        "ratings": review.ratings(state),
        "stages": [
            {
                "stage": t.stage,
                "first": utc_text(t.first_ns),
                "last": utc_text(t.last_ns),
                "minutes": t.minutes,
            }
            for t in review.stage_times(state)
        ],
        "values": [
            {
                "step": row.step.id,
                "planned": row.planned,
                "asked": row.asked,
                "actual": row.actual,
                "unit": row.step.unit,
                "typed": row.record.typed,
                "difference_percent": row.difference_percent,
                "marked": row.record.flagged,
                "earlier": [
                    {"was": o.what, "why": o.why, "at": utc_text(o.at_ns)} for o in row.record.earlier
                ],
            }
            for row in review.planned_and_actual(state)
        ],
        "follow_ups": follow_ups_document(state),
        "cost": cost_data(state),
        "events": [{"n": ev.n, "kind": ev.kind, "at": ev.at, "data": ev.data} for ev in events if ev.n > 1],
    }
    encoded = msgspec.json.encode(document, order="sorted")
    return printable_json(encoded)


def follow_ups_document(state: State) -> list[dict[str, Any]]:
    """Every fastness test with all its grades, oldest first."""
    return [
        {
            "number": f.number,
            "test": f.test,
            "standing": f.standing,
            "due": f.due,
            "moved_from": list(f.moved_from),
            "how": f.how,
            "note": f.note,
            "cancelled": f.cancelled,
            "grades": [
                {
                    "at": utc_text(g.at_ns),
                    "change": g.change,
                    "staining": g.staining,
                    "note": g.note,
                    "why": g.why,
                }
                for g in f.grades
            ],
        }
        for f in state.follow_ups
    ]


# One session as one JSON document that can be read back: every event, and what follows from them.

FORMAT = "potside-export/1"


def export_json(source: Source) -> str:
    """The document of `potside show --json` with all events, the first too, and `source`; ASCII, keys sorted."""
    shown = session_json(source.state, source.name, source.events, source.remarks)
    document: dict[str, Any] = msgspec.json.decode(shown)
    document["format"] = FORMAT
    document["source"] = {"file": source.name, "sha256": source.sha256, "program": source.program}
    document["events"] = [
        {"n": e.n, "kind": e.kind, "at": e.at, "boot_ns": e.boot_ns, "boot": e.boot, "data": e.data}
        for e in source.events
    ]
    return json.dumps(document, indent=2, sort_keys=True, ensure_ascii=True, allow_nan=False) + "\n"
