"""What is said, a table for each kind of it: sentences with facts in braces, told with the facts of a plan."""

from __future__ import annotations

import string
from collections.abc import Callable, Mapping
from functools import cached_property
from typing import Any, Generic, TypeVar

import msgspec

from studio.plan.shapes import brief, listed

Row = TypeVar("Row", bound=msgspec.Struct)


class Sayings(Generic[Row]):
    """A table, read at the first question; a row is asked for by its name."""

    def __init__(self, read: Callable[[], Mapping[str, Row]]) -> None:
        self._read = read

    @cached_property
    def _rows(self) -> dict[str, tuple[Row, tuple[str, ...]]]:
        """Each row, and which of its parts have facts in them."""
        return {
            name: (row, tuple(part for part in row.__struct_fields__ if "{" in str(getattr(row, part))))
            for name, row in self._read().items()
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
    return _FACTS.vformat(part, (), facts)


class _Facts(string.Formatter):
    """A number as a sentence tells it, and names in a row."""

    def format_field(self, value: Any, format_spec: str) -> str:
        if isinstance(value, list):
            return listed(value)
        if isinstance(value, float) and not format_spec:
            return brief(value)
        told: str = super().format_field(value, format_spec)
        return told


_FACTS = _Facts()
