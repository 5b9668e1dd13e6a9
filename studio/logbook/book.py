"""The logbook of a studio folder: the index where it can be used, and plain reading of every file where
not.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import islice

from studio.logbook.entry import About, LogbookEntry, LogbookRow, Wanted, entry_of, meets
from studio.logbook.index import Index, Measurements, Told
from studio.session.follow_up_rules import WaitingTest
from studio.store.disk import CannotRead
from studio.store.folder import (
    Progress,
    RefreshCounts,
    Stamp,
    Stop,
    StudioFolder,
    never,
    stamps,
    to_read,
    unheard,
)


class PlainLogbook:
    """Answers like `Index`, from entries read into memory: slow, and needs no database at all."""

    def __init__(self, folder: StudioFolder, about: About) -> None:
        self.folder = folder
        self.about = about
        self._kept: dict[str, tuple[Stamp, LogbookEntry]] = {}

    def refresh(self, progress: Progress = unheard, stop: Stop = never) -> RefreshCounts:
        """Read what is new or changed; CannotRead where the folder cannot be listed."""
        found = stamps(self.folder)
        gone = self._kept.keys() - found.keys()
        for key in gone:
            del self._kept[key]
        waiting = to_read(found, {key: stamp for key, (stamp, _) in self._kept.items()})
        done = 0
        for key in waiting:
            if stop():
                break
            progress(done, len(waiting))
            entry = entry_of(self.folder.session_file(key), self.about)
            self._kept[key] = (found[key] if entry.lasting else (-1, -1), entry)
            done += 1
        return RefreshCounts(len(found), done, len(gone), len(waiting) - done)

    def search(self, wanted: Wanted, limit: int | None = 500) -> Told:
        """Rows, newest first, at most `limit`, and how many there are in all."""
        older = self._older()
        kept = [entry for _, entry in list(self._kept.values()) if entry.row.key not in older]
        entries = [entry for entry in kept if meets(entry, wanted)]
        entries.sort(key=lambda entry: entry.row.key, reverse=True)
        return [entry.row for entry in entries[:limit]], len(entries)

    def observed(self, habits: Iterable[str], newest: int) -> Measurements:
        """The newest measurements of each habit."""
        older = self._older()
        kept = [item for item in sorted(self._kept.items(), reverse=True) if item[0] not in older]
        found: Measurements = {}
        for habit in habits:
            told = ((key, v) for key, (_, entry) in kept for name, v in entry.observed if name == habit)
            found[habit] = list(islice(told, newest))
        return found

    def _older(self) -> set[str]:
        """Files that are no more than a part of another; a session is listed once."""
        entries = [entry for _, entry in list(self._kept.values())]
        parts = {part for entry in entries for part in entry.parts}
        return {entry.row.key for entry in entries if (entry.row.key, entry.last) in parts}


class Logbook:
    """What the services ask. Nothing that goes wrong with the index reaches it."""

    def __init__(self, folder: StudioFolder, about: About) -> None:
        self._folder = folder
        self._about = about
        self._with: Index | PlainLogbook | None = None

    def refresh(self, progress: Progress = unheard, stop: Stop = never) -> RefreshCounts:
        """Bring it up to date; CannotRead where the sessions cannot be listed."""
        try:
            return self._ready().refresh(progress, stop)
        except CannotRead:
            raise
        except Exception:
            # Whatever it was, the files are there to be read; a fault in those comes up again below.
            return self._plainly().refresh(progress, stop)

    def search(self, wanted: Wanted, limit: int | None = 500) -> Told:
        """Rows, newest first, and how many there are in all, as of the last `refresh`."""
        try:
            return self._ready().search(wanted, limit)
        except CannotRead:
            raise
        except Exception:
            plain = self._plainly()
            plain.refresh()
            return plain.search(wanted, limit)

    def observed(self, habits: Sequence[str], newest: int) -> Measurements:
        """The newest measurements of each habit, as (session, value), as of the last `refresh`."""
        try:
            return self._ready().observed(habits, newest)
        except CannotRead:
            raise
        except Exception:
            plain = self._plainly()
            plain.refresh()
            return plain.observed(habits, newest)

    def _ready(self) -> Index | PlainLogbook:
        if self._with is None:
            self._with = Index(self._folder, self._about)
        return self._with

    def _plainly(self) -> PlainLogbook:
        if not isinstance(self._with, PlainLogbook):
            self._with = PlainLogbook(self._folder, self._about)
        return self._with


# The fastness tests that wait over a whole studio, as the logbook keeps them.


def waiting_tests(rows: Iterable[LogbookRow]) -> list[WaitingTest]:
    """Those of all sessions, the longest overdue first."""
    found = [
        WaitingTest(key=row.key, title=row.title, test=test, due=due)
        for row in rows
        for test, due in row.waiting
    ]
    return sorted(found, key=lambda one: (one.due, one.key, one.test))
