"""The shelf of one studio folder: looked at, changed, and drawn down by finished sessions."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from studio.plan.shelf import Shelf
from studio.plan.shelf_places import Place, places
from studio.plan.shelf_reading import read_shelf, read_texts
from studio.plan.shelf_told import Line, lines_of_shelf


@dataclass(frozen=True, slots=True)
class ShelfSeen:
    """The shelf as its files stand now."""

    shelf: Shelf
    places: Mapping[tuple[str, str], Place]
    lines: tuple[Line, ...]
    texts: Mapping[str, str]


class ShelfBook:
    """The shelf files of a studio folder."""

    def __init__(self, shared: Path, today: Callable[[], str]) -> None:
        self._shared = shared
        self._today = today

    def look(self) -> ShelfSeen:
        """Read anew, so that what was changed by hand meanwhile is seen."""
        texts, remarks = read_texts(self._shared)
        shelf = read_shelf(texts, remarks, self._today())
        found = places(texts)
        return ShelfSeen(shelf, found, lines_of_shelf(shelf, found), texts)
