"""Sessions as lists show them, and where a file is that is not in the studio folder."""

from __future__ import annotations

from pathlib import Path

from studio.plaintext import clean, without_home
from studio.screens.needs import SessionCard
from studio.store.logbook_entry import LogbookRow


def told_elsewhere(path: Path) -> str:
    """What to do about a session that had to go on outside the studio folder."""
    name, place = clean(path.name), without_home(clean(str(path.parent)))
    return (
        f"{name} is kept in {place}: the studio folder took nothing. Make room, then move it into sessions/."
    )


def session_card(row: LogbookRow, elsewhere: Path | None) -> SessionCard:
    """A session as lists show it; `elsewhere`: the folder the file is in, where that is none of the studio's own."""
    place = f", kept in {without_home(str(elsewhere))}" if elsewhere else ""
    return SessionCard(
        row.key,
        row.title,
        row.opened_ns,
        row.utc_offset_min,
        row.standing,
        f"{row.about}{place}",
        row.rehearsal,
    )
