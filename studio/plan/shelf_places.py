"""Where each entry of the shelf stands: its file, its lines, and what is written there word for word."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import msgspec

from studio.plan.errors import PlanError
from studio.plan.shelf_reading import ENTRIES
from studio.plan.toml_lines import line_of, lines_of
from studio.plan.toml_text import toml_table

FILES = {
    "dye": "dyes.toml",
    "acid": "acids.toml",
    "base": "bases.toml",
    "kit": "kit.toml",
    "jar": "jars.toml",
    "studio": "studio.toml",
}
"""Where a new entry goes."""


class Place(msgspec.Struct, frozen=True, kw_only=True):
    """One entry as it stands in its file."""

    table: str
    name: str
    file: str
    number: int
    """Place among the entries of its table in that file, from 1."""
    line: int | None
    written: Mapping[str, Any]
    """Its keys and values as TOML gives them."""
    lines: Mapping[str, int]
    """The line of each key, where it has one."""


def places(texts: Mapping[str, str]) -> dict[tuple[str, str], Place]:
    """Entries by table and name in lower case; of two with one name the first, as the shelf reads them.

    Files that are no TOML are left out: the shelf has said so.
    """
    found: dict[tuple[str, str], Place] = {}
    for file, text in texts.items():
        try:
            tables = toml_table(text, file=file)
        except PlanError:
            continue
        lines = lines_of(text)
        for table in (*ENTRIES, "studio"):
            value = tables.get(table)
            for number, row in enumerate(value if isinstance(value, list) else [value], start=1):
                if not isinstance(row, dict):
                    continue
                name = "" if table == "studio" else str(row.get("name", ""))
                at = f"{table}[{number}]"
                place = Place(
                    table=table,
                    name=name,
                    file=file,
                    number=number,
                    line=line_of(at, lines),
                    written=row,
                    lines={key: lines[f"{at}.{key}"] for key in row if f"{at}.{key}" in lines},
                )
                found.setdefault((table, folded(name)), place)
    return found


def folded(name: str) -> str:
    """A name as entries are looked up by it."""
    return name.strip().casefold()
