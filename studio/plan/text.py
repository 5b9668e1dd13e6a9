"""The text of a plan, changed key by key; comments, order and spacing stay as the dyer wrote them."""

from __future__ import annotations

from collections.abc import MutableMapping
from typing import Any, cast

import tomlkit
from tomlkit.container import Container
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Array, Item
from tomlkit.items import Table as WholeTable

from studio.plan.errors import PlanError

Table = MutableMapping[str, Any]


class PlanText:
    """A plan that was read once already, so that its tables are known to be tables."""

    def __init__(self, text: str, *, name: str) -> None:
        """PlanError where the text cannot be taken apart without losing its comments."""
        self.name = name
        try:
            self._document = tomlkit.parse(text)
        except (TOMLKitError, ValueError) as error:
            raise PlanError(
                f"{name}: cannot be edited and keep its comments; write it in plain TOML."
            ) from error

    def text(self) -> str:
        """As TOML, as it stands now."""
        return tomlkit.dumps(self._document)

    def place(self, table: str, row: int | None = None) -> Table:
        """A table by name, one of several by its number from 0, or the top of the file (the empty name).

        A new one at the end where there is none.
        """
        if not table:
            return cast(Table, self._document)
        if table not in self._document:
            self._document[table] = tomlkit.table()
        found = cast(Any, self._document[table])
        return cast(Table, found if row is None else found[row])

    def write(self, table: str, row: int | None, key: str, value: Any) -> None:
        """Write a key of any kind: text, numbers, lists of tables; comments stay where they can."""
        into = self.place(table, row)
        now = into.get(key)
        if isinstance(value, list) and isinstance(now, Array):
            change_list(now, value)
        elif isinstance(value, dict) and isinstance(now, WholeTable):
            for name in [name for name in now if name not in value]:
                del now[name]
            for name, part in value.items():
                put(cast(Table, now), name, part)
        else:
            if isinstance(now, AoT | WholeTable):
                del into[key]
            put(into, key, _item(value))

    def erase(self, table: str, row: int | None, key: str) -> None:
        """Take a key out, if it is there."""
        if table and table not in self._document:
            return
        into = self.place(table, row)
        if key in into:
            del into[key]

    def drop_table(self, table: str) -> None:
        """Take a whole table out, if it is there."""
        if table in self._document:
            del self._document[table]

    def add_row(self, table: str, keys: dict[str, Any]) -> None:
        """One more table of a list of tables, after the last one."""
        rows = self._document[table]
        if isinstance(rows, AoT):
            new = tomlkit.table()
            for key, value in keys.items():
                new.append(key, _item(value))
            new.add(tomlkit.nl())
            _end_with_blank_line(rows[-1])
            rows.append(new)
        else:
            cast("list[Any]", rows).append(_item(keys))

    def remove_row(self, table: str, row: int) -> None:
        """Take one of a list of tables out."""
        del cast("list[Any]", self._document[table])[row]

    def comment(self, table: str, key: str, words: str) -> None:
        """Add to the comment behind a key, if the key is there and can have one."""
        place = self.place(table)
        item = place.get(key)
        if not isinstance(item, Item) or not isinstance(place, WholeTable):
            return
        before = item.trivia.comment.lstrip("# ").strip()
        item.comment(f"{before}; {words}" if before else words)
        item.trivia.comment_ws = "  "

    def comment_at_top(self, words: str) -> None:
        """A comment line before everything else."""
        self._document = tomlkit.parse(f"# {words}\n{self.text()}")


def put(table: Table, key: str, value: Any) -> None:
    """Write a key of any table, after its last one; a value that is the same stays as it was typed."""
    if key in table:
        if table[key] != value:
            table[key] = value
        return
    last = _last_plain_key(table)
    if isinstance(table, WholeTable) and last is not None:
        # An ordinary assignment would put the key behind the comment that belongs to the next table.
        table.value._insert_after(last, key, value)
    elif isinstance(table, Container) and last is not None:
        table._insert_after(last, key, value)
    else:
        table[key] = value


def toml_value(value: Any) -> str:
    """A value as TOML writes it on one line."""
    return str(tomlkit.item(_item(value)).as_string())


def change_list(now: Array, wanted: list[Any]) -> None:
    """Make a list the one that is wanted; what is alike at both ends stays as it was written."""
    old = now.unwrap()
    head = 0
    while head < min(len(old), len(wanted)) and old[head] == wanted[head]:
        head += 1
    tail = 0
    while tail < min(len(old), len(wanted)) - head and old[-1 - tail] == wanted[-1 - tail]:
        tail += 1
    middle = wanted[head : len(wanted) - tail]
    both = min(len(old) - tail - head, len(middle))
    for offset in range(both):
        now[head + offset] = _item(middle[offset])
    for _ in range(len(old) - tail - head - both):
        del now[head + both]
    for offset, value in enumerate(middle[both:], start=both):
        now.insert(head + offset, _item(value))


def _item(value: Any) -> Any:
    """As it is written within a line: tables in braces, lists of them in brackets."""
    if isinstance(value, dict):
        inline = tomlkit.inline_table()
        for key, part in value.items():
            inline.append(key, _item(part))
        return inline
    if isinstance(value, list):
        array = tomlkit.array()
        for part in value:
            array.append(_item(part))
        return array
    return value


def _end_with_blank_line(table: Any) -> None:
    if isinstance(table, WholeTable) and not table.as_string().endswith("\n\n"):
        table.add(tomlkit.nl())


def _last_plain_key(table: Table) -> str | None:
    """The last key that is no table of its own: what comes after one of those belongs to it."""
    keys = [key for key, value in table.items() if not isinstance(value, WholeTable | AoT)]
    return keys[-1] if keys else None
