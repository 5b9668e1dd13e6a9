"""Whole files: there as they were, or there as they should be, never half of one."""

from __future__ import annotations

import os
import re
import secrets
from contextlib import suppress
from pathlib import Path

from studio.store.disk import CREATE, THIS_DISK, Disk, write_all
from studio.store.errors import AlreadyThere, CannotSave, LineError, why
from studio.store.line import MOST_BYTES, decode
from studio.store.session_names import is_damaged_copy, is_session_name

PART = ".part"


def take_away_parts(path: Path, disk: Disk = THIS_DISK) -> None:
    """Take away what a killed writer of that file left beside it; only where no other writer can be at work."""
    begins = f".{path.name[:60]}."
    with suppress(OSError):
        for name in os.listdir(path.parent):
            if re.fullmatch(rf"{re.escape(begins)}[0-9a-f]{{8}}{re.escape(PART)}", name):
                disk.unlink(path.with_name(name))


def write_whole(
    path: Path,
    data: bytes,
    overwrite: bool = False,
    *,
    expected: bytes | None = None,
    mode: int = 0o666,
    disk: Disk = THIS_DISK,
) -> None:
    """Writes a file by way of a temporary one in the same folder; on return it is on the disk.

    expected: what the target must still hold at the last moment, where it is written over.
    CannotSave, with the target untouched, where the target is there and `overwrite` is False, where it
    is a session file or no plain file, where it holds something else than `expected`, and where the disk
    does not take it.
    """
    _refuse(path, overwrite)
    draft = path.with_name(f".{path.name[:60]}.{secrets.token_hex(4)}{PART}")
    try:
        descriptor = disk.open(draft, CREATE, mode)
    except (OSError, ValueError) as error:
        raise _failed(path, error) from None
    try:
        try:
            write_all(disk, descriptor, data)
            disk.fsync(descriptor)
        finally:
            disk.close(descriptor)
        _put_in_place(draft, path, overwrite, expected, disk)
        disk.fsync_folder(path.parent)
    except OSError as error:
        raise _failed(path, error) from None
    finally:
        with suppress(OSError):
            disk.unlink(draft)


def _put_in_place(draft: Path, path: Path, overwrite: bool, expected: bytes | None, disk: Disk) -> None:
    if overwrite:
        _refuse(path, overwrite)
        if expected is not None and path.read_bytes() != expected:
            raise CannotSave(f"{path.name} was changed meanwhile; nothing was written. Look at it again.")
        disk.replace(draft, path)
        return
    try:
        # A second name, unlike a rename, fails where someone has made the target meanwhile.
        disk.link(draft, path)
    except FileExistsError:
        raise _there(path) from None
    except OSError:
        # Some file systems know no second names.
        if os.path.lexists(path):
            raise _there(path) from None
        disk.replace(draft, path)


def _refuse(path: Path, overwrite: bool) -> None:
    if is_session_name(path.name) or is_damaged_copy(path.name) or _holds_a_session(path):
        raise CannotSave(f"Cannot write {path}: that is a session file, and those are never written over.")
    there = os.path.lexists(path)
    if there and not path.is_file():
        raise CannotSave(f"Cannot write {path}: something that is not a plain file has that name.")
    if there and not overwrite:
        raise _there(path)


def _holds_a_session(path: Path) -> bool:
    try:
        if not path.is_file():
            return False
        with path.open("rb") as file:
            first = file.readline(MOST_BYTES)
        decode(first.rstrip(b"\r\n").removeprefix(b"\xef\xbb\xbf"))
    except (OSError, ValueError, LineError):
        return False
    return True


def _there(path: Path) -> AlreadyThere:
    return AlreadyThere(
        f"Cannot write {path}: it is there already; choose another name or allow overwriting."
    )


def _failed(path: Path, error: OSError | ValueError) -> CannotSave:
    told = why(error) if isinstance(error, OSError) else "no file can have that name"
    return CannotSave(f"Cannot write {path}: {told}; nothing there was changed.")
