"""Whether a session file can be trusted, two files of one session, and the chain of files it went on in."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from contextlib import suppress
from itertools import combinations
from pathlib import Path
from typing import Literal

import msgspec

from studio.plaintext import clean, counted
from studio.session.clock import wall_ns_of
from studio.session.folding import Record, after_the_end
from studio.session.kinds.course import CONTINUED
from studio.store.disk import StoreError
from studio.store.files import stem_of
from studio.store.line import encode, sha256_of
from studio.store.reading import SessionReading, read_session
from studio.store.scan import BOM
from studio.store.system_clock import on_the_wall

# Two files of one session, as a file sync on two machines can leave them: what they share and where they
# part. Nothing is ever merged. Which of the two tells what was really done is for the dyer to say.

_BEGINS = r"(?a)[0-9]{8}-[0-9]{4}-[a-z0-9-]{1,48}-[a-z0-9]{4}"


class Parting(msgspec.Struct, frozen=True):
    """What two lists of events have in common from the first on, and what each has after that."""

    shared: tuple[Record, ...]
    only_one: tuple[Record, ...]
    only_other: tuple[Record, ...]

    @property
    def parted(self) -> bool:
        """Whether each holds something that the other does not."""
        return bool(self.only_one and self.only_other)


def parting(one: Sequence[Record], other: Sequence[Record]) -> Parting:
    """Where two lists of events part. Equal lines have equal check sums, and those are chained."""
    shared = 0
    for mine, theirs in zip(one, other, strict=False):
        if mine != theirs:
            break
        shared += 1
    return Parting(tuple(one[:shared]), tuple(one[shared:]), tuple(other[shared:]))


def told_of_copies(paths: Sequence[Path]) -> tuple[list[str], bool]:
    """A sentence for each two of these files that begin with the same event, and whether any must be looked at.

    CannotRead where one of them can no longer be read.
    """
    told: list[str] = []
    trouble = False
    for one, other in combinations([read_session(path) for path in paths], 2):
        found = parting(one.records, other.records)
        if not found.shared:
            continue
        linked = _goes_on(one, other) or _goes_on(other, one)
        told.append(_parting(one, other, found, linked))
        trouble = trouble or found.parted or not linked
    return told, trouble


def odd_sentence(name: str, sessions: Collection[str]) -> str:
    """What to do about a file that is none of the program's own but is called like one."""
    begins = re.match(_BEGINS, name)
    original = f"{begins[0]}.jsonl" if begins else ""
    told = f"{clean(name, limit=120)} looks like a copy made by a file sync; it is not in the logbook"
    if original in sessions:
        return (
            f'{told}. potside verify {original} "{clean(name, limit=120)}" says where the two part; keep one.'
        )
    return f"{told}. Move it out of sessions/, or give it back its name."


def _goes_on(one: SessionReading, other: SessionReading) -> bool:
    """Whether `one` says that it goes on from `other`, itself or over files between."""
    return any(r.kind == CONTINUED and r.data.get("from") == other.path.name for r in one.records)


def _parting(one: SessionReading, other: SessionReading, found: Parting, linked: bool) -> str:
    mine, theirs = clean(one.path.name, limit=120), clean(other.path.name, limit=120)
    last = found.shared[-1].n
    if found.parted:
        first, second = _span(mine, found.only_one), _span(theirs, found.only_other)
        return (
            f"{mine} and {theirs} are the same up to event {last} and part there: {first}, {second}. "
            "Nothing is merged: keep the one that tells what was really done, and move the other out of sessions/."
        )
    if not found.only_one and not found.only_other:
        return f"{mine} and {theirs} hold the same {last} events; one of them can go."
    longer, shorter, more = (
        (mine, theirs, found.only_one) if found.only_one else (theirs, mine, found.only_other)
    )
    end = "; it goes on from it." if linked else "; the shorter one can go."
    return f"{longer} holds all {last} events of {shorter} and {len(more)} more{end}"


def _span(name: str, records: Sequence[Record]) -> str:
    first, last = (f"{on_the_wall(wall_ns_of(r.at)):%Y-%m-%d %H:%M:%S}" for r in (records[0], records[-1]))
    return f"{name} has {counted(len(records), 'event')} of its own, {first} to {last}"


# Files of one session: where it had to go on in a new file, the older one is a part of the newer. A file
# that has events of its own, because another machine wrote on in it, has parted from the newer one: the
# two are two records, and neither is a part of the other.

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


# Says whether a session file can be trusted, and why not.

VerdictState = Literal["clean", "repaired", "open tail", "written after closing", "damaged", "unreadable"]


class Verdict(msgspec.Struct, frozen=True):
    """What was found out about one session file."""

    state: VerdictState
    sentences: tuple[str, ...]
    """The verdict first, then everything that was found."""
    hash_ok: bool | None = None
    """Whether the closing SHA-256 matches; None where there is none to compare."""
    begins: str = ""
    """Check sum of the first event: the same in every copy of a session. Empty where that event is lost."""

    @property
    def exit_code(self) -> int:
        """0 clean, 1 a torn end or an accounted-for repair, 3 damaged or unreadable."""
        return {"clean": 0, "damaged": 3, "unreadable": 3}.get(self.state, 1)


def verify(path: Path) -> Verdict:
    """The verdict on one file; never raises StoreError: what cannot be read is a verdict too."""
    try:
        reading = read_session(path)
    except StoreError as error:
        return Verdict("unreadable", (str(error),))
    return judge(reading)


def judge(reading: SessionReading) -> Verdict:
    """The verdict on a file that was read."""
    closing = reading.finished
    hash_ok = _hash_ok(reading, closing) if closing else None
    state: VerdictState = reading.state
    told = [problem.text for problem in reading.problems]
    told.extend(reading.notes)
    late = _late(reading, closing)
    if hash_ok is False:
        state = "damaged"
        told.append("The closing SHA-256 does not match what stands before it.")
    elif late is not None and state in ("clean", "repaired"):
        state = "written after closing"
        told.append(f"Event {late.n} ({late.kind}) was written after the session was closed.")
    begins = reading.first.crc if reading.first else ""
    return Verdict(state, (_sentence(reading, state, hash_ok), *told), hash_ok, begins)


def _sentence(reading: SessionReading, state: VerdictState, hash_ok: bool | None) -> str:
    count = len(reading.records)
    end = "finished" if reading.finished else "not finished"
    proof = ", SHA-256 matches" if hash_ok else ""
    return f"{reading.path.name}: {state}, {count} events, {end}{proof}."


def _late(reading: SessionReading, closing: Record | None) -> Record | None:
    after = (r for r in reading.records if closing is not None and r.n >= closing.n and r is not closing)
    return next((r for r in after if not after_the_end(r.kind)), None)


def _hash_ok(reading: SessionReading, closing: Record) -> bool:
    """Compares with the bytes as they are, and with those before another program changed the line ends."""
    told = closing.data.get("sha256")
    line = encode(closing, closing.prev)[:-1]
    for raw in (reading.raw, reading.raw.removeprefix(BOM).replace(b"\r\n", b"\n")):
        at = raw.find(line)
        if at >= 0 and sha256_of(raw[:at]) == told:
            return True
    return False
