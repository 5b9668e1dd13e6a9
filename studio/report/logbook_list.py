"""The list of sessions, printed or as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

import msgspec

from studio.plaintext import clean
from studio.report.json_text import printable_json
from studio.report.printing import console, print_sections
from studio.report.session_page import STANDING_ROLE, day_and_time
from studio.report.spans import Row, Section, row
from studio.session.clock import utc_text


class Listed(Protocol):
    """What the list needs to know of a session."""

    @property
    def key(self) -> str: ...
    @property
    def title(self) -> str: ...
    @property
    def opened_ns(self) -> int: ...
    @property
    def utc_offset_min(self) -> int: ...
    @property
    def standing(self) -> str: ...
    @property
    def about(self) -> str: ...
    @property
    def rehearsal(self) -> bool: ...


def listed_row(card: Listed, width: int) -> Row:
    """One session on one line."""
    standing = "rehearsal" if card.rehearsal and card.standing == "finished" else card.standing
    room = max(12, min(34, width - 46))
    return row(
        (f"{day_and_time(card.opened_ns, card.utc_offset_min)}  ", "quiet"),
        (f"{standing:<10} ", STANDING_ROLE.get(card.standing, "quiet")),
        (f"{clean(card.title, limit=room):<{room}} ", "plain"),
        (clean(card.about, limit=max(8, width - room - 30)), "quiet"),
    )


def print_logbook(cards: Sequence[Listed]) -> None:
    """One line for each session, newest first; a sentence where there is none."""
    out = console()
    if not cards:
        out.print("No session yet. Try: potside rehearse")
        return
    rows = tuple(listed_row(c, min(out.width, 110)) for c in cards)
    print_sections((Section("", rows),), out)


def logbook_json(cards: Sequence[Listed]) -> str:
    """The list as one JSON document."""
    sessions = [
        {
            "session": c.key,
            "title": c.title,
            "opened": utc_text(c.opened_ns),
            "standing": c.standing,
            "about": c.about,
            "rehearsal": c.rehearsal,
        }
        for c in cards
    ]
    encoded = msgspec.json.encode({"format": "potside-logbook/1", "sessions": sessions}, order="sorted")
    return printable_json(encoded)
