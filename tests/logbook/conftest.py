"""What the index is held against: the files themselves, read whole."""

from __future__ import annotations

import pytest

from studio.logbook.entry import About, LogbookEntry, Wanted, entry_of, phrase, phrases
from studio.logbook.index import Told
from studio.store.folder import StudioFolder


class PlainLogbook:
    """Answers like `Index`, from entries read into memory: slow, and needs no database at all."""

    def __init__(self, folder: StudioFolder, about: About) -> None:
        self.folder = folder
        self.about = about
        self._kept: dict[str, LogbookEntry] = {}

    def refresh(self) -> None:
        self._kept = {p.name: entry_of(p, self.about) for p in self.folder.session_paths()}

    def search(self, wanted: Wanted, limit: int | None = 500) -> Told:
        """Rows, newest first, at most `limit`, and how many there are in all."""
        older = self._older()
        kept = [entry for entry in self._kept.values() if entry.row.key not in older]
        entries = [entry for entry in kept if meets(entry, wanted)]
        entries.sort(key=lambda entry: entry.row.key, reverse=True)
        return [entry.row for entry in entries[:limit]], len(entries)

    def _older(self) -> set[str]:
        """Files that are no more than a part of another; a session is listed once."""
        entries = list(self._kept.values())
        parts = {part for entry in entries for part in entry.parts}
        return {entry.row.key for entry in entries if (entry.row.key, entry.last) in parts}


def meets(entry: LogbookEntry, wanted: Wanted) -> bool:
    """Whether an entry meets a search, worked out without any index."""
    row = entry.row
    kept = entry.words.split(" ")
    lowest = entry.least_rating
    return (
        not wanted.hopeless
        and all(any(word.startswith(begun) for word in kept) for begun in wanted.words)
        and phrase(wanted.dye) in phrases(row.dyes)
        and phrase(wanted.base) in phrases(row.base.split(", "))
        and phrase(wanted.method) in phrase(row.method)
        and (wanted.least_rating is None or (lowest is not None and lowest >= wanted.least_rating))
        and (wanted.since is None or entry.day >= wanted.since.isoformat())
        and (wanted.until is None or entry.day <= wanted.until.isoformat())
        and (not wanted.unfinished or row.standing == "open")
        and (not wanted.waiting or entry.due is not None)
    )


@pytest.fixture(scope="session")
def plain_logbook() -> type[PlainLogbook]:
    return PlainLogbook
