"""What the dyer asked for cannot be had: one sentence, and the exit code it leads to."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from studio.exit_codes import PROBLEM


class Trouble(Exception):
    """`str()` of it is one sentence for the person: what, where, what to do."""

    def __init__(self, sentence: str, exit_code: int = PROBLEM) -> None:
        super().__init__(sentence)
        self.exit_code = exit_code


NOT_SAVED = "NOT SAVED"
"""How a sentence begins that tells of entries on no disk."""


@dataclass(frozen=True, slots=True)
class Options:
    """What was asked for on the command line, whatever the command."""

    studio_dir: Path | None
    ascii_only: bool
    theme: str
