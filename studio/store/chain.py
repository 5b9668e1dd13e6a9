"""Files of one session: where it had to go on in a new file, the older one is a part of the newer.

A file that has events of its own, because another machine wrote on in it, has parted from the newer one: the
two are two records, and neither is a part of the other.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import suppress
from pathlib import Path

from studio.session.events import CONTINUED
from studio.store.copies import parting
from studio.store.errors import StoreError
from studio.store.line import Record
from studio.store.reading import SessionReading, read_session
from studio.store.session_names import stem_of

Part = tuple[str, str]
"""Name of an older file, and the mark its last event must have for that file to be no more than a part."""


def newest_of(path: Path, folders: Iterable[Path]) -> Path:
    """The file in which this one's session goes on now; itself where no other continues it."""
    others = begun_alike(path, folders)
    if not others:
        return path
    try:
        reading = read_session(path)
    except StoreError:
        return path
    while (later := continued_by(reading, others)) is not None:
        reading = later
    return reading.path


def continued_by(reading: SessionReading, others: Sequence[SessionReading]) -> SessionReading | None:
    """The file that goes on from this one and holds all of it; of several the longest."""
    later = [
        other
        for other in others
        if other.continued_from == reading.path.name
        and not parting(reading.records, other.records).only_one
        and other.path != reading.path
    ]
    return max(later, key=lambda other: (len(other.records), other.path.name), default=None)


def mark_of(record: Record) -> str:
    """Number and check sum of an event; as check sums are chained, it stands for all events before it too."""
    return f"{record.n}-{record.crc}"


def parts_of(records: Sequence[Record]) -> tuple[Part, ...]:
    """The older files this one goes on from, with every mark their last event may have."""
    return tuple(
        (name, mark_of(kept))
        for place, record in enumerate(records)
        if record.kind == CONTINUED and isinstance(name := record.data.get("from"), str)
        for kept in records[_taken_over(record, place) : place]
    )


def _taken_over(record: Record, place: int) -> int:
    """Where the last event stands that was taken over; those after it may be in the old file or not."""
    count = record.data.get("lines_kept")
    return max(0, count - 1) if type(count) is int and count <= place else 0


def begun_alike(path: Path, folders: Iterable[Path] = ()) -> list[SessionReading]:
    """Other files beside this one, and in `folders`, whose names begin alike; those that can be read."""
    stem = stem_of(path.name)
    found: list[SessionReading] = []
    for folder in dict.fromkeys((path.parent, *folders)) if stem else ():
        for other in sorted(folder.glob(f"{stem}-????.jsonl")):
            with suppress(StoreError):
                if other.name != path.name:
                    found.append(read_session(other))
    return found
