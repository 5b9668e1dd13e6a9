"""Finds every whole line in the bytes of a session file, and puts them in the order of their numbers."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Any, Literal

import msgspec

from studio.session.events import newer
from studio.session.folding import FIRST_PREV, Misfit, Record
from studio.session.kinds.course import CONTINUED, OPENED
from studio.store.disk import CannotRead, LineError
from studio.store.line import MOST_BYTES, decode

# Finds every whole line in the bytes of a session file, whatever stands between them. A reader that
# stopped at the first bad line would lose all that follows. This one goes on: each line whose check sum
# holds counts, also where it lost its line feed or stands inside bytes that mean nothing.

MOST_LINES = 200_000
BETWEEN = "bytes that belong to no line"
BOM = b"\xef\xbb\xbf"

_START = re.compile(rb'\{"at":"')
_END = re.compile(rb',"crc":"[0-9a-f]{8}"\}')
_STARTS_TRIED = 40
"""Starts tried for each end: an event may hold objects that begin like a line."""


class Junk(msgspec.Struct, frozen=True):
    """Bytes that are no part of a whole line."""

    line: int
    """Number of the line they stand in, from 1, as an editor counts."""
    offset: int
    length: int
    reason: str
    after: int
    """Index, among the lines found, of the first line that follows; the number found where none does."""


class Found(msgspec.Struct, frozen=True, gc=False):
    """A whole line and where it stands."""

    record: Record
    line: int
    offset: int


class Scan:
    """All that was found, in the order it stands in the file."""

    def __init__(self, data: bytes) -> None:
        self.bom = data.startswith(BOM)
        self.found: list[Found] = []
        self.junk: list[Junk] = []
        self.crlf_lines = 0
        self.tail_offset = len(BOM) if self.bom else 0
        """Where the part after the last line feed begins; the size of the file where there is none."""
        self._newer = False
        # What may be spent on looking inside bad lines, so that a hostile file costs seconds at most.
        self._bytes_left = 64 * 1024 * 1024
        *pieces, tail = data[self.tail_offset :].split(b"\n")
        for line, piece in enumerate(pieces, start=1):
            self._take(piece, line, self.tail_offset, True)
            self.tail_offset += len(piece) + 1
        if tail:
            self._take(tail, len(pieces) + 1, self.tail_offset, False)

    def _take(self, piece: bytes, line: int, offset: int, ended: bool) -> None:
        if ended and piece.endswith(b"\r"):
            self.crlf_lines += 1
            piece = piece[:-1]
        try:
            self.found.append(Found(self._fitting(piece), line, offset))
        except LineError as error:
            if piece or ended:
                self._look_inside(piece, line, offset, error.reason)

    def _look_inside(self, piece: bytes, line: int, offset: int, reason: str) -> None:
        if piece.count(0) == len(piece):
            reason = "it is empty" if not piece else "it is all zero bytes"
        done = 0
        for end in _END.finditer(piece):
            if self._bytes_left < 0:
                break
            hit = self._line_ending_at(piece, done, end.end())
            if hit is None:
                continue
            start, record = hit
            self._junk(line, offset + done, start - done, BETWEEN)
            self.found.append(Found(record, line, offset + start))
            done = end.end()
        rest = len(piece) - done
        if rest or not piece:
            self._junk(line, offset + done, rest, BETWEEN if done else reason, even_empty=True)

    def _line_ending_at(self, piece: bytes, done: int, end: int) -> tuple[int, Record] | None:
        first = max(done, end - MOST_BYTES)
        self._bytes_left -= end - first
        starts = [match.start() for match in _START.finditer(piece, first, end)]
        # The outermost start is the right one in a whole line, the innermost after a torn one.
        for start in (starts[-_STARTS_TRIED:] + starts[:1]) if len(starts) > _STARTS_TRIED else starts:
            self._bytes_left -= end - start
            try:
                return start, self._fitting(piece[start:end])
            except LineError:
                continue
        return None

    def _fitting(self, piece: bytes) -> Record:
        """The record of one line; LineError also where its data are not what an event of its kind holds.

        An opening is kept all the same, for what it still says: `read_text` names what is wrong with it.
        """
        record = decode(piece)
        if record.kind == OPENED and record.n == 1:
            self._newer = newer(record.data.get("format"))
            return record
        try:
            record.fit(newer=self._newer)
        except Misfit as problem:
            raise LineError(str(problem)) from None
        return record

    def _junk(self, line: int, offset: int, length: int, reason: str, *, even_empty: bool = False) -> None:
        if length or even_empty:
            self.junk.append(Junk(line, offset, length, reason, len(self.found)))


def scan(data: bytes) -> Scan:
    """Every whole line of a session file; CannotRead where it has more than 200 000 lines."""
    if data.count(b"\n") > MOST_LINES:
        raise CannotRead(f"This file has more than {MOST_LINES} lines; no session is that long.")
    return Scan(data)


# Puts the whole lines of a session file in the order of their numbers and names what does not fit.

ProblemKind = Literal[
    "bad line",
    "tail",
    "merged",
    "missing",
    "repeated",
    "conflict",
    "out of order",
    "chain",
    "empty",
    "opening",
]


class Problem(msgspec.Struct, frozen=True):
    """One thing that is not as it was written."""

    kind: ProblemKind
    line: int
    """Line of the file, from 1; for missing events the line they would stand before."""
    text: str
    """One sentence."""
    healed: bool = False
    """Known and harmless: nothing is lost by it, or a later event already accounts for it."""


class Order(msgspec.Struct):
    """The records by number, and what was found on the way."""

    kept: list[Found] = []
    problems: list[Problem] = []
    missing: list[tuple[int, int]] = []
    """First and last number of each run of events that are not there."""
    breaks: list[int] = []
    """Numbers of events that do not continue the event before them."""


def put_in_order(found: Sequence[Found]) -> Order:
    """Every event once, by number; gaps, repeats, swaps and broken chains are named."""
    before = [None, *(item.record for item in found)]
    if all(follows(one, item.record) for one, item in zip(before, found, strict=False)):
        return Order(list(found))
    order = Order()
    by_number = _one_for_each_number(found, order.problems)
    order.kept = sorted(by_number.values(), key=lambda item: item.record.n)
    _name_swaps(found, by_number, order.problems)
    missing, breaks = _accounted_for(item.record for item in order.kept)
    number, crc = 0, FIRST_PREV
    for item in order.kept:
        record = item.record
        if record.n > number + 1:
            gap = (number + 1, record.n - 1)
            order.missing.append(gap)
            order.problems.append(_gap(gap, item.line, gap in missing))
        elif record.prev != crc:
            order.breaks.append(record.n)
            text = f"Line {item.line} (event {record.n}) does not continue the event before it."
            order.problems.append(Problem("chain", item.line, text, record.n in breaks))
        number, crc = record.n, record.crc
    return order


def follows(before: Record | None, after: Record) -> bool:
    """Whether `after` continues `before` with nothing between them."""
    if before is None:
        return after.n == 1 and after.prev == FIRST_PREV
    return after.n == before.n + 1 and after.prev == before.crc


def _one_for_each_number(found: Sequence[Found], problems: list[Problem]) -> dict[int, Found]:
    by_number: dict[int, Found] = {}
    for item in found:
        number = item.record.n
        first = by_number.setdefault(number, item)
        if first is item:
            continue
        if first.record == item.record:
            text = f"Line {item.line} repeats line {first.line} (event {number})."
            problems.append(Problem("repeated", item.line, text))
            continue
        before = by_number.get(number - 1)
        later_fits = before is not None and follows(before.record, item.record)
        if later_fits and before is not None and not follows(before.record, first.record):
            by_number[number] = item
        text = (
            f"Lines {first.line} and {item.line} are two different events numbered {number}; "
            f"line {by_number[number].line} is kept."
        )
        problems.append(Problem("conflict", item.line, text))
    return by_number


def _name_swaps(found: Sequence[Found], by_number: dict[int, Found], problems: list[Problem]) -> None:
    highest = 0
    for item in found:
        number = item.record.n
        if by_number[number] is not item:
            continue
        if number < highest:
            text = f"Line {item.line} (event {number}) stands after event {highest}; it was put back."
            problems.append(Problem("out of order", item.line, text))
        highest = max(highest, number)


def _gap(gap: tuple[int, int], line: int, healed: bool) -> Problem:
    first, last = gap
    what = f"Event {first} is" if first == last else f"Events {first} to {last} are"
    return Problem("missing", line, f"{what} missing before line {line}.", healed)


def _accounted_for(records: Iterable[Record]) -> tuple[set[tuple[int, int]], set[int]]:
    """Gaps and breaks that a `session.continued` event already names."""
    missing: set[tuple[int, int]] = set()
    breaks: set[int] = set()
    for record in records:
        if record.kind != CONTINUED:
            continue
        for gap in _list(record.data.get("missing")):
            if isinstance(gap, list) and len(gap) == 2 and all(type(end) is int for end in gap):
                missing.add((gap[0], gap[1]))
        breaks.update(number for number in _list(record.data.get("breaks")) if type(number) is int)
    return missing, breaks


def _list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []
