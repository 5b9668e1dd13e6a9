"""Where each entry of the shelf stands in its file, and its change: one value, one entry more, one less.

Comments and everything else stay as they are. Every change is read back and held against what was meant; where the
text would say anything else, or the shelf could not read it, nothing is changed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import zip_longest
from typing import TYPE_CHECKING, Any

import msgspec

from studio.plan import shelf
from studio.plan.errors import KeyPath, PlanError, quoted
from studio.plan.keys import Keys
from studio.plan.model import Plan
from studio.plan.shelf import Shelf, folded
from studio.plan.toml import MOST_BYTES, entry_spans, line_of, lines_of, toml_table
from studio.shelf.reading import ENTRY_READERS, HABITS_FILE, LISTS

if TYPE_CHECKING:
    from studio.plan.text import PlanText


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


def place_in(found: Mapping[tuple[str, str], EntryPlace], table: str, name: str) -> EntryPlace | None:
    """That entry of them; the studio's own facts have a place before any is written."""
    if table == "studio" and (table, "") not in found:
        return EntryPlace(table=table, name="", file=FILES[table], number=1, line=None, written={}, lines={})
    return found.get((table, folded(name)))


@lru_cache(maxsize=64)
def _places_in(file: str, text: str) -> tuple[EntryPlace, ...]:
    """The entries of one file. Kept for a while: a change looks through all files, and changes one."""
    try:
        tables = toml_table(text, file=file)
    except PlanError:
        return ()
    lines = lines_of(text)
    found: list[EntryPlace] = []
    for table in (*LISTS, "habit", "studio"):
        value = tables.get(table)
        for number, row in enumerate(value if isinstance(value, list) else [value], start=1):
            if isinstance(row, dict):
                found.append(_as_it_stands(table, number, row, file, lines))
    return tuple(found)


def _as_it_stands(
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


# Who uses an entry of the shelf: plans by name, and jars of a dye.
def names_in(plan: Plan) -> frozenset[tuple[str, str]]:
    """Every shelf entry a plan may mean, by table and name; a dye may be a jar."""
    named = [colour.dye for colour in plan.colours]
    named.extend(part.dye for colour in plan.colours for part in colour.mix)
    found = {(table, folded(name)) for name in named for table in ("dye", "jar")}
    found.add(("acid", folded(plan.sour.acid)))
    found.update(("thickener", folded(c.thicken.gum)) for c in plan.colours if c.thicken)
    found.add(("base", folded(plan.fibre.base)))
    found.update(("kit", folded(item)) for item in plan.kit)
    return frozenset(pair for pair in found if pair[1])


def jars_of(shelf: Shelf, table: str, name: str) -> tuple[str, ...]:
    """Jars that hold a dye of the shelf."""
    if table != "dye":
        return ()
    return tuple(jar.name for jar in shelf.jars if folded(jar.dye) == folded(name))


class Put(msgspec.Struct, frozen=True, kw_only=True):
    """One value of an entry; None takes the key out. An empty name means the studio's own facts."""

    table: str
    name: str
    key: str
    value: Any


class Add(msgspec.Struct, frozen=True, kw_only=True):
    """One entry more."""

    table: str
    values: Mapping[str, Any]


class Remove(msgspec.Struct, frozen=True, kw_only=True):
    """One entry less; the comments above it stay."""

    table: str
    name: str


class Mark(msgspec.Struct, frozen=True, kw_only=True):
    """What a finished session has taken off one file."""

    file: str
    session: str
    ids: tuple[str, ...]


Change = Put | Add | Remove | Mark

MOST_MARKS = 300
"""Sessions a file remembers by name; all before the oldest of them count as taken off. House rule."""
BEFORE = "before"
"""The key of `[drawn]` for the last session that is no longer remembered by name."""
MARK_COMMENT = "# What finished sessions have taken off this file, so that nothing is taken off twice."


def edited(texts: Mapping[str, str], changes: Sequence[Change]) -> dict[str, str]:
    """The texts that change, by file; PlanError, one sentence, where a change cannot be made."""
    now = dict(texts)
    touched: dict[str, str] = {}
    for change, following in zip_longest(changes, changes[1:]):
        file, text = _made(now, change, following)
        now[file] = touched[file] = text
    return touched


def _made(texts: Mapping[str, str], change: Change, following: Change | None) -> tuple[str, str]:
    if isinstance(change, Mark):
        return change.file, _marked(texts.get(change.file, ""), change)
    if isinstance(change, Add):
        return _added(texts, change)
    place = _place(texts, change.table, change.name)
    if isinstance(change, Put):
        # Values of one entry that go together are read together.
        entry = (change.table, change.name)
        part = isinstance(following, Put) and (following.table, following.name) == entry
        return place.file, _put(texts, place, change, part=part)
    return place.file, _removed(texts[place.file], place)


def _place(texts: Mapping[str, str], table: str, name: str) -> EntryPlace:
    found = place_in(places(texts), table, name)
    if found is None:
        raise PlanError(f"There is no {table} {quoted(name)} on the shelf any more; look at the shelf again.")
    return found


def _put(texts: Mapping[str, str], place: EntryPlace, change: Put, *, part: bool) -> str:
    if change.key == "name" and change.table != "studio":
        raise PlanError("Plans call it by its name, so a name is changed in the files and not here.")
    text = texts.get(place.file, "")
    wanted = toml_table(text, file=place.file)
    new = _open(text, place.file)
    row = wanted.setdefault(change.table, {})
    number = place.number - 1 if isinstance(row, list) else None
    row = row if number is None else row[number]
    if change.value is None:
        new.erase(change.table, number, change.key)
        row.pop(change.key, None)
    else:
        new.write(change.table, number, change.key, change.value)
        row[change.key] = change.value
    at: KeyPath = (change.table,) if change.table == "studio" else (change.table, place.number)
    if not part:
        ENTRY_READERS[change.table](Keys(row, file=place.file, place=at))
    return _checked(new.text(), wanted, place.file)


def _open(text: str, file: str) -> PlanText:
    from studio.plan.text import PlanText  # loads tomlkit

    try:
        return PlanText(text, name=file)
    except PlanError:
        raise _not_here(file) from None


def _added(texts: Mapping[str, str], change: Add) -> tuple[str, str]:
    from studio.plan.text import toml_value

    file, table = FILES.get(change.table, HABITS_FILE), change.table
    text = texts.get(file, "")
    wanted = toml_table(text, file=file)
    rows = wanted.setdefault(table, [])
    if not isinstance(rows, list):
        raise _not_here(file)
    ENTRY_READERS[table](Keys(dict(change.values), file=file, place=(table, len(rows) + 1)))
    free_name(texts, table, str(change.values["name"]))
    spans = entry_spans(text)
    last = spans.get((table, len(rows)))
    lines = text.split("\n")
    # After the last entry of its kind and before the comments of what follows.
    at = last.last if last is not None else len(lines) - (lines[-1] == "")
    end = "\r" if "\r\n" in text else ""
    block = [
        f"[[{table}]]{end}",
        *(f"{key} = {toml_value(value)}{end}" for key, value in change.values.items()),
    ]
    before = [end] if any(line.strip() for line in lines[:at]) else []
    rows.append(dict(change.values))
    rest = lines[at:] or [""]
    return file, _checked("\n".join([*lines[:at], *before, *block, *rest]), wanted, file)


def free_name(texts: Mapping[str, str], table: str, name: str) -> None:
    """PlanError where another entry has that name."""
    there = places(texts).get((table, folded(name)))
    if there is not None:
        raise PlanError(f"The shelf has a {table} {quoted(there.name)} already; give this one another name.")


def _removed(text: str, place: EntryPlace) -> str:
    wanted = toml_table(text, file=place.file)
    rows = wanted[place.table]
    span = entry_spans(text).get((place.table, place.number))
    if span is None:
        raise _not_here(place.file)
    if isinstance(rows, list) and len(rows) > 1:
        del rows[place.number - 1]
    else:
        del wanted[place.table]
    lines = text.split("\n")
    after = span.last
    if (
        after < len(lines)
        and not lines[after].strip()
        and (span.first == 1 or not lines[span.first - 2].strip())
    ):
        after += 1
    return _checked("\n".join([*lines[: span.first - 1], *lines[after:]]), wanted, place.file)


def _marked(text: str, change: Mark) -> str:
    wanted = toml_table(text, file=change.file)
    if "drawn" not in wanted:
        gap = "" if not text.strip() else "\n" if text.endswith("\n") else "\n\n"
        text = f"{text}{gap}{MARK_COMMENT}\n[drawn]\n"
    new, row = _open(text, change.file), wanted.setdefault("drawn", {})
    table = new.place("drawn")
    ids = [*dict.fromkeys((*row.get(change.session, ()), *change.ids))]
    table[change.session] = ids
    row[change.session] = ids
    sessions = sorted(key for key in row if key != BEFORE)
    for old in sessions[: max(0, len(sessions) - MOST_MARKS)]:
        table[BEFORE] = row[BEFORE] = [old]
        del table[old], row[old]
    return _checked(new.text(), wanted, change.file)


def _checked(text: str, wanted: Mapping[str, Any], file: str) -> str:
    """The text, once it is known to say what was meant and nothing else."""
    if len(text.encode("utf-8", "surrogatepass")) > MOST_BYTES:
        raise PlanError(
            f"{file}: is full ({MOST_BYTES // 1024} KiB); take out what is no longer there first."
        )
    try:
        said = toml_table(text, file=file)
    except PlanError:
        raise _not_here(file) from None
    if said != wanted:
        raise _not_here(file)
    return text


def _not_here(file: str) -> PlanError:
    return PlanError(f"{file}: cannot be changed here and keep its comments; change it in the file itself.")
