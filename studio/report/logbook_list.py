"""The sessions of a studio, and the fastness tests that wait, printed or as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Protocol

import msgspec

from studio.plaintext import clean
from studio.report.export_json import follow_ups_document
from studio.report.follow_up_rows import follow_up_section
from studio.report.printing import Role, Row, Section, console, print_sections, printable_json, row
from studio.report.session_page import STANDING_ROLE, day_and_time
from studio.session.clock import utc_text
from studio.session.follow_up_rules import SOON_DAYS, WaitingTest, days_until, when_words
from studio.session.state import State

# The list of sessions, printed or as JSON.


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


# The fastness tests that wait, printed or as JSON: over a whole studio, or of one session.

FORMAT = "potside-follow/1"


def due_role(due: str, today: date) -> Role:
    """Overdue or due today: `due`; within a week: `plain`; later: `quiet`."""
    days = days_until(due, today)
    return "due" if days <= 0 else "plain" if days <= SOON_DAYS else "quiet"


def waiting_row(waiting: WaitingTest, today: date, width: int) -> Row:
    """One test on one line."""
    room = max(12, min(34, width - 40))
    return row(
        (f"{clean(waiting.due, limit=10):<10}  ", "quiet"),
        (f"{when_words(waiting.due, today):<18}", due_role(waiting.due, today)),
        (f"{clean(waiting.test, limit=8):<9}", "plain"),
        (clean(waiting.title, limit=room), "plain"),
    )


def print_waiting(waiting: Sequence[WaitingTest], today: date) -> None:
    """One line for each test, the longest overdue first; a sentence where none waits."""
    out = console()
    if not waiting:
        out.print("No fastness test is waiting. potside follow SESSION --plan wash plans one.")
        return
    rows = [line for one in waiting for line in _with_session(one, today, min(out.width, 110))]
    print_sections((Section("", tuple(rows)),), out)


def _with_session(waiting: WaitingTest, today: date, width: int) -> tuple[Row, Row]:
    return waiting_row(waiting, today, width), row(
        (f"{'':12}{clean(waiting.key, limit=width - 12)}", "quiet")
    )


def waiting_json(waiting: Sequence[WaitingTest], today: date) -> str:
    """The list as one JSON document; days are below 0 where a test is overdue."""
    tests = [
        {
            "session": one.key,
            "title": one.title,
            "test": one.test,
            "due": one.due,
            "days": days_until(one.due, today),
        }
        for one in waiting
    ]
    return _document({"today": today.isoformat(), "waiting": tests})


def print_follow_ups(state: State, name: str) -> None:
    """The tests of one session, with how each is done."""
    out = console()
    when = day_and_time(state.opened.wall_ns, state.utc_offset_min)
    head = row((clean(state.title, limit=70), "strong"), (f"   {when}   {clean(name, limit=70)}", "quiet"))
    told = follow_up_section(state)
    none = Section("", (row(("No fastness test is planned; --plan wash plans one.", "plain")),))
    print_sections((Section("", (head,)), told if told.rows else none), out)


def follow_ups_json(state: State, name: str) -> str:
    """The same as one JSON document."""
    return _document({"session": name, "title": state.title, "follow_ups": follow_ups_document(state)})


def _document(told: dict[str, object]) -> str:
    encoded = msgspec.json.encode({"format": FORMAT, **told}, order="sorted")
    return printable_json(encoded)
