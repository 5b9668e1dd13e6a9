"""What the shelf screens need from outside."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from studio.plan.shelf import Shelf
from studio.plan.shelf_adding import Adding
from studio.plan.shelf_edit import Change
from studio.plan.shelf_places import Place
from studio.plan.shelf_told import Line
from studio.session.drawing_down import Taking


@dataclass(frozen=True, slots=True)
class ShelfSeen:
    """The shelf as its files stood when they were read."""

    shelf: Shelf
    places: Mapping[tuple[str, str], Place]
    lines: tuple[Line, ...]
    texts: Mapping[str, str]
    """The files by name, by which it is known whether somebody changed one since."""


@dataclass(frozen=True, slots=True)
class DrawDown:
    """What a finished session changes on the shelf, as it was seen."""

    session: str
    """Name of the session file without its ending."""
    title: str
    takings: tuple[Taking, ...]
    seen: ShelfSeen

    @property
    def open(self) -> tuple[Taking, ...]:
        """What is still to be decided and can be done."""
        return tuple(t for t in self.takings if t.open)


class Shelves(Protocol):
    """The shelf of one studio. Every call may raise Trouble (studio.trouble)."""

    def look(self) -> ShelfSeen: ...

    def change(self, seen: ShelfSeen, changes: Sequence[Change]) -> ShelfSeen: ...

    def unfinished(self, table: str) -> Adding | None: ...

    def keep_unfinished(self, table: str, adding: Adding | None) -> None: ...

    def users(self, table: str, name: str) -> tuple[str, ...]: ...

    def drawing(self, key: str = "") -> DrawDown: ...

    def take(self, drawn: DrawDown, chosen: Iterable[Taking]) -> DrawDown: ...

    def leave(self, drawn: DrawDown, chosen: Iterable[Taking]) -> DrawDown: ...
