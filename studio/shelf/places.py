"""Where each entry of the shelf stands, word for word, and which plans and jars use it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

import msgspec

from studio.plan import shelf
from studio.plan.errors import PlanError
from studio.plan.model import Plan
from studio.plan.shelf import Shelf
from studio.plan.toml import line_of, lines_of, toml_table
from studio.shelf.reading import ENTRIES

# Where each entry of the shelf stands: its file, its lines, and what is written there word for word.

FILES = {table: file for file, table in shelf.FILES.items()}
"""Where a new entry goes."""


class EntryPlace(msgspec.Struct, frozen=True, kw_only=True):
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


def places(texts: Mapping[str, str]) -> dict[tuple[str, str], EntryPlace]:
    """Entries by table and name in lower case; of two with one name the first, as the shelf reads them.

    Files that are no TOML are left out: the shelf has said so.
    """
    found: dict[tuple[str, str], EntryPlace] = {}
    for file, text in texts.items():
        for place in _places_in(file, text):
            found.setdefault((place.table, folded(place.name)), place)
    return found


@lru_cache(maxsize=64)
def _places_in(file: str, text: str) -> tuple[EntryPlace, ...]:
    """The entries of one file. Kept for a while: a change looks through all files, and changes one."""
    try:
        tables = toml_table(text, file=file)
    except PlanError:
        return ()
    lines = lines_of(text)
    found: list[EntryPlace] = []
    for table in (*ENTRIES, "studio"):
        value = tables.get(table)
        for number, row in enumerate(value if isinstance(value, list) else [value], start=1):
            if isinstance(row, dict):
                found.append(_place(table, number, row, file, lines))
    return tuple(found)


def _place(
    table: str, number: int, row: Mapping[str, Any], file: str, lines: Mapping[str, int]
) -> EntryPlace:
    at = f"{table}[{number}]"
    return EntryPlace(
        table=table,
        name="" if table == "studio" else str(row.get("name", "")),
        file=file,
        number=number,
        line=line_of((table, number), lines),
        written=row,
        lines={key: lines[f"{at}.{key}"] for key in row if f"{at}.{key}" in lines},
    )


def folded(name: str) -> str:
    """A name as entries are looked up by it."""
    return name.strip().casefold()


# Who uses an entry of the shelf: plans by name, and jars of a dye.


def names_in(plan: Plan) -> frozenset[tuple[str, str]]:
    """Every shelf entry a plan may mean, by table and name; a dye may be a jar."""
    named = [colour.dye for colour in plan.colours]
    named.extend(part.dye for colour in plan.colours for part in colour.mix)
    found = {(table, folded(name)) for name in named for table in ("dye", "jar")}
    found.add(("acid", folded(plan.sour.acid)))
    found.add(("base", folded(plan.fibre.base)))
    found.update(("kit", folded(item)) for item in plan.kit)
    return frozenset(pair for pair in found if pair[1])


def jars_of(shelf: Shelf, table: str, name: str) -> tuple[str, ...]:
    """Jars that hold a dye of the shelf."""
    if table != "dye":
        return ()
    return tuple(jar.name for jar in shelf.jars if folded(jar.dye) == folded(name))
