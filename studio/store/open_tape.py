"""Opens a session file that is there already: locked first, read afterwards."""

from __future__ import annotations

from pathlib import Path

from studio.session.clock import wall_ns_of
from studio.store.disk import APPEND, THIS_DISK, Disk
from studio.store.errors import CannotRead, CannotSave, HeldElsewhere, why
from studio.store.reading import SessionReading, read_text
from studio.store.system_clock import SystemClock, on_the_wall
from studio.store.tape import Tape


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
    """Who holds it, by the newest event that names a process."""
    for record in reversed(reading.records):
        pid = record.data.get("pid")
        if type(pid) is int:
            return HeldElsewhere(reading.path, pid, _here(record.at))
    return HeldElsewhere(reading.path, None, "")


def _here(at: str) -> str:
    """A time of a line as the clock on the wall has it, with the day where it is not today."""
    then = on_the_wall(wall_ns_of(at))
    today = then.date() == on_the_wall(SystemClock().now().wall_ns).date()
    return f"{then:%H:%M}" if today else f"{then:%Y-%m-%d %H:%M}"
