"""What the process says when it ends."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

OK = 0
PROBLEM = 1
USAGE = 2
UNREADABLE = 3
CANNOT_SAVE = 4
INTERRUPTED = 130


class Trouble(Exception):
    """`str()` of it is one sentence for the person: what, where, what to do. What any room refuses is one of these."""

    exit_code = PROBLEM

    def __init__(self, sentence: str, exit_code: int | None = None) -> None:
        super().__init__(sentence)
        if exit_code is not None:
            self.exit_code = exit_code


NOT_SAVED = "NOT SAVED"
"""How a sentence begins that tells of entries on no disk."""


class Options(NamedTuple):
    """What was asked for on the command line, whatever the command."""

    studio_dir: Path | None
    ascii_only: bool
    theme: str
    may_make: Callable[[Path], bool] = lambda root: False
    """Asked where the studio that was named is not there yet."""
