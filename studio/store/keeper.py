"""A journal as the keeper of a running session: what fails is retried, then rescued to a new file."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from studio.session.clock import Clock, Reading
from studio.session.events import Event
from studio.session.run import NotSaved
from studio.store.errors import CannotSave, SaveFailed
from studio.store.journal import Journal


class JournalKeeper:
    """Hands events to a journal and tells, in the session's own terms, when one is not on disk."""

    def __init__(self, journal: Journal, clock: Clock) -> None:
        self.journal = journal
        self._clock = clock

    @property
    def name(self) -> str:
        """Name of the file that is written now."""
        return self.journal.path.name

    def append(self, kind: str, data: dict[str, Any], reading: Reading) -> Event:
        """The event as it stands on disk; NotSaved where it waits in memory."""
        try:
            return self.journal.append(kind, data, reading)
        except SaveFailed as failure:
            raise NotSaved(str(failure), self.journal.waiting) from failure

    def retry(self) -> Sequence[Event]:
        """Save what waits: in the same file while it can be trusted, else in a new one beside it."""
        try:
            if self.journal.trusted:
                saved = self.journal.retry()
            else:
                saved = self.journal.rescue(self._clock.now())
        except CannotSave as failure:
            raise NotSaved(str(failure), self.journal.waiting) from failure
        return saved

    @property
    def events(self) -> Sequence[Event]:
        """Every event on disk; after a rescue with one more, that says so."""
        return self.journal.records

    def last_resort(self) -> str:
        """What waits, as lines, for the end of the program when nothing else took it."""
        return self.journal.unsaved_lines().decode("ascii") if self.journal.unsaved else ""

    def close(self) -> None:
        """Let go of the file and its lock."""
        self.journal.close()
