"""What the plan screen needs from outside: plan files read and saved, unsaved edits kept, plans to begin from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from studio.plan.shelf import Shelf
from studio.trouble import Trouble


class ChangedMeanwhile(Trouble):
    """The file is not what it was when it was opened; nothing was written."""


@dataclass(frozen=True, slots=True)
class PlanFile:
    """A plan file as it was read, and the unsaved edits of an earlier time, if there are any."""

    key: str
    name: str
    text: str
    digest: str
    """Of the bytes of the file; empty where there is no file yet."""
    unsaved: str = ""
    """The text of edits that were never saved."""
    unsaved_since: str = ""
    """When they were last kept, `2026-11-25 14:32`."""


@dataclass(frozen=True, slots=True)
class Beginning:
    """A plan to begin from."""

    title: str
    about: str
    text: str


class PlanFiles(Protocol):
    """Every call may raise Trouble (studio.trouble)."""

    @property
    def shelf(self) -> Shelf: ...

    def read(self, key: str) -> PlanFile: ...

    def save(self, file: PlanFile, text: str, *, over: bool = False) -> PlanFile: ...

    def save_as(self, title: str, text: str) -> PlanFile: ...

    def keep_unsaved(self, file: PlanFile, text: str) -> None: ...

    def forget_unsaved(self, file: PlanFile) -> None: ...

    def beginnings(self) -> Sequence[Beginning]: ...
