"""Lines on standard output, with the bell at the end of the line it belongs to."""

from __future__ import annotations

import errno
import sys
from typing import TextIO

from studio.plaintext import ELLIPSIS

BEL = "\a"
FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
"""The lines go to a file, and the disk takes no more; nobody went away."""


class Printer:
    """Says lines on a stream that may be a pipe, a serial terminal or a screen reader.

    A character the stream cannot carry is replaced, never a reason to fail. A stream that is gone is a
    BrokenPipeError, whatever the system calls it; a full disk is an OSError.
    """

    def __init__(self, stream: TextIO | None = None, *, ascii_only: bool = False) -> None:
        self._stream = sys.stdout if stream is None else stream
        named = getattr(self._stream, "encoding", None) or "ascii"
        self._encoding = "ascii" if ascii_only else named
        self._bell = ""

    def say(self, line: str) -> None:
        """One line, at once."""
        plain = line
        try:
            line.encode(self._encoding)
        except (UnicodeEncodeError, LookupError):
            plain = line.replace(ELLIPSIS, "...").encode("ascii", "replace").decode("ascii")
        try:
            self._stream.write(f"{plain}{self._bell}\n")
            self._stream.flush()
        except BrokenPipeError:
            raise
        except OSError as gone:
            if gone.errno in FULL:
                raise
            raise BrokenPipeError(str(gone)) from gone
        self._bell = ""

    def ring(self, priority: str, text: str, escalated: bool) -> None:
        """The bell sounds with the line that is said next, so that no line begins with it."""
        self._bell = BEL
