"""Reads a session file back: every event that is whole, and a plain account of everything that is not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from pathlib import Path
from typing import Literal

import msgspec

from studio.plaintext import counted
from studio.session.events import newer
from studio.session.folding import Misfit, Record
from studio.session.kinds.course import CONTINUED, FINISHED, OPENED
from studio.store.files import read_bytes
from studio.store.line import sha256_of
from studio.store.scan import Found, Junk, Order, Problem, Scan, follows, put_in_order, scan

State = Literal["clean", "repaired", "open tail", "damaged"]
"""`repaired`: something was wrong once, is accounted for, and the session may go on as if clean."""


class SessionReading(msgspec.Struct, frozen=True):
    """A session file as it was read."""

    path: Path
    records: tuple[Record, ...]
    """Every whole event, by number."""
    problems: tuple[Problem, ...]
    """In file order; those that count first need `not healed`."""
    state: State
    notes: tuple[str, ...]
    """Sentences about changes that do no harm: line endings, a byte order mark."""
    junk: tuple[Junk, ...]
    missing: tuple[tuple[int, int], ...]
    breaks: tuple[int, ...]
    raw: bytes
    """The bytes of the file."""

    @property
    def first(self) -> Record | None:
        """Event 1, which holds the plan and the worksheet; None where it is lost."""
        return self.records[0] if self.records and self.records[0].n == 1 else None

    @property
    def can_open(self) -> bool:
        """Whether a session can be put together from it: its first event is there and says what it must."""
        return self.first is not None and not any(p.kind == "opening" for p in self.problems)

    @property
    def format(self) -> str:
        """What the first event says it is; empty where that is lost."""
        told = self.first.data.get("format") if self.first else None
        return told if isinstance(told, str) else ""

    @property
    def newer(self) -> bool:
        """Whether a later version of the program wrote it: it may be read, never written."""
        return newer(self.format)

    @property
    def finished(self) -> Record | None:
        """The closing event, if the session was closed."""
        return next((r for r in reversed(self.records) if r.kind == FINISHED), None)

    @property
    def continued_from(self) -> str:
        """Name of the file this one goes on from; empty for a session of its own."""
        told = next((r.data.get("from") for r in reversed(self.records) if r.kind == CONTINUED), "")
        return told if isinstance(told, str) else ""

    @property
    def sha256(self) -> str:
        """Of the whole file as it was read."""
        return sha256_of(self.raw)


def read_session(path: Path) -> SessionReading:
    """Everything a session file still holds; CannotRead where it cannot be opened as a plain file."""
    return read_text(path, read_bytes(path))


def read_text(path: Path, raw: bytes) -> SessionReading:
    """The same from bytes; `path` only names them."""
    found = scan(raw)
    order = put_in_order(found.found)
    junk_problems, bad_tail = _junk_problems(found)
    problems = [*junk_problems, *_merged(found.found), *order.problems]
    if found.found and found.found[-1].offset >= found.tail_offset and not _tail(found):
        line = found.found[-1].line
        problems.append(Problem("tail", line, f"The last line ({line}) is whole but has no line end."))
    if not found.found:
        problems.append(Problem("empty", 1, "No whole line of a session was found in this file."))
    problems.extend(_opening(order.kept))
    problems.sort(key=lambda problem: problem.line)
    return SessionReading(
        path,
        tuple(item.record for item in order.kept),
        tuple(problems),
        _state(order, problems, bad_tail),
        tuple(_notes(found)),
        tuple(found.junk),
        tuple(order.missing),
        tuple(order.breaks),
        raw,
    )


def _opening(kept: Sequence[Found]) -> list[Problem]:
    """What is wrong with an opening that is whole as a line, and without which no session can be put together."""
    if not kept or kept[0].record.kind != OPENED:
        return []
    first = kept[0].record
    try:
        first.fit(newer=newer(first.data.get("format")))
    except Misfit as problem:
        return [Problem("opening", kept[0].line, f"Line {kept[0].line} cannot be read: {problem}.")]
    return []


def _junk_problems(found: Scan) -> tuple[list[Problem], bool]:
    """A sentence for each piece of junk, and whether the junk at the end is more than one torn line."""
    lines = found.found
    tail = _tail(found)
    problems = [_problem(piece, lines) for piece in found.junk if piece.after < len(lines)]
    torn_once = len(tail) == 1
    for piece in tail:
        text = f"The last {piece.length} bytes (line {piece.line}) are no whole event: {piece.reason}."
        problems.append(Problem("tail" if torn_once else "bad line", piece.line, text))
    return problems, len(tail) > 1


def _tail(found: Scan) -> list[Junk]:
    return [piece for piece in found.junk if piece.after == len(found.found)]


def _problem(piece: Junk, lines: Sequence[Found]) -> Problem:
    before = lines[piece.after - 1].record if piece.after else None
    harmless = follows(before, lines[piece.after].record)
    told = "; no event is lost by it" if harmless else ""
    text = f"Line {piece.line} cannot be read ({piece.length} bytes): {piece.reason}{told}."
    return Problem("bad line", piece.line, text, harmless)


def _merged(found: Sequence[Found]) -> Iterator[Problem]:
    for before, item in pairwise(found):
        if item.line == before.line:
            numbers = f"Events {before.record.n} and {item.record.n}"
            text = f"{numbers} stand on one line ({item.line}); both are kept."
            yield Problem("merged", item.line, text, True)


def _state(order: Order, problems: Sequence[Problem], bad_tail: bool) -> State:
    if not order.kept or bad_tail or any(not p.healed and p.kind != "tail" for p in problems):
        return "damaged"
    if any(p.kind == "tail" for p in problems):
        return "open tail"
    return "repaired" if problems else "clean"


def _notes(found: Scan) -> Iterator[str]:
    if found.crlf_lines:
        lines = counted(found.crlf_lines, "line")
        yield f"Line endings of {lines} were changed by another program; nothing is lost by it."
    if found.bom:
        yield "Another program put a byte order mark in front; nothing is lost by it."
