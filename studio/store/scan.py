"""Finds every whole line in the bytes of a session file, whatever stands between them.

A reader that stopped at the first bad line would lose all that follows. This one goes on: each line whose
check sum holds counts, also where it lost its line feed or stands inside bytes that mean nothing.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import msgspec

from studio.session.events import OPENED, newer
from studio.session.fitting import misfit
from studio.store.errors import CannotRead, LineError
from studio.store.line import MOST_BYTES, Record, decode

MOST_LINES = 200_000
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
    ended: bool
    """Whether a line feed closed it."""


class Found(msgspec.Struct, frozen=True, gc=False):
    """A whole line and where it stands."""

    record: Record
    line: int
    offset: int
    alone: bool
    """Whether it has its physical line to itself."""


@dataclass(frozen=True, slots=True)
class Scan:
    """All that was found, in the order it stands in the file."""

    found: tuple[Found, ...]
    junk: tuple[Junk, ...]
    tail_offset: int
    """Where the part after the last line feed begins; the size of the file where there is none."""
    bom: bool
    crlf_lines: int


class _Scanner:
    def __init__(self, data: bytes) -> None:
        self.data = data
        self.found: list[Found] = []
        self.junk: list[Junk] = []
        self.crlf_lines = 0
        self.newer = False
        # What may be spent on looking inside bad lines, so that a hostile file costs seconds at most.
        self.bytes_left = 64 * 1024 * 1024

    def take(self, line: int, offset: int, end: int, ended: bool) -> None:
        piece = self.data[offset:end]
        if ended and piece.endswith(b"\r"):
            self.crlf_lines += 1
            piece = piece[:-1]
        try:
            self.found.append(Found(self._fitting(piece), line, offset, True))
        except LineError as error:
            if piece or ended:
                self._look_inside(piece, line, offset, ended, error.reason)

    def _look_inside(self, piece: bytes, line: int, offset: int, ended: bool, reason: str) -> None:
        if piece.count(0) == len(piece):
            reason = "it is empty" if not piece else "it is all zero bytes"
        done = 0
        for end in _END.finditer(piece):
            if self.bytes_left < 0:
                break
            hit = self._line_ending_at(piece, done, end.end())
            if hit is None:
                continue
            start, record = hit
            self._junk(line, offset + done, start - done, "bytes that belong to no line", False)
            self.found.append(Found(record, line, offset + start, False))
            done = end.end()
        rest = len(piece) - done
        if rest or not piece:
            self._junk(
                line, offset + done, rest, reason if not done else "bytes that belong to no line", ended, True
            )

    def _line_ending_at(self, piece: bytes, done: int, end: int) -> tuple[int, Record] | None:
        first = max(done, end - MOST_BYTES)
        self.bytes_left -= end - first
        starts = [match.start() for match in _START.finditer(piece, first, end)]
        # The outermost start is the right one in a whole line, the innermost after a torn one.
        for start in (starts[-_STARTS_TRIED:] + starts[:1]) if len(starts) > _STARTS_TRIED else starts:
            self.bytes_left -= end - start
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
        if record.kind == OPENED:
            self.newer = newer(record.data.get("format"))
        elif reason := misfit(record.kind, record.data, newer=self.newer):
            raise LineError(reason)
        return record

    def _junk(
        self, line: int, offset: int, length: int, reason: str, ended: bool, even_empty: bool = False
    ) -> None:
        if length or even_empty:
            self.junk.append(Junk(line, offset, length, reason, len(self.found), ended))


def scan(data: bytes) -> Scan:
    """Every whole line of a session file; CannotRead where it has more than 200 000 lines."""
    if data.count(b"\n") > MOST_LINES:
        raise CannotRead(f"This file has more than {MOST_LINES} lines; no session is that long.")
    scanner = _Scanner(data)
    bom = data.startswith(BOM)
    offset = len(BOM) if bom else 0
    line = 1
    while (end := data.find(b"\n", offset)) >= 0:
        scanner.take(line, offset, end, True)
        offset, line = end + 1, line + 1
    if offset < len(data):
        scanner.take(line, offset, len(data), False)
    return Scan(tuple(scanner.found), tuple(scanner.junk), offset, bom, scanner.crlf_lines)
