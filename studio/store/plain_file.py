"""Opening a file that someone else may have made: it must not hang or mislead."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from studio.store.disk import READ
from studio.store.errors import CannotRead, why

MOST_SESSION_BYTES = 64 * 1024 * 1024


def read_bytes(path: Path, most_bytes: int = MOST_SESSION_BYTES) -> bytes:
    """All bytes of a plain file of at most `most_bytes`; CannotRead for anything else, at once."""
    try:
        if path.is_symlink():
            raise CannotRead(f"Cannot read {path}: it is a link, and links are not followed.")
        descriptor = os.open(path, READ)
    except OSError as error:
        raise CannotRead(f"Cannot read {path}: {why(error)}.") from None
    except ValueError:
        raise CannotRead(f"Cannot read {path}: no file can have that name.") from None
    try:
        return _contents(descriptor, path, most_bytes)
    except OSError as error:
        raise CannotRead(f"Cannot read {path}: {why(error)}.") from None
    finally:
        os.close(descriptor)


def _contents(descriptor: int, path: Path, most_bytes: int) -> bytes:
    facts = os.fstat(descriptor)
    if stat.S_ISDIR(facts.st_mode):
        raise CannotRead(f"Cannot read {path}: it is a folder, not a file.")
    if not stat.S_ISREG(facts.st_mode):
        raise CannotRead(f"Cannot read {path}: it is a pipe or a device, not a plain file.")
    if facts.st_size > most_bytes:
        raise CannotRead(
            f"Cannot read {path}: it has {facts.st_size // 1024} KiB; at most {most_bytes // 1024} are read."
        )
    pieces: list[bytes] = []
    wanted = most_bytes + 1
    while wanted > 0 and (piece := os.read(descriptor, min(wanted, 1024 * 1024))):
        pieces.append(piece)
        wanted -= len(piece)
    if wanted <= 0:
        raise CannotRead(f"Cannot read {path}: it grew past {most_bytes // 1024} KiB while it was read.")
    return b"".join(pieces)
