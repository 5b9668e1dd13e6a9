"""Where in a plan something is: a table, one of several of its kind, a key; and the way there from a sentence."""

from __future__ import annotations

import re
from typing import Any

import msgspec

from studio.plan.fields import field_of, section_of

_NUMBERED = re.compile(r"colour\[([0-9]+)\](?:\.(.*))?")
_ROW_OF = re.compile(r"\[[0-9]+\].*")


class Place(msgspec.Struct, frozen=True):
    """One key of a plan."""

    table: str
    """Empty for the top of the file."""
    row: int | None
    """Which of several tables of that name, from 0."""
    key: str

    @property
    def told(self) -> str:
        """As a sentence names it."""
        return f"{self.table}.{self.key}" if self.table else self.key


def name_of_row(row: object) -> str:
    """The name of a [[colour]] table; empty where it has none."""
    name = row.get("name") if isinstance(row, dict) else None
    return name if isinstance(name, str) else ""


def place_of(where: str, data: dict[str, Any]) -> Place | None:
    """The field a caution or a refusal is about; None where it is about no field.

    where: a key as cautions and refusals name it, `colour.rust.dye`, `colour[2].name`, `layout.order[1].rows`.
    data: the plan file as TOML gives it; it says which colour has which name.

    >>> place_of("colour.rust.dye", {"colour": [{"name": "kelp"}, {"name": "rust"}]})
    Place(table='colour', row=1, key='dye')
    """
    if not where:
        return None
    if where.startswith("colour"):
        return _in_colours(where, data)
    table, _, key = where.partition(".")
    if not key and section_of(table) is None:
        table, key = "", table
    key = _ROW_OF.sub("", key).split(".")[0]
    section = section_of(table)
    if section is None:
        return None
    if table == "layout":
        key = "order"
    return Place(table, None, key if field_of(table, key) else section.fields[0].key)


def _in_colours(where: str, data: dict[str, Any]) -> Place:
    rows = data.get("colour")
    names = [name_of_row(row) for row in rows] if isinstance(rows, list) else []
    numbered = _NUMBERED.fullmatch(where)
    row, rest = 0, ""
    if numbered:
        row, rest = int(numbered[1]) - 1, numbered[2] or ""
    else:
        told = where.removeprefix("colour.")
        # The longest name first: one colour's name may begin with another's.
        for name in sorted(names, key=len, reverse=True):
            if name and (told == name or told.startswith(f"{name}.")):
                row, rest = names.index(name), told[len(name) + 1 :]
                break
        else:
            rest = told if told != where else ""
    key = _ROW_OF.sub("", rest).split(".")[0]
    default = "dye" if rest else "name"
    if not rest and rows and isinstance(rows, list) and row < len(rows) and isinstance(rows[row], dict):
        default = "mix" if "mix" in rows[row] else "dye"
    return Place("colour", min(row, max(0, len(names) - 1)), key if field_of("colour", key) else default)
