"""What is said, a table for each kind of it: sentences with facts in braces, told with the facts of a plan."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache, cached_property
from string import Formatter
from typing import Any, Generic, TypeVar

import msgspec

from studio.plan.shapes import Caution, Step, Timer, brief, listed
from studio.quantity.showing import show

Row = TypeVar("Row", bound=Step | Timer | Caution)


class Sayings(Generic[Row]):
    """A table, read at the first question; a row is asked for by its name."""

    def __init__(self, read: Callable[[], Mapping[str, Row]]) -> None:
        self._read = read

    @cached_property
    def _rows(self) -> dict[str, tuple[Row, tuple[str, ...]]]:
        """Each row, and which of its parts have facts in them. One that writes no id is called by its name: what
        stands there behind a space tells it from others of that id."""
        rows = {
            name: row if row.id else msgspec.structs.replace(row, id=name.partition(" ")[0])
            for name, row in self._read().items()
        }
        return {
            name: (row, tuple(part for part in row.__struct_fields__ if "{" in str(getattr(row, part))))
            for name, row in rows.items()
        }

    def __call__(self, row: str, /, **said: Any) -> Row:
        """That row. What is called as a part of it takes that part's place, all else are facts to be told."""
        found, telling = self._rows[row]
        if not said:
            return found
        told = {part: _told(getattr(found, part), said) for part in telling if part not in said}
        given = {part: value for part, value in said.items() if part in found.__struct_fields__}
        return msgspec.structs.replace(found, **told, **given)


def _told(part: Any, facts: dict[str, Any]) -> Any:
    """A sentence, or each of several."""
    if isinstance(part, tuple):
        return tuple(_told(one, facts) for one in part)
    return "".join(before + (_fact(facts, way, spec) if way else "") for before, way, spec in _pieces(part))


def _fact(facts: dict[str, Any], way: str, spec: str) -> str:
    """What is there on that way, `pot.name`: a number as a sentence tells it, a time in the words of its figure
    (`:min`), and names in a row."""
    value, _ = _FORMATTER.get_field(way, (), facts)
    if isinstance(value, list):
        return listed(value)
    if spec == "min":
        return show(value, spec)
    return brief(value) if isinstance(value, float) and not spec else format(value, spec)


@cache
def _pieces(sentence: str) -> tuple[tuple[str, str, str], ...]:
    """Of a sentence of a table: what stands before each fact, the way to it and how it is written."""
    return tuple((before, way or "", spec or "") for before, way, spec, _ in _FORMATTER.parse(sentence))


_FORMATTER = Formatter()
