"""Two files of one session, as a file sync on two machines can leave them: what they share and where they part.

Nothing is ever merged. Which of the two tells what was really done is for the dyer to say.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from itertools import combinations
from pathlib import Path

import msgspec

from studio.plaintext import clean
from studio.session.clock import wall_ns_of
from studio.session.events import CONTINUED
from studio.store.line import Record
from studio.store.reading import SessionReading, read_session
from studio.store.system_clock import on_the_wall

_BEGINS = re.compile(r"[0-9]{8}-[0-9]{4}-[a-z0-9-]{1,48}-[a-z0-9]{4}", re.ASCII)


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
        told.append(_sentence(one, other, found, linked))
        trouble = trouble or found.parted or not linked
    return told, trouble


def odd_sentence(name: str, sessions: Collection[str]) -> str:
    """What to do about a file that is none of the program's own but is called like one."""
    begins = _BEGINS.match(name)
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


def _sentence(one: SessionReading, other: SessionReading, found: Parting, linked: bool) -> str:
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
    count = "1 event" if len(records) == 1 else f"{len(records)} events"
    first, last = (f"{on_the_wall(wall_ns_of(r.at)):%Y-%m-%d %H:%M:%S}" for r in (records[0], records[-1]))
    return f"{name} has {count} of its own, {first} to {last}"
