"""A journal as the keeper of a running session: what fails is retried, then goes on in a new file."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from studio.plaintext import without_home
from studio.session.asked import Refused
from studio.session.clock import Reading
from studio.session.events import Event, Recorded, data_of
from studio.store.disk import CannotSave, SaveFailed, SessionClosed, Unstorable
from studio.store.journal import Journal


class JournalKeeper:
    """Hands events to a journal and tells, in the session's own terms, which are not on disk."""

    def __init__(self, journal: Journal, folders: Sequence[Path]) -> None:
        """`folders`: the sessions of the studio, then those where a session goes on when that takes nothing."""
        self.journal = journal
        self.trouble = ""
        """What stood in the way of the last save; empty where nothing did."""
        self._folders = tuple(folders)
        self._first = journal.path

    @property
    def name(self) -> str:
        """Name of the file that is written now."""
        return self.journal.path.name

    @property
    def moved(self) -> str:
        """Where the session goes on when it had to leave its file or the studio folder; else empty."""
        path = self.journal.path
        if path.parent in self._folders[1:]:
            return f"The studio folder took nothing: this session is kept in {without_home(str(path))}."
        if path != self._first:
            return f"This session goes on in {path.name}, because {self._first.name} could not be written."
        return ""

    @property
    def events(self) -> Sequence[Recorded]:
        """Every event on disk; after a rescue with one more, that says so."""
        return self.journal.records

    @property
    def waiting(self) -> Sequence[Recorded]:
        """The events that wait in memory, in order."""
        return self.journal.waiting if self.journal.unsaved else ()

    def check(self, event: Event, reading: Reading) -> None:
        """Refused where such an event cannot be written as a line, or may not follow any more."""
        try:
            self.journal.check(event.kind, data_of(event), reading)
        except (Unstorable, SessionClosed) as problem:
            raise Refused(f"Not taken. {problem}") from problem

    def append(self, event: Event, reading: Reading) -> Recorded:
        """The event as it stands on disk, or as it will once it is there."""
        try:
            entry = self.journal.append(event.kind, data_of(event), reading)
        except SaveFailed as failure:
            # A file that is trusted no more only says that it failed before; the reason is the first one.
            self.trouble = (self.trouble if not failure.trusted else "") or failure.reason
            return self.journal.waiting[-1]
        self.trouble = self.journal.trouble
        return entry

    def retry(self, reading: Reading, *, elsewhere: bool) -> None:
        """Save what waits: in the same file while it can be trusted, else or if need be in a new one."""
        try:
            if not self.journal.trusted or not self._in_the_same_file(reading, elsewhere):
                self.journal.rescue(reading, folders=self._folders)
            self.trouble = self.journal.trouble
        except SaveFailed as failure:
            self.trouble = failure.reason

    def _in_the_same_file(self, reading: Reading, elsewhere: bool) -> bool:
        """Whether that went well; SaveFailed where it did not and no other file may be tried."""
        try:
            self.journal.retry(reading)
        except CannotSave:
            if not elsewhere:
                raise
            return False
        return True

    def last_resort(self) -> str:
        """What waits, as lines, for the end of the program when nothing else took it."""
        return self.journal.unsaved_lines().decode("ascii") if self.journal.unsaved else ""

    def close(self) -> None:
        """Let go of the file and its lock."""
        self.journal.close()
