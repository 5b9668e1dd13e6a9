"""Text with roles, drawn alike by the printer and by the screen.

A role says what the words are, not how they look: `strong`, `plain`, `quiet`, `done`, `due`, `danger`
or `focus`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Role = Literal["strong", "plain", "quiet", "done", "due", "danger", "focus"]
Span = tuple[str, Role]
Row = tuple[Span, ...]


@dataclass(frozen=True, slots=True)
class Section:
    """Rows under a name; the name may be empty."""

    name: str
    rows: tuple[Row, ...]


def row(*spans: Span) -> Row:
    """Spans of one line."""
    return spans
