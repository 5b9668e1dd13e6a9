"""Which session files there are and which of them have changed, without opening one."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path

import msgspec

from studio.store.errors import CannotRead, why
from studio.store.folder import StudioFolder
from studio.store.session_names import is_session_name

Stamp = tuple[int, int]
"""Size in bytes and time of the last change in ns."""
Progress = Callable[[int, int], object]
"""Told how many files are read, and how many are to be."""
Stop = Callable[[], bool]


class RefreshCounts(msgspec.Struct, frozen=True):
    """What bringing the logbook up to date came to."""

    sessions: int
    """Session files there are."""
    read: int
    """Files that were new or changed, and were read."""
    gone: int
    """Sessions that were known and are no longer there."""
    left: int
    """Files still to be read, because it was stopped."""


def unheard(done: int, total: int) -> None:
    """Progress that nobody wants to hear of."""


def never() -> bool:
    """Nobody stops it."""
    return False


def stamps(folder: StudioFolder) -> dict[str, Stamp]:
    """Size and time of every session file, by its name; CannotRead where the folder cannot be listed."""
    try:
        found = _stamps_in(folder.sessions)
    except OSError as error:
        told = f"Cannot list {folder.sessions}: {why(error)}; name another with --studio DIR."
        raise CannotRead(told) from None
    for spare in folder.spares:
        with suppress(OSError):
            found = {**_stamps_in(spare), **found}
    return found


def _stamps_in(folder: Path) -> dict[str, Stamp]:
    with os.scandir(folder) as entries:
        return {entry.name: _stamp(entry) for entry in entries if is_session_name(entry.name)}


def to_read(found: Mapping[str, Stamp], known: Mapping[str, Stamp]) -> list[str]:
    """Names of files that are new or differ from what is known, newest first by their names."""
    return sorted((name for name, stamp in found.items() if known.get(name) != stamp), reverse=True)


def _stamp(entry: os.DirEntry[str]) -> Stamp:
    try:
        facts = entry.stat(follow_symlinks=False)
    except OSError:
        return (-2, -2)  # gone meanwhile, or not to be looked at: it is tried again next time
    return (facts.st_size, facts.st_mtime_ns)
