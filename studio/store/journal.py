"""The one writer of a session file: what `append` returns is on the disk.

Each event is one write and one sync. Where either fails, the event waits in memory and the caller is told;
nothing is shown as done. A failed write may be tried again in the same file, because nothing was promised
about it. After a failed sync the file is never trusted again: the system may have thrown the data away and
still report success the next time (P. Rebello et al., "Can Applications Recover from fsync Failures?",
USENIX ATC 2020). Then `rescue` copies everything to a new file and goes on there.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, Self

import msgspec

from studio.plaintext import without_home
from studio.session.asked import Refused
from studio.session.clock import Reading, elapsed_since, moment_of, utc_text
from studio.session.events import Event, Recorded, data_of
from studio.session.folding import AFTER_THE_END
from studio.session.kinds.course import CONTINUED, FINISHED, OPENED, SAVED_LATE
from studio.store.disk import THIS_DISK, CannotSave, Disk, SaveFailed, SessionClosed, StoreError, Unstorable
from studio.store.files import session_stem, stem_of
from studio.store.line import FIRST_PREV, Record, sealed, sha256_of
from studio.store.tape import Tape, Untrusted, new_tape, told_of


class _Waiting(msgspec.Struct, frozen=True):
    """An event that was accepted but is not yet on the disk."""

    kind: str
    data: dict[str, Any]
    at: Reading


class Journal:
    """An open session file and the events that wait to get into it.

    Not safe for two threads at once: give it one writer thread.
    """

    def __init__(self, tape: Tape, records: Sequence[Record]) -> None:
        self._tape = tape
        self._waiting: list[_Waiting] = []
        self._failed_once = 0
        """How many of them were refused by the disk before."""
        self._late: list[_Waiting] = []
        """Of those, the ones on the disk by now, until a line tells so."""
        self.trouble = ""
        """What refused them first."""
        self.records: list[Record] = list(records)
        """Every event on the disk, by number."""
        self._closed = any(record.kind == FINISHED for record in records)

    @classmethod
    def create(
        cls,
        folder: Path,
        title: str,
        data: dict[str, Any],
        at: Reading,
        *,
        kind: str = OPENED,
        utc_offset_min: int = 0,
        disk: Disk = THIS_DISK,
    ) -> Journal:
        """A new session file whose first event and whose name are on the disk.

        CannotSave, and no file left behind, where that is not possible; Unstorable where `data` cannot
        be written. The name carries the local time by `utc_offset_min` and a plain form of the title.
        """
        line, first = _sealed(_Waiting(kind, data, at), 1, FIRST_PREV)
        try:
            tape = new_tape(folder, session_stem(title, at.wall_ns, utc_offset_min), line, disk)
        except (OSError, Untrusted) as error:
            raise CannotSave(f"Cannot begin a session in {folder}: {told_of(error)}.") from None
        return cls(tape, [first])

    @property
    def path(self) -> Path:
        """The file written now; another one after `rescue`."""
        return self._tape.path

    @property
    def trusted(self) -> bool:
        """Whether this file may still be written; after False only `rescue` helps."""
        return self._tape.trusted

    @property
    def unsaved(self) -> int:
        """Number of events that wait in memory."""
        return len(self._waiting)

    @property
    def finished(self) -> bool:
        """Whether the closing event is there or waits."""
        return self._closed or any(draft.kind == FINISHED for draft in self._waiting)

    @property
    def waiting(self) -> tuple[Record, ...]:
        """The events that wait in memory, with the numbers they will have; their check sums are not final."""
        return tuple(record for _, record in self._unsaved())

    def append(self, kind: str, data: dict[str, Any], at: Reading) -> Record:
        """The event as it now stands on the disk.

        SaveFailed where it could not be written: it then waits in memory (do not append it again) and
        `retry` or `rescue` saves it. Unstorable or SessionClosed where it was not accepted at all. A
        `session.finished` event is given the SHA-256 of all bytes before it.
        """
        draft = _Waiting(kind, data, at)
        if self._waiting or self._tape.is_torn:
            self.check(kind, data, at)
            self._waiting.append(draft)
            return self.retry(at)[-1]
        self._refuse_after_the_end(kind)
        first = self._sealed(draft, going_on=False)
        self._waiting.append(draft)
        return self._save_all(at, first)[-1]

    def check(self, kind: str, data: dict[str, Any], at: Reading) -> None:
        """Unstorable or SessionClosed where `append` would not accept the event; nothing is written."""
        self._refuse_after_the_end(kind)
        number = len(self._waiting) + self._last_number() + 1
        _sealed(_Waiting(kind, data, at), number, FIRST_PREV, sha256="0" * 64)

    def _refuse_after_the_end(self, kind: str) -> None:
        if self.finished and kind not in AFTER_THE_END:
            raise SessionClosed(f"{self.path.name} is closed; only an addendum may follow.")

    def retry(self, at: Reading) -> tuple[Record, ...]:
        """Saves what waits, in order, with a line that tells how late; the events that are now on the disk.

        SaveFailed as for `append`.
        """
        return self._save_all(at, None)

    def _save_all(self, at: Reading, first: tuple[bytes, Record] | None) -> tuple[Record, ...]:
        """Saves what waits; `first` is the first of it where it is sealed already."""
        saved: list[Record] = []
        while self._waiting:
            draft = self._waiting[0]
            try:
                record = self._save(draft, None if saved else first)
            except (OSError, Untrusted) as error:
                self._failed_once, self.trouble = len(self._waiting), self.trouble or told_of(error)
                if draft.kind == SAVED_LATE and saved:
                    break  # What it tells of is saved.
                raise self._failed(error) from None
            self._waiting.pop(0)
            if draft.kind != SAVED_LATE:
                saved.append(record)
                self._late.extend([draft] if self._failed_once else [])
            self._failed_once = max(0, self._failed_once - 1)
            if self._late and not self._waiting:
                self._waiting.append(self._told_late(at))
        if not self._waiting:
            self.trouble = ""
        return tuple(saved)

    def _told_late(self, at: Reading) -> _Waiting:
        """The line that tells how many events came late into this file, how long the first waited, and why."""
        waited_s = max(0.0, elapsed_since(moment_of(self._late[0].at), at).seconds)
        data = {"entries": len(self._late), "waited_s": round(waited_s, 3), "why": self.trouble}
        self._late = []
        return _Waiting(SAVED_LATE, data, at)

    def rescue(self, at: Reading, *, folders: Sequence[Path]) -> tuple[Record, ...]:
        """Saves what waits in a new file and goes on there; the events that are now on the disk.

        Tried in the same folder, then in `folders`. The new file begins with every byte that was on the disk, then come
        the waiting events with the numbers they were to have, then a `session.continued` event that
        names the old file. The old file is left as it is. SaveFailed where no folder takes a new file;
        everything still waits in memory then.
        """
        content, added = self._with_waiting(at)
        refusals: list[str] = []
        for folder in dict.fromkeys((self.path.parent, *folders)):
            try:
                folder.mkdir(mode=0o700, parents=True, exist_ok=True)
                fresh = new_tape(folder, stem_of(self.path.name) or self.path.stem, content, self._tape.disk)
            except (StoreError, OSError, Untrusted) as error:
                refusals.append(told_of(error).rstrip("."))
                continue
            self._tape.close()
            self._tape = fresh
            self.records.extend(added)
            self._closed = self.finished
            self._waiting.clear()
            self._late, self._failed_once, self.trouble = [], 0, ""
            return tuple(added[:-1])
        reason = f"no folder takes a new file ({'; '.join(dict.fromkeys(refusals))})"
        waits = _how_many_wait(self.unsaved)
        text = f"NOT SAVED: {reason}; {waits} in memory."
        raise SaveFailed(text, reason=reason, trusted=self.trusted)

    def _with_waiting(self, at: Reading) -> tuple[bytes, list[Record]]:
        """All that was on the disk, what waits, and the event that tells where it came from."""
        kept = self._tape.synced
        note = {
            "from": self.path.name,
            "sha256": sha256_of(kept),
            "lines_kept": len(self.records),
            "why": self._tape.lost_to or "the old file could not be written",
        }
        content = bytearray(kept)
        added: list[Record] = []
        number, prev = self._last_number(), self._last_crc()
        for draft in (*self._waiting, _Waiting(CONTINUED, note, at)):
            sha256 = sha256_of(content) if draft.kind == FINISHED else ""
            line, record = _sealed(draft, number + 1, prev, sha256=sha256)
            content += line
            added.append(record)
            number, prev = number + 1, record.crc
        return bytes(content), added

    def _save(self, draft: _Waiting, ready: tuple[bytes, Record] | None) -> Record:
        if ready is None:
            ready = self._sealed(draft, going_on=True)
            if not self._tape.goes_on(ready[0]):
                ready = self._sealed(draft, going_on=False)
        line, record = ready
        self._tape.put(line)
        self.records.append(record)
        self._closed = self._closed or record.kind == FINISHED
        return record

    def _sealed(self, draft: _Waiting, *, going_on: bool) -> tuple[bytes, Record]:
        sha256 = self._tape.sha256_before(going_on=going_on) if draft.kind == FINISHED else ""
        return _sealed(draft, self._last_number() + 1, self._last_crc(), sha256=sha256)

    def unsaved_lines(self) -> bytes:
        """The waiting events as lines, for a last resort such as the standard error output."""
        return b"".join(line for line, _ in self._unsaved())

    def _unsaved(self) -> list[tuple[bytes, Record]]:
        number, prev = self._last_number(), self._last_crc()
        found: list[tuple[bytes, Record]] = []
        for draft in self._waiting:
            number += 1
            found.append(_sealed(draft, number, prev))
            prev = found[-1][1].crc
        return found

    def close(self) -> None:
        """Lets go of the file and its lock."""
        self._tape.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _last_number(self) -> int:
        return self.records[-1].n if self.records else 0

    def _last_crc(self) -> str:
        return self.records[-1].crc if self.records else FIRST_PREV

    def _failed(self, error: OSError | Untrusted) -> SaveFailed:
        waits = _how_many_wait(self.unsaved)
        then = (
            "to be saved as soon as it can be written again"
            if self.trusted
            else "this file is not trusted any more and a new one is needed"
        )
        text = f"NOT SAVED in {self.path}: {told_of(error)}; {waits} in memory, {then}."
        return SaveFailed(text, reason=told_of(error), trusted=self.trusted)


# A journal as the keeper of a running session: what fails is retried, then goes on in a new file.


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


def _sealed(draft: _Waiting, number: int, prev: str, *, sha256: str = "") -> tuple[bytes, Record]:
    data = {**draft.data, "sha256": sha256} if draft.kind == FINISHED else draft.data
    at, now = utc_text(draft.at.wall_ns), draft.at
    record = Record(at=at, boot=now.boot, boot_ns=now.boot_ns, data=data, kind=draft.kind, n=number)
    return sealed(record, prev)


def _how_many_wait(count: int) -> str:
    return "1 event waits" if count == 1 else f"{count} events wait"
