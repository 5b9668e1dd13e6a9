"""The text of a plan, changed key by key; comments, order and spacing stay as the dyer wrote them."""

from __future__ import annotations

from collections.abc import Mapping, MutableMapping, Sequence
from typing import Any, cast

import tomlkit
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

    def table(self, name: str) -> Table:
        """A table of the plan; a new one at the end where there is none."""
        if name not in self._document:
            self._document[name] = tomlkit.table()
        return cast(Table, self._document[name])

    def colours(self) -> list[Table]:
        """The [[colour]] tables, in order."""
        return cast("list[Table]", self._document["colour"])

    def put(self, table: str, key: str, value: str | float) -> None:
        """Write a key; its comment stays."""
        put(self.table(table), key, value)

    def drop(self, table: str, key: str) -> None:
        """Take a key out, if it is there."""
        if table in self._document and key in self.table(table):
            del self.table(table)[key]

    def put_bands(self, bands: Sequence[Mapping[str, str | int]]) -> None:
        """Write the order of the layout anew, one band a line."""
        order = tomlkit.array()
        for band in bands:
            told = tomlkit.inline_table()
            told.update(band)
            order.append(told)
        layout = self.table("layout")
        if "order" in layout and not isinstance(layout["order"], AoT):
            layout["order"] = order.multiline(True)
            return
        # [[layout.order]], or none yet: a key has to stand before the tables inside its own.
        self.drop("layout", "order")
        put(layout, "order", order.multiline(True))

    def comment(self, table: str, key: str, words: str) -> None:
        """Add to the comment behind a key, if the key is there and can have one."""
        item = self.table(table).get(key)
        if not isinstance(item, Item) or not isinstance(self.table(table), WholeTable):
            return
        before = item.trivia.comment.lstrip("# ").strip()
        item.comment(f"{before}; {words}" if before else words)
        item.trivia.comment_ws = "  "

    def comment_at_top(self, words: str) -> None:
        """A comment line before everything else."""
        self._document = tomlkit.parse(f"# {words}\n{self.text()}")


def put(table: Table, key: str, value: str | float | Array) -> None:
    """Write a key of any table, after its last one; a value that is the same stays as it was typed."""
    if key in table:
        if table[key] != value:
            table[key] = value
        return
    last = _last_plain_key(table)
    if isinstance(table, WholeTable) and last is not None:
        # An ordinary assignment would put the key behind the comment that belongs to the next table.
        table.value._insert_after(last, key, value)
    else:
        table[key] = value


def _last_plain_key(table: Table) -> str | None:
    """The last key that is no table of its own: what comes after one of those belongs to it."""
    keys = [key for key, value in table.items() if not isinstance(value, WholeTable | AoT)]
    return keys[-1] if keys else None
