"""Where lines come from, with a limit on the wait, so that alarms are told while nothing is typed."""

from __future__ import annotations

import contextlib
import difflib
import os
import queue
import re
import select
import signal
import sys
import threading
import time
from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from typing import BinaryIO, Protocol

LONGEST_LINE = 64_000
"""Bytes of a line that are looked at. House rule: far above the longest note, far below memory."""


class Arrival(Enum):
    """What came in place of a line."""

    NOTHING_YET = "nothing yet"
    END = "end"


class Stopped(Exception):
    """A signal asked the program to end; raised only between two lines, never while something is saved."""

    def __init__(self, number: int) -> None:
        super().__init__(f"stopped by signal {number}")
        self.number = number


class Lines(Protocol):
    """A source of lines."""

    by_hand: bool
    """Whether keys make the lines, so that one may be struck twice or held down."""

    @property
    def unfinished(self) -> str:
        """What stood after the last line ending when the lines ended; it was not taken."""
        ...

    def next(self, wait_s: float) -> str | Arrival:
        """The next line without its ending, waiting up to `wait_s` seconds for it. Stopped on a signal."""
        ...

    def rest(self, wait_s: float) -> None:
        """Let `wait_s` seconds pass and leave all lines where they are. Stopped on a signal."""
        ...


class LineCutter:
    """Bytes in, lines out; bytes that are no UTF-8 become the replacement character.

    What follows the last line ending when the input ends was never finished and is not a line: an answer
    that broke off must not become a record.

    >>> cutter = LineCutter()
    >>> cutter.feed(b"41.5 g\\r\\nno"); cutter.feed(b"te\\nhal"); cutter.end()
    >>> [cutter.take(), cutter.take(), cutter.take(), cutter.unfinished]
    ['41.5 g', 'note', None, 'hal']
    """

    def __init__(self) -> None:
        self._lines: deque[str] = deque()
        self._begun = bytearray()
        self.unfinished = ""

    def feed(self, piece: bytes) -> None:
        """Take bytes in as they come."""
        *whole, rest = piece.split(b"\n")
        for part in whole:
            self._grow(part)
            self._lines.append(_text(self._begun))
            self._begun.clear()
        self._grow(rest)

    def _grow(self, part: bytes) -> None:
        self._begun += part[: max(0, LONGEST_LINE - len(self._begun))]

    def end(self) -> None:
        """No more bytes come."""
        self.unfinished = _text(self._begun)
        self._begun.clear()

    def take(self) -> str | None:
        """The next whole line, if there is one."""
        return self._lines.popleft() if self._lines else None


def _text(raw: bytes | bytearray) -> str:
    return raw.decode("utf-8", "replace").rstrip("\r")


class _Stoppable:
    """Remembers a signal until the next look for a line."""

    by_hand = False

    def __init__(self) -> None:
        self.cutter = LineCutter()
        self._stopped_by: int | None = None

    @property
    def unfinished(self) -> str:
        return self.cutter.unfinished

    def stop_for(self, number: int, frame: object = None) -> None:
        """A signal handler; does nothing but remember."""
        self._stopped_by = number

    def rest(self, wait_s: float) -> None:
        time.sleep(wait_s)
        self._check()

    def _check(self) -> None:
        if self._stopped_by is not None:
            raise Stopped(self._stopped_by)


class DescriptorLines(_Stoppable):
    """Lines from a terminal, a pipe or a file of a system where `select` can wait for them."""

    def __init__(self, descriptor: int) -> None:
        super().__init__()
        self.by_hand = os.isatty(descriptor)
        self._descriptor = descriptor
        self._ended = False

    def next(self, wait_s: float) -> str | Arrival:
        self._check()
        line = self.cutter.take()
        if line is None and not self._ended:
            self._read(wait_s)
            self._check()
            line = self.cutter.take()
        if line is not None:
            return line
        return Arrival.END if self._ended else Arrival.NOTHING_YET

    def _read(self, wait_s: float) -> None:
        try:
            ready, _, _ = select.select([self._descriptor], [], [], wait_s)
            piece = os.read(self._descriptor, 65_536) if ready else None
        except (OSError, ValueError):  # the terminal is gone
            piece = b""
        if piece == b"":
            self._ended = True
            self.cutter.end()
        elif piece:
            self.cutter.feed(piece)


class ThreadedLines(_Stoppable):
    """Lines from a stream that `select` cannot wait for; a thread reads ahead."""

    def __init__(self, stream: BinaryIO, *, by_hand: bool = False) -> None:
        super().__init__()
        self.by_hand = by_hand
        self._pieces: queue.SimpleQueue[bytes] = queue.SimpleQueue()
        self._ended = False
        threading.Thread(target=self._pump, args=(stream,), daemon=True).start()

    def _pump(self, stream: BinaryIO) -> None:
        piece = b"-"
        while piece:
            try:
                piece = stream.readline(LONGEST_LINE)
            except (OSError, ValueError):
                piece = b""
            self._pieces.put(piece)

    def next(self, wait_s: float) -> str | Arrival:
        self._check()
        line = self.cutter.take()
        with contextlib.suppress(queue.Empty):
            while line is None and not self._ended:
                piece = self._pieces.get(timeout=wait_s)
                self._ended = not piece
                self.cutter.feed(piece)
                line = self.cutter.take()
        self._check()
        if line is not None:
            return line
        if self._ended:
            self.cutter.end()
        return Arrival.END if self._ended else Arrival.NOTHING_YET


def stdin_lines() -> DescriptorLines | ThreadedLines:
    """The lines of standard input; a closed one has ended at once."""
    import io

    if sys.stdin is None:
        return ThreadedLines(io.BytesIO())
    try:
        descriptor = sys.stdin.fileno()
        select.select([descriptor], [], [], 0)
    except (OSError, ValueError):
        stream = getattr(sys.stdin, "buffer", None) or io.BytesIO()
        return ThreadedLines(stream, by_hand=sys.stdin.isatty())
    return DescriptorLines(descriptor)


@contextlib.contextmanager
def stopping_cleanly(lines: DescriptorLines | ThreadedLines) -> Iterator[None]:
    """Let Ctrl+C, SIGTERM and a closed terminal end the session between two lines, as `Stopped`."""
    before = {}
    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)
        if number is not None:
            with contextlib.suppress(ValueError, OSError):  # not in the main thread
                before[number] = signal.signal(number, lines.stop_for)
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


# What a line asks for: a command with the rest of its line, or an answer to the step.

ALONE = (
    "done", "heard", "why", "correct", "time", "list", "bell", "wait", "help", "leave",
    "steam", "bands", "packets",
)  # fmt: skip
"""Words that make a whole line."""
KEPT = ("earlier", "photo", "swatch", "dropper", "pot", "undo")
"""Words for what is kept beside the steps, or taken back; where a reason is asked for they may begin it."""
WITH_TEXT = (
    *KEPT, "note", "override", "skip", "not measured", "later", "more", "less", "ran", "give up",
    "reading", "refill", "acid", "mix", "jar", "band", "packet in", "packet out", "again",
)  # fmt: skip
"""Words that go on with a text, a number or a reason; alone they ask for it."""
IN_A_QUESTION = ("heard", "later", "time", "help", "leave")
"""Words that mean themselves, alone in a line, also while something else is being asked."""

_FIRST = re.compile(
    r"(not\s+measured|give\s+up|packet\s+(?:in|out)|[a-z]+)(?:\s+(.*))?", re.IGNORECASE | re.DOTALL
)


@dataclass(frozen=True, slots=True)
class Asked:
    """A command of a line."""

    word: str
    rest: str


def read_line(text: str, *, free_text: bool = False) -> Asked | None:
    """The command a line begins with, or None where the line is an answer.

    `free_text`: the step wants an answer in the dyer's own words; a sentence that only happens to begin
    with a word of `ALONE` or `KEPT` is then that answer ("leave it damp, tried before").

    >>> read_line("note  pot was late")
    Asked(word='note', rest='pot was late')
    >>> read_line("Not  measured scale is flat")
    Asked(word='not measured', rest='scale is flat')
    >>> read_line("41.5 g") is None, read_line("undo it all", free_text=True) is None
    (True, True)
    """
    found = _FIRST.fullmatch(text.strip())
    if found is None:
        return None
    word = " ".join(found[1].casefold().split())
    rest = (found[2] or "").strip()
    if word not in (*ALONE, *WITH_TEXT) or (rest and free_text and word in (*ALONE, *KEPT)):
        return None
    return Asked(word, rest)


def nearest(text: str) -> str:
    """The command that was probably meant by a line that is none; empty where nothing is near.

    >>> nearest("nott late"), nearest("41.5")
    ('note', '')
    """
    first = text.split(maxsplit=1)[0][:20].casefold() if text.split() else ""
    near = difflib.get_close_matches(first, (*ALONE, *WITH_TEXT), n=1, cutoff=0.7)
    return near[0] if near else ""
