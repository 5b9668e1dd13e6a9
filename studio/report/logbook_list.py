"""The list of a studio's sessions, printed or as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from studio.plaintext import clean
from studio.report.printing import Row, Section, console, day_and_time, document, picked, print_wide, row
from studio.report.session_page import STANDING_ROLE
from studio.session.clock import utc_text

if TYPE_CHECKING:
    from studio.logbook.entry import LogbookRow


def listed_row(card: LogbookRow, width: int) -> Row:
    """One session on one line."""
    standing = "rehearsal" if card.rehearsal and card.standing == "finished" else card.standing
    room = max(12, min(34, width - 46))
    return row(
        (f"{day_and_time(card.opened_ns, card.utc_offset_min)}  ", "quiet"),
        (f"{standing:<10} ", STANDING_ROLE.get(card.standing, "quiet")),
        (f"{clean(card.title, limit=room):<{room}} ", "plain"),
        (clean(card.about, limit=max(8, width - room - 30)), "quiet"),
    )


def print_logbook(cards: Sequence[LogbookRow]) -> None:
    """One line for each session, newest first; a sentence where there is none."""
    if cards:
        print_wide(lambda width: [Section("", tuple(listed_row(card, width) for card in cards))])
    else:
        console().print("No session yet. Try: potside rehearse")


def logbook_json(cards: Sequence[LogbookRow]) -> str:
    """The list as one JSON document."""
    sessions = [
        {
            "session": c.key,
            "opened": utc_text(c.opened_ns),
            **picked(c, "title", "standing", "about", "rehearsal"),
        }
        for c in cards
    ]
    return document("potside-logbook/1", {"sessions": sessions})
