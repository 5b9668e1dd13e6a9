"""Where lines come from, with a limit on the wait, so that alarms are told while nothing is typed."""

from __future__ import annotations

import contextlib
import queue
import signal
import sys
import threading
import time
from collections import deque
from collections.abc import Callable, Iterator
from enum import Enum

LONGEST_LINE = 64_000
"""Bytes of a line that are looked at. House rule: far above the longest note, far below memory."""
AT_ONCE = 65_536
"""Bytes that are read at a time; a few such pieces are read ahead. House rule."""
BUSY_S = 0.05
"""How long to wait for a stream that has nothing yet and says so at once. House rule."""


class Arrival(Enum):
    """What came in place of a line."""

    NOTHING_YET = "nothing yet"
    END = "end"


class Stopped(Exception):
    """A signal asked the program to end; raised only between two lines, never while something is saved."""

    def __init__(self, number: int) -> None:
        super().__init__(f"stopped by signal {number}")
        self.number = number


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


class Lines:
    """The lines of a stream; a thread reads ahead, so that nothing waits for keys but `next`, and that not for long."""

    def __init__(self, read: Callable[[], bytes | None], *, by_hand: bool = False) -> None:
        """`read` gives some bytes when there are any, none at the end, None where it would have to wait.

        by_hand: whether keys make the lines, so that one may be struck twice or held down.
        """
        self.by_hand = by_hand
        self._cutter = LineCutter()
        self._pieces: queue.Queue[bytes] = queue.Queue(maxsize=8)
        self._ended = False
        self._stopped_by: int | None = None
        threading.Thread(target=self._pump, args=(read,), name="potside-lines", daemon=True).start()

    @property
    def unfinished(self) -> str:
        """What stood after the last line ending when the lines ended; it was not taken."""
        return self._cutter.unfinished

    def stop_for(self, number: int, frame: object = None) -> None:
        """A signal handler; does nothing but remember, until the next look for a line."""
        self._stopped_by = number

    def next(self, wait_s: float) -> str | Arrival:
        """The next line without its ending, waiting up to `wait_s` seconds for its next piece. Stopped on a signal."""
        self._check()
        line = self._cutter.take()
        # One piece a time: a stream without line endings must not hold up the clocks.
        if line is None and not self._ended:
            with contextlib.suppress(queue.Empty):
                self._take_in(self._pieces.get(timeout=wait_s))
            line = self._cutter.take()
        self._check()
        if line is not None:
            return line
        return Arrival.END if self._ended else Arrival.NOTHING_YET

    def rest(self, wait_s: float) -> None:
        """Let `wait_s` seconds pass and leave all lines where they are. Stopped on a signal."""
        time.sleep(wait_s)
        self._check()

    def _check(self) -> None:
        if self._stopped_by is not None:
            raise Stopped(self._stopped_by)

    def _take_in(self, piece: bytes) -> None:
        self._cutter.feed(piece)
        if not piece:
            self._ended = True
            self._cutter.end()

    def _pump(self, read: Callable[[], bytes | None]) -> None:
        piece: bytes | None = None
        while piece != b"":
            try:
                piece = read()
            except (OSError, ValueError):  # the terminal is gone
                piece = b""
            if piece is None:
                time.sleep(BUSY_S)
            else:
                self._pieces.put(piece)


def stdin_lines() -> Lines:
    """The lines of standard input; a closed one has ended at once."""
    stream = getattr(sys.stdin, "buffer", None)
    if stream is None:
        return Lines(lambda: b"")
    # Read past the buffer: its lock, held by a thread that waits, would stop the program from ending.
    raw = getattr(stream, "raw", stream)
    return Lines(lambda: raw.read(AT_ONCE), by_hand=sys.stdin.isatty())


@contextlib.contextmanager
def stopping_cleanly(lines: Lines) -> Iterator[None]:
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
