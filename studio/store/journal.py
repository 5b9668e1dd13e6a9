"""The one writer of a session file: what `append` returns is on the disk.

Each event is one write and one sync. Where either fails, the event waits in memory and `trouble` says why;
nothing is shown as done. A failed write may be tried again in the same file, because nothing was promised
about it. After a failed sync the file is never trusted again: the system may have thrown the data away and
still report success the next time (P. Rebello et al., "Can Applications Recover from fsync Failures?",
USENIX ATC 2020). Then `retry` copies everything to a new file and goes on there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import partial
from pathlib import Path
from typing import Any, Self

import msgspec

from studio.plaintext import clean, without_home
from studio.session.asked import Refused
from studio.session.clock import Reading, elapsed_since
from studio.session.folding import FIRST_PREV, Record, after_the_end, drafted
from studio.session.kinds.course import CONTINUED, FINISHED, OPENED, SAVED_LATE
from studio.store.disk import THIS_DISK, CannotSave, Disk, SessionClosed, StoreError, Unstorable
from studio.store.files import session_stem, stem_of
from studio.store.line import sealed, sha256_of
from studio.store.tape import Tape, Untrusted, new_tape, told_of


class Journal:
    """An open session file and the events that wait to get into it: the keeper of a running session.

    Not safe for two threads at once: give it one writer thread.
    """

    def __init__(self, tape: Tape, records: Sequence[Record], folders: Sequence[Path]) -> None:
        """`folders`: the sessions of the studio, then those where a session goes on when that takes nothing."""
        self.events: list[Record] = list(records)
        """Every event on the disk, by number; after a rescue with one more, that says so."""
        self.waiting: list[Record] = []
        """Those that wait in memory, with the numbers they will have; their check sums are not final."""
        self.trouble = ""
        """What stood in the way of the last save, in a few words; empty where nothing did."""
        self._tape = tape
        self._folders = tuple(folders)
        self._first = tape.path
        self._failed_once = 0
        """How many of them were refused by the disk before."""
        self._refused = ""
        """What refused them first."""
        self._late: list[Record] = []
        """Of those, the ones on the disk by now, until a line tells so."""
        self.finished = any(record.kind == FINISHED for record in records)
        """Whether the closing event is there or waits."""

    @classmethod
    def create(
        cls,
        folders: Sequence[Path],
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
        line, first = sealed(drafted(1, kind, data, at), FIRST_PREV)
        try:
            tape = new_tape(folders[0], session_stem(title, at.wall_ns, utc_offset_min), line, disk)
        except (OSError, Untrusted) as error:
            raise CannotSave(f"Cannot begin a session in {folders[0]}: {told_of(error)}.") from None
        return cls(tape, [first], folders)

    @property
    def path(self) -> Path:
        """The file written now; another one after a rescue."""
        return self._tape.path

    @property
    def name(self) -> str:
        """Its name."""
        return self.path.name

    @property
    def moved(self) -> str:
        """Where the session goes on when it had to leave its file or the studio folder; else empty."""
        if self.path.parent in self._folders[1:]:
            return f"The studio folder took nothing: this session is kept in {without_home(str(self.path))}."
        if self.path != self._first:
            return f"This session goes on in {self.name}, because {self._first.name} could not be written."
        return ""

    def check(self, kind: str, data: dict[str, Any], at: Reading) -> None:
        """Refused where such an event cannot be written as a line, or may not follow any more."""
        try:
            self._accepted(kind, data, at)
        except (Unstorable, SessionClosed) as problem:
            raise Refused(f"Not taken. {problem}") from problem

    def append(self, kind: str, data: dict[str, Any], at: Reading) -> Record:
        """The event as it stands on the disk, or as it will once it is there: then it waits, and `retry` saves it.

        Unstorable or SessionClosed where it was not accepted at all. A `session.finished` event is given the
        SHA-256 of all bytes before it.
        """
        record = self._accepted(kind, data, at)
        self.waiting.append(record)
        self.finished = self.finished or kind == FINISHED
        saved = self._save_all(at)
        return record if record in self.waiting else saved[-1]

    def _accepted(self, kind: str, data: dict[str, Any], at: Reading) -> Record:
        """The event as it will be; Unstorable or SessionClosed where it is not for this file."""
        self._refuse_after_the_end(kind)
        record = drafted(self._last_number() + len(self.waiting) + 1, kind, data, at)
        return sealed(_closing(record, lambda: "0" * 64), FIRST_PREV)[1]

    def _refuse_after_the_end(self, kind: str) -> None:
        if self.finished and not after_the_end(kind):
            raise SessionClosed(f"{self.name} is closed; only an addendum may follow.")

    def retry(self, at: Reading, *, elsewhere: bool) -> None:
        """Save what waits, in order: in the same file while it can be trusted, else or if need be in a new one.

        `elsewhere`: also in a new one. What waited is told by a line of the file, with how late it came.
        """
        if self._tape.trusted:
            self._save_all(at)
            if not self.waiting or not elsewhere:
                return
        self._rescue(at)

    def _save_all(self, at: Reading) -> list[Record]:
        """What of that which waits could be saved."""
        saved: list[Record] = []
        while self.waiting:
            trusted = self._tape.trusted
            try:
                record = self._save(self.waiting[0])
            except (OSError, Untrusted) as error:
                self._failed_once, self._refused = len(self.waiting), self._refused or told_of(error)
                if trusted or not self.trouble:
                    # A file that is trusted no more only says that it failed before.
                    self.trouble = clean(told_of(error), limit=400)
                return saved
            self.waiting.pop(0)
            if record.kind != SAVED_LATE:
                saved.append(record)
                self._late.extend([record] if self._failed_once else [])
            self._failed_once = max(0, self._failed_once - 1)
            if self._late and not self.waiting:
                self.waiting.append(self._told_late(at))
        self.trouble = self._refused = ""
        return saved

    def _told_late(self, at: Reading) -> Record:
        """The line that tells how many events came late into this file, how long the first waited, and why."""
        waited_s = max(0.0, elapsed_since(self._late[0].moment, at).seconds)
        data = {"entries": len(self._late), "waited_s": round(waited_s, 3), "why": self._refused}
        self._late = []
        return self._accepted(SAVED_LATE, data, at)

    def _rescue(self, at: Reading) -> None:
        """Save what waits in a new file and go on there; where no folder takes one, everything still waits in memory.

        Tried in the same folder, then in the others. The new file begins with every byte that was on the disk,
        then come the waiting events with the numbers they were to have, then a `session.continued` event that
        names the old file. The old file is left as it is.
        """
        content, added = self._lines_of((*self.waiting, self._continued(at)))
        refusals: list[str] = []
        for folder in dict.fromkeys((self.path.parent, *self._folders)):
            try:
                folder.mkdir(mode=0o700, parents=True, exist_ok=True)
                fresh = new_tape(folder, stem_of(self.name) or self.path.stem, content, self._tape.disk)
            except (StoreError, OSError, Untrusted) as error:
                refusals.append(told_of(error).rstrip("."))
                continue
            self._tape.close()
            self._tape = fresh
            self.events.extend(added)
            self.waiting.clear()
            self._late, self._failed_once, self._refused, self.trouble = [], 0, "", ""
            return
        reasons = "; ".join(dict.fromkeys(refusals))
        self.trouble = clean(f"no folder takes a new file ({reasons})", limit=400)

    def _continued(self, at: Reading) -> Record:
        """The event that tells where all that was on the disk came from."""
        note = {
            "from": self.name,
            "sha256": sha256_of(self._tape.synced),
            "lines_kept": len(self.events),
            "why": self._tape.lost_to or "the old file could not be written",
        }
        return self._accepted(CONTINUED, note, at)

    def _lines_of(self, records: Iterable[Record]) -> tuple[bytes, list[Record]]:
        """What is on the disk with these behind it, and they as they stand there."""
        content, prev = bytearray(self._tape.synced), self._last_crc()
        added: list[Record] = []
        for record in records:
            line, found = sealed(_closing(record, partial(sha256_of, content)), prev)
            content += line
            added.append(found)
            prev = found.crc
        return bytes(content), added

    def _save(self, record: Record) -> Record:
        torn = self._tape.is_torn
        line, saved = self._sealed(record, going_on=torn)
        if torn and not self._tape.goes_on(line):
            line, saved = self._sealed(record, going_on=False)
        self._tape.put(line)
        self.events.append(saved)
        return saved

    def _sealed(self, record: Record, *, going_on: bool) -> tuple[bytes, Record]:
        before = partial(self._tape.sha256_before, going_on=going_on)
        return sealed(_closing(record, before), self._last_crc())

    def last_resort(self) -> str:
        """What waits, as lines, for the end of the program when nothing else took it."""
        return self._lines_of(self.waiting)[0].removeprefix(self._tape.synced).decode("ascii")

    def close(self) -> None:
        """Lets go of the file and its lock."""
        self._tape.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _last_number(self) -> int:
        return self.events[-1].n if self.events else 0

    def _last_crc(self) -> str:
        return self.events[-1].crc if self.events else FIRST_PREV


def _closing(record: Record, sha256: Callable[[], str]) -> Record:
    """A closing event with the SHA-256 of what stands before it; any other as it is."""
    if record.kind != FINISHED:
        return record
    return msgspec.structs.replace(record, data={**record.data, "sha256": sha256()})
