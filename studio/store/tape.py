"""The bytes of one open session file: what is surely on the disk, and what was begun after that."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from studio.session.clock import wall_ns_of
from studio.store.disk import APPEND, THIS_DISK, CannotRead, CannotSave, Disk, HeldElsewhere, why
from studio.store.files import new_file, read_bytes
from studio.store.line import sha256_of
from studio.store.reading import SessionReading, read_text
from studio.store.system_clock import SystemClock, on_the_wall


class Untrusted(Exception):
    """This file may not be written any more; `str()` says why in a few words."""


class Tape:
    """An append-only file that knows every byte it holds.

    A write that stopped half way leaves a torn line. Tried again, the same line goes on where it stopped, so
    that a disk that is full for long leaves one torn line at most. Any other line starts with a line feed, so
    that the torn one can never become part of it; it stays as junk the reader knows to be harmless.
    """

    def __init__(self, path: Path, descriptor: int, disk: Disk) -> None:
        self.path = path
        self.trusted = True
        self.lost_to = ""
        """Why another program's doing ended the trust in this file; empty where it did not."""
        self._descriptor = descriptor
        self.disk = disk
        self._open = True
        self._synced = bytearray()
        self._torn = bytearray()
        self._writing = b""
        """The line that was written last, or begun."""
        self._own: os.stat_result | None = None
        """What the system said of the file after the last line this tape put there."""

    @property
    def synced(self) -> bytes:
        """The bytes that are on the disk."""
        return bytes(self._synced)

    def read_back(self) -> bytes:
        """What the file holds; CannotRead where the name no longer leads to the open file."""
        raw = read_bytes(self.path)
        try:
            same = os.path.samestat(os.stat(self.path), self.disk.stat(self._descriptor))
        except OSError:
            same = False
        if not same:
            raise CannotRead(f"Cannot open {self.path}: it was replaced by another file just now.")
        return raw

    def start_from(self, raw: bytes) -> None:
        """Takes what the file held when it was opened."""
        end = raw.rfind(b"\n") + 1
        self._synced, self._torn = bytearray(raw[:end]), bytearray(raw[end:])

    @property
    def is_torn(self) -> bool:
        """Whether a write stopped short and left bytes that are not a whole line."""
        return bool(self._torn)

    def goes_on(self, line: bytes) -> bool:
        """Whether the beginning of `line` is there already, from a write of it that stopped short.

        Of a line that another process began only the line feed may lack: lines begin alike.
        """
        begun = self._begun()
        return bool(begun) and (begun == line[:-1] or (line == self._writing and line.startswith(begun)))

    def _begun(self) -> bytes:
        return bytes(self._torn.rpartition(b"\n")[2])

    def sha256_before(self, *, going_on: bool) -> str:
        """SHA-256 of the bytes that will stand before the next line.

        `going_on` where the beginning of that line stands there already.
        """
        torn = bytes(self._torn)
        before = torn[: torn.rfind(b"\n") + 1] if going_on else torn + self._line_feed()
        return sha256_of(self.synced + before)

    def put(self, line: bytes) -> None:
        """Writes and syncs one whole line (or several); OSError or Untrusted where it is not on the disk."""
        self._check()
        payload = line[len(self._begun()) :] if self.goes_on(line) else self._line_feed() + line
        rest, self._writing = payload, line
        self._own = None
        try:
            while rest:
                taken = self.disk.write(self._descriptor, rest)
                if taken <= 0:
                    raise Untrusted("the system took none of the bytes")
                self._torn += rest[:taken]
                rest = rest[taken:]
        except OSError:
            raise
        except BaseException:
            self.trusted = False
            raise
        try:
            self.disk.fsync(self._descriptor)
        except BaseException:
            self.trusted = False
            raise
        self._synced += self._torn
        self._torn.clear()
        with suppress(OSError):
            # The line is on the disk: whatever comes now, it must not be taken for one that waits.
            self._own = self.disk.stat(self._descriptor)

    def close(self) -> None:
        """Lets go of the file and its lock; harmless when done twice."""
        if self._open:
            self._open = False
            self.trusted = False
            with suppress(OSError):
                self.disk.close(self._descriptor)

    def discard(self) -> None:
        """Closes and takes away a file that was just made and holds nothing anyone was promised."""
        self.close()
        with suppress(OSError):
            self.disk.unlink(self.path)

    def _line_feed(self) -> bytes:
        return b"\n" if self._torn and not self._torn.endswith(b"\n") else b""

    def _check(self) -> None:
        """The file must still be there, and hold exactly what this tape put there."""
        if not self.trusted:
            raise Untrusted("it failed before" if self._open else "it is closed")
        facts = self.disk.look_at(self.path)
        if facts is None or not os.path.samestat(facts, self._own or self.disk.stat(self._descriptor)):
            raise self._distrust("the file was moved, removed or replaced")
        expected = len(self._synced) + len(self._torn)
        changed = facts.st_size != expected
        if not changed and expected and (self._own is None or facts.st_mtime_ns != self._own.st_mtime_ns):
            # Touched by someone, if only by a backup: what counts is what it holds.
            changed = self._holds_something_else()
        if changed:
            raise self._distrust("another program has changed the file")

    def _holds_something_else(self) -> bool:
        try:
            return self.read_back() != self.synced + self._torn
        except CannotRead:
            return True

    def _distrust(self, reason: str) -> Untrusted:
        self.trusted = False
        self.lost_to = reason
        return Untrusted(reason)


def new_tape(folder: Path, stem: str, content: bytes, disk: Disk) -> Tape:
    """A new file that holds this; its bytes and its name are on the disk, or nothing of it is left behind.

    CannotSave where the folder takes no file, OSError or Untrusted where the disk does not take the bytes.
    """
    descriptor, path = new_file(folder, stem, disk)
    tape = Tape(path, descriptor, disk)
    try:
        if disk.hold(descriptor) == "elsewhere":
            raise CannotSave(f"Cannot begin {path}: another program has taken the new file.")
        tape.put(content)
        disk.fsync_folder(folder)
    except BaseException:
        tape.discard()
        raise
    return tape


def told_of(error: Exception) -> str:
    """What stands in the way, in plain words."""
    return why(error) if isinstance(error, OSError) else str(error)


# Opens a session file that is there already: locked first, read afterwards.


def open_tape(path: Path, disk: Disk = THIS_DISK) -> tuple[Tape, SessionReading]:
    """The file opened and locked for writing, and what stands in it.

    HeldElsewhere where another window writes it; CannotRead or CannotSave where it cannot be opened.
    """
    try:
        if path.is_symlink():
            raise CannotRead(f"Cannot open {path}: it is a link, and links are not followed.")
        descriptor = disk.open(path, APPEND)
    except FileNotFoundError:
        raise CannotRead(f"Cannot open {path}: it is not there.") from None
    except OSError as error:
        raise CannotSave(f"Cannot open {path} to go on with it: {why(error)}.") from None
    except ValueError:
        raise CannotRead(f"Cannot open {path}: no file can have that name.") from None
    tape = Tape(path, descriptor, disk)
    try:
        if disk.hold(descriptor) == "elsewhere":
            raise _held(read_text(path, tape.read_back()))
        # Read only now: until the lock was taken another window may have written.
        raw = tape.read_back()
        reading = read_text(path, raw)
    except BaseException:
        tape.close()
        raise
    tape.start_from(raw)
    return tape, reading


def _held(reading: SessionReading) -> HeldElsewhere:
    """Since when, by the newest event that names a process."""
    begun = (record for record in reversed(reading.records) if type(record.data.get("pid")) is int)
    newest = next(begun, None)
    return HeldElsewhere(reading.path, _here(newest.at) if newest is not None else "")


def _here(at: str) -> str:
    """A time of a line as the clock on the wall has it, with the day where it is not today."""
    then = on_the_wall(wall_ns_of(at))
    today = then.date() == on_the_wall(SystemClock().now().wall_ns).date()
    return f"{then:%H:%M}" if today else f"{then:%Y-%m-%d %H:%M}"
