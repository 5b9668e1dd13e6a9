"""What differs between sessions, as sections of text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import msgspec

from studio.plaintext import clean
from studio.quantity.showing import show
from studio.report.costs import off_by
from studio.report.printing import Row, Section, Span, printable_json, row
from studio.report.session_page import day_and_time
from studio.session.after.comparing import Difference, Part
from studio.session.clock import utc_text
from studio.session.state import State

FORMAT = "potside-compare/1"
LETTERS = "ABCD"
VALUE, OFF = 8, 8
"""Cells for a number, and for its difference."""

NAMES: dict[Part, str] = {
    "plan": "the plan",
    "measured": "measured",
    "stage": "stages",
    "timer": "clocks, as they ran",
    "bench": "at the bench",
    "rating": "ratings",
    "override": "left out or passed with a reason",
    "caution": "warnings taken on",
    "asked": "asked for at the bench",
    "planned": "planned figures",
}


@dataclass(frozen=True, slots=True)
class NamedSession:
    """A session with the name of its file."""

    name: str
    state: State


def compare_sections(
    sessions: Sequence[NamedSession], differences: Sequence[Difference], width: int
) -> tuple[Section, ...]:
    """The sessions by letter, then each part that differs, for lines of `width` cells (at least 40)."""
    sections = [_heads(sessions, width)]
    for part, name in NAMES.items():
        own = [d for d in differences if d.part == part]
        if not own:
            continue
        told: list[Row] = [] if part in ("plan", "override", "caution") else [_letters(len(sessions), width)]
        for difference in own:
            told.extend(_rows(difference, width))
        sections.append(Section(name, tuple(told)))
    if not differences:
        sections.append(Section("", (row(("Nothing differs.", "strong")),)))
    return tuple(sections)


def _heads(sessions: Sequence[NamedSession], width: int) -> Section:
    rows = []
    for letter, session in zip(LETTERS, sessions, strict=False):
        state = session.state
        when = day_and_time(state.opened.wall_ns, state.utc_offset_min)
        outcome = "rehearsal" if state.rehearsal_speed else state.outcome or "open"
        title = clean(state.title, limit=max(12, width - 36))
        rows.append(row((f"{letter}  ", "focus"), (f"{when}  {outcome:<10} ", "quiet"), (title, "strong")))
    rows.append(row(("differences are against A", "quiet")))
    return Section("", tuple(rows))


def _letters(count: int, width: int) -> Row:
    label = _label_room(count, width)
    heads = "".join(f"{letter:>{VALUE}}{'':{OFF}}" for letter in LETTERS[1:count])
    return row((f"{'':{label}}{'A':>{VALUE}}{heads}".rstrip(), "quiet"))


def _label_room(count: int, width: int) -> int:
    return max(14, min(48, width - 2 - VALUE - (count - 1) * (VALUE + OFF)))


def _rows(difference: Difference, width: int) -> list[Row]:
    if any(difference.words):
        return _worded(difference, width)
    room = _label_room(len(difference.values), width)
    unit = "" if difference.unit in ("", "1") else f", {clean(difference.unit, limit=8)}"
    label = clean(difference.label, limit=max(20, width - len(unit) - 1)) + unit
    above: list[Row] = []
    if len(label) >= room:
        # Cut short, `Paint for rust` and `Paint for kelp` would be one: the label has a line of its own.
        above, label = [row((label, "plain"))], ""
    spans: list[Span] = [
        (f"{label:<{room}}", "plain"),
        (f"{number(difference.values[0]):>{VALUE}}", "strong"),
    ]
    for value in difference.values[1:]:
        off = off_by(value, difference.values[0], difference.unit)
        spans.append((f"{number(value):>{VALUE}}", "strong"))
        spans.append((f"{off:>{OFF}}", "quiet"))
    while not spans[-1][0].strip():
        spans.pop()
    return [*above, tuple(spans)]


def _worded(difference: Difference, width: int) -> list[Row]:
    """Sessions that say the same share a line."""
    rows = [row((clean(difference.label, limit=max(20, width - 2)), "plain"))]
    alike: dict[str, list[str]] = {}
    for letter, words in zip(LETTERS, difference.words, strict=False):
        alike.setdefault(words, []).append(letter)
    room = 2 * len(difference.words) - 1
    for words, letters in alike.items():
        told = clean(words, limit=max(20, width - room - 4)) if words else "-"
        rows.append(row((f"  {' '.join(letters):<{room}}  ", "focus"), (told, "quiet")))
    return rows


def number(value: float | None) -> str:
    """To three digits; a dash where there is none."""
    if value is None:
        return "-"
    return show(value, "1") if abs(value) < 1e6 else f"{value:.1e}"


def compare_json(sessions: Sequence[NamedSession], differences: Sequence[Difference]) -> str:
    """The contract `potside-compare/1`, keys sorted, indented by two."""
    document = {
        "format": FORMAT,
        "sessions": [
            {
                "letter": letter,
                "session": s.name,
                "title": s.state.title,
                "opened": utc_text(s.state.opened.wall_ns),
                "outcome": s.state.outcome or "open",
                "rehearsal_speed": s.state.rehearsal_speed,
            }
            for letter, s in zip(LETTERS, sessions, strict=False)
        ],
        "rows": [
            {
                "part": d.part,
                "id": d.id,
                "label": d.label,
                "unit": d.unit,
                "values": d.values,
                "words": d.words if any(d.words) else None,
                "differences": d.by,
                "differences_percent": d.by_percent,
            }
            for d in differences
        ],
    }
    return printable_json(msgspec.json.encode(document, order="sorted"))
