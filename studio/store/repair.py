"""What is done before a session goes on: nothing to a clean file, and nothing that loses a byte to any other.

A torn last line is set aside in a copy, closed with a line feed and accounted for by a `recovered` event.
Damage further in is never written over: such a session goes on in a new file that says where it came from.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from studio.session.clock import Reading
from studio.session.folding import drafted
from studio.session.kinds.course import CONTINUED, RECOVERED
from studio.store.copies import begun_alike, continued_by
from studio.store.disk import CREATE, THIS_DISK, CannotSave, Disk, ReadOnlySession, why, write_all
from studio.store.files import damaged_copy_names, stem_of
from studio.store.journal import Journal
from studio.store.line import encode, sealed
from studio.store.reading import SessionReading
from studio.store.tape import Untrusted, new_tape, open_tape, told_of


def prepare_to_resume(
    path: Path, at: Reading, folders: Sequence[Path] = (), *, disk: Disk = THIS_DISK
) -> Journal:
    """The session, open for writing and locked; a torn last line is set aside first.

    `folders` as a journal has them.

    ReadOnlySession where it may only be looked at (damage further in, a newer version of the program, a
    file that was already continued); HeldElsewhere, CannotRead, CannotSave as they say.
    """
    tape, reading = open_tape(path, disk)
    try:
        _refuse_newer(reading)
        _refuse_continued(reading)
        if reading.state == "damaged":
            raise _damaged(reading)
        journal = Journal(tape, reading.records, folders)
        if reading.state == "open tail":
            copy = set_aside(path, reading.raw, at, disk)
            journal.append(RECOVERED, {**_tail(reading), "copy": copy.name}, at)
            if journal.waiting:
                raise CannotSave(f"Cannot open {path} to go on with it: {journal.trouble}.")
    except BaseException:
        tape.close()
        raise
    return journal


def continue_in_new_file(
    path: Path, at: Reading, folders: Sequence[Path] = (), *, disk: Disk = THIS_DISK
) -> Journal:
    """Goes on from a damaged session in a new file beside it; the damaged one is left as it is.

    The new file holds every whole event as it was, with its number, then `session.continued` with the
    name and SHA-256 of the old file and the numbers that are missing. ReadOnlySession where the first
    event, which holds the plan, is lost, or the session was finished.
    """
    tape, reading = open_tape(path, disk)
    try:
        _refuse_newer(reading)
        _refuse_continued(reading)
        if not reading.can_open:
            lost = "lost" if reading.first is None else "not to be read"
            told = f"The first event of {path.name}, which holds the plan, is {lost}; it cannot be continued."
            raise ReadOnlySession(told, may_continue=False)
        if reading.finished is not None:
            told = f"{path.name} was finished; there is nothing to continue."
            raise ReadOnlySession(told, may_continue=False)
        return _continued(path, reading, at, folders, disk)
    finally:
        tape.close()


def set_aside(path: Path, raw: bytes, at: Reading, disk: Disk = THIS_DISK) -> Path:
    """A copy of the file as it is, NAME.damaged-<UTC>.jsonl, on the disk; CannotSave where it cannot be."""
    for copy in damaged_copy_names(path, at.wall_ns):
        try:
            descriptor = disk.open(copy, CREATE)
        except FileExistsError:
            continue
        except OSError as error:
            raise _no_copy(path, error) from None
        try:
            write_all(disk, descriptor, raw)
            disk.fsync(descriptor)
            disk.fsync_folder(path.parent)
        except OSError as error:
            with suppress(OSError):
                disk.unlink(copy)
            raise _no_copy(path, error) from None
        finally:
            disk.close(descriptor)
        return copy
    raise CannotSave(f"Cannot set aside a copy of {path}: too many copies are there already.")


def _continued(
    path: Path, reading: SessionReading, at: Reading, folders: Sequence[Path], disk: Disk
) -> Journal:
    note: dict[str, Any] = {
        "from": path.name,
        "sha256": reading.sha256,
        "lines_kept": len(reading.records),
        "missing": [list(gap) for gap in reading.missing],
        "breaks": list(reading.breaks),
        "why": "the old file is damaged",
    }
    whole = b"".join(encode(record, record.prev) for record in reading.records)
    last = reading.records[-1]
    line, continued = sealed(drafted(last.n + 1, CONTINUED, note, at), last.crc)
    try:
        fresh = new_tape(path.parent, stem_of(path.name) or path.stem, whole + line, disk)
    except (OSError, Untrusted) as error:
        raise CannotSave(f"Cannot continue {path.name} in a new file: {told_of(error)}.") from None
    return Journal(fresh, (*reading.records, continued), folders)


def _tail(reading: SessionReading) -> dict[str, Any]:
    """Where the junk at the end begins and how long it is; nothing long where only the line feed lacks."""
    piece = reading.junk[-1] if reading.junk and reading.junk[-1].after == len(reading.records) else None
    if piece is None:
        return {"offset": len(reading.raw), "length": 0}
    return {"offset": piece.offset, "length": piece.length}


def _refuse_newer(reading: SessionReading) -> None:
    if reading.newer and reading.first is not None:
        program = str(reading.first.data.get("program", "a newer version"))
        told = f"{reading.path.name} was written by {program} as {reading.format or 'an unknown format'}"
        raise ReadOnlySession(f"{told}; this version can only show it.", may_continue=False)


def _refuse_continued(reading: SessionReading) -> None:
    """A session that went on in another file must not be gone on with twice."""
    later = continued_by(reading, begun_alike(reading.path))
    if later is not None:
        told = f"{reading.path.name} was continued in {later.path.name}; resume that one."
        raise ReadOnlySession(told, may_continue=False)


def _damaged(reading: SessionReading) -> ReadOnlySession:
    bad = [p.text.rstrip(".") for p in reading.problems if not p.healed]
    more = f" (and {len(bad) - 3} more)" if len(bad) > 3 else ""
    whole = len(reading.records)
    told = f"{reading.path.name} is damaged, {whole} events are whole: {'; '.join(bad[:3])}{more}"
    can = reading.can_open and reading.finished is None
    return ReadOnlySession(f"{told}; it can only be looked at.", may_continue=can)


def _no_copy(path: Path, error: OSError) -> CannotSave:
    return CannotSave(f"Cannot set aside a copy of {path} before repair: {why(error)}; nothing was changed.")
