"""Writing shelf files that people edit by hand: whole or not at all, and never over somebody's change."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from studio.store.atomic import take_away_parts, write_whole
from studio.store.disk import THIS_DISK, Disk
from studio.store.errors import CannotSave, why

BOM = b"\xef\xbb\xbf"


class HalfSaved(CannotSave):
    """Some files are written and some are not; `written` names the first."""

    def __init__(self, sentence: str, written: tuple[str, ...]) -> None:
        super().__init__(sentence)
        self.written = written


def save_texts(
    folder: Path, texts: Mapping[str, str], before: Mapping[str, str], *, disk: Disk = THIS_DISK
) -> None:
    """Writes files of a shelf, one after the other, each whole or not at all.

    texts: what they shall say, by name; before: what they said when they were read, none for a new file.
    CannotSave where a file says something else by now, where another window is writing, or where the disk
    does not take it; HalfSaved where files before it are written already.
    """
    written: list[str] = []
    with _one_writer(folder, disk):
        for name, text in texts.items():
            try:
                _save(folder / name, text, before.get(name), disk)
            except CannotSave as problem:
                if not written:
                    raise
                done = ", ".join(written)
                raise HalfSaved(f"{problem} {done}: done before that.", tuple(written)) from None
            written.append(name)


def tidy(folder: Path, names: Iterable[str], *, disk: Disk = THIS_DISK) -> None:
    """Take away the parts of these files that a killed writer left; nothing while another window is writing."""
    with suppress(CannotSave), _one_writer(folder, disk):
        for name in names:
            take_away_parts((folder / name).resolve(), disk)


def _save(path: Path, text: str, before: str | None, disk: Disk) -> None:
    # A link to a file elsewhere stays a link: the file it leads to is written.
    path = path.resolve()
    data = text.encode("utf-8")
    if before is None:
        write_whole(path, data, disk=disk)
        return
    try:
        there = path.read_bytes()
        mode = path.stat().st_mode & 0o777
    except OSError as error:
        raise CannotSave(f"Cannot write {path}: {why(error)}; nothing there was changed.") from None
    mark = BOM if there.startswith(BOM) else b""
    if there.removeprefix(BOM) != before.encode("utf-8"):
        raise CannotSave(f"{path.name} was changed meanwhile; nothing was written. Look at it again.")
    write_whole(path, mark + data, True, expected=there, mode=mode, disk=disk)


@contextmanager
def _one_writer(folder: Path, disk: Disk) -> Iterator[None]:
    """One window at a time, by a lock on the folder itself; nothing where a folder cannot be locked."""
    if sys.platform == "win32":
        yield
        return
    try:
        descriptor = os.open(folder, os.O_RDONLY | os.O_CLOEXEC)
    except OSError as error:
        raise CannotSave(f"Cannot write in {folder}: {why(error)}; nothing there was changed.") from None
    try:
        if disk.hold(descriptor) == "elsewhere":
            raise CannotSave("Another window is writing the shelf; nothing was written. Try again.")
        yield
    finally:
        os.close(descriptor)
