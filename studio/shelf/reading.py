"""Shelf files to Shelf: a bad entry is left out and remarked on, the rest still loads."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from studio.plaintext import clean
from studio.plan.errors import PlanError, in_file, quoted, write
from studio.plan.fields import Field, row
from studio.plan.keys import READERS, Keys, Reader
from studio.plan.shelf import (
    Jar,
    KitItem,
    LeftOut,
    Looks,
    Price,
    Shelf,
    ShelfAcid,
    ShelfBase,
    ShelfDye,
    ShelfThickener,
    StudioFacts,
    entry_called,
    hex_of,
    read_day,
    read_looks,
)
from studio.plan.toml import line_of, lines_of, read_text, toml_table
from studio.shelf.keys import SHELF_TABLES, on_shelf_screen
from studio.tables.finding import (
    REACTIVE,
    find_acid,
    find_class,
    find_dye,
    find_fibre,
    find_thickener,
    is_reactive,
    meant,
)
from studio.tables.rows import acids, dye_classes, thickeners

Drawn = dict[str, tuple[str, ...]]
LISTS = {
    "dye": "dyes", "acid": "acids", "thickener": "thickeners", "base": "bases", "kit": "kit", "jar": "jars",
}  # fmt: skip
"""Tables that are lists of entries with names, and what a shelf calls them."""
ALONE = ("studio", "drawn")
"""Tables of which a file holds one."""
MOST_ENTRIES = 2_000
HABITS_FILE = "habits.toml"


def load_shelf(folder: Path, read_on: str = "") -> Shelf:
    """The shelf of a folder: every `*.toml` in it, in order of name. Never raises for what is in a file.

    read_on: the day it is, `2026-11-25`, for the age of jars.
    """
    return read_shelf(*read_texts(folder), read_on)


def read_texts(folder: Path) -> tuple[dict[str, str], dict[str, str]]:
    """The texts of a shelf by file name, and a sentence by file name for each that cannot be read."""
    texts: dict[str, str] = {}
    unread: dict[str, str] = {}
    for path in sorted(folder.glob("*.toml")):
        if path.name == HABITS_FILE:
            continue  # read with what your sessions taught
        try:
            texts[path.name] = read_text(path)
        except PlanError as error:
            unread[path.name] = str(error)
    return texts, unread


def read_shelf(files: Mapping[str, str], unread: Mapping[str, str] = {}, read_on: str = "") -> Shelf:
    """The shelf of some TOML texts by file name; `unread` has a sentence for each file that has no text."""
    said = [LeftOut(file, "", "", sentence, sentence) for file, sentence in unread.items()]
    found: dict[str, list[Any]] = {table: [] for table in (*LISTS, *ALONE)}
    for file, text in files.items():
        try:
            said.extend(read_file(file, text, found))
        except PlanError as error:
            said.append(LeftOut(file, "", "", str(error), str(error)))
    drawn: Drawn = {}
    for session, ids in (item for one in found["drawn"] for item in one.items()):
        drawn[session] = (*drawn.get(session, ()), *ids)
    return Shelf(
        **{into: tuple(found[table]) for table, into in LISTS.items()},
        studio=found["studio"][0] if found["studio"] else StudioFacts(),
        left_out=tuple(said),
        drawn=drawn,
        read_on=read_on,
    )


def read_file(file: str, text: str, found: Mapping[str, list[Any]]) -> list[LeftOut]:
    """Put what stands in the tables of a file into `found`, which names those it may have; what cannot be used.

    PlanError where it is no TOML at all.
    """
    keys = Keys(toml_table(text, file=file), file=file)
    told: list[tuple[str, str, PlanError]] = []
    try:
        keys.only(tuple(found))
    except PlanError as error:
        told.append(("", "", error))
    for table, entries in found.items():
        raw = keys.raw(table)
        rows: list[Any] = raw if isinstance(raw, list) and table not in ALONE else [raw]
        for number, one in enumerate(rows if raw is not None else [], 1):
            place = (table,) if table in ALONE else (table, number)
            try:
                entry = _entry(Keys(one, file=file, place=place), table, entries)
            except PlanError as error:
                told.append((table, str(one.get("name", "")) if isinstance(one, dict) else "", error))
                continue
            if len(entries) < MOST_ENTRIES:
                entries.append(entry)
    lines = lines_of(text) if told else {}
    places = (place_in_file(problem, file, lines) for _, _, problem in told)
    return [
        LeftOut(file, table, name, in_file(problem, place), on_shelf_screen(problem, table, place))
        for (table, name, problem), place in zip(told, places, strict=True)
    ]


def _entry(keys: Keys, table: str, others: Sequence[Any]) -> Any:
    entry = ENTRY_READERS[table](keys)
    if table not in ALONE and entry_called(others, entry.name):
        what = "keep one of the two" if table == "habit" else "give each entry a name of its own"
        raise keys.wrong("name", f"is {quoted(entry.name)} a second time; {what}.")
    return entry


def place_in_file(error: PlanError, file: str, lines: Mapping[str, int]) -> str:
    """How a refusal begins: the file, and the line it is about where that is known."""
    line = line_of(error.path, lines)
    return f"{clean(file, limit=80)}: " if line is None else f"{clean(file, limit=80)}: line {line}, "


def _instead(keys: Keys, key: str, what: str, example: str) -> PlanError:
    """The refusal of one key, and what may be written there."""
    return keys.wrong(key, f"{what}; write for example ", write(key, example), ".")


def _read(keys: Keys, table: str) -> dict[str, Any]:
    """What an entry says, by the names of its shape."""
    keys.only(SHELF_TABLES[table].keys)
    return keys.read(SHELF_TABLES[table], OWN, plain=True)


def _measured(keys: Keys, told: dict[str, Any], *, liquid: bool) -> dict[str, Any]:
    """The same with what is there and what a pack costs, `price = 8.5` for `pack = "25 g"`: a liquid by volume, a
    powder by weight."""
    amounts = (
        row(key, "", "volume" if liquid else "mass", "", low=low)
        for key, low in (("on_hand", -1.0), ("pack", 0.0))
    )
    told |= {one.key: keys.value(one) for one in amounts if one.key in keys}
    pack = told.pop("pack", None)
    if "price" in told:
        if pack is None:
            raise _instead(keys, "pack", "is missing beside price", "1 L" if liquid else "25 g")
        told["price"] = Price(told["price"], pack.value, pack.unit)
    return told


def _dye(keys: Keys) -> ShelfDye:
    told = _read(keys, "dye")
    named = told.get("dye", "")
    if named and find_dye(named) is None:
        raise _instead(keys, "dye", f"names {quoted(named)}, which no table knows", "food red")
    if not named and "dye_class" not in told:
        either = (write("dye", "C.I. Acid Orange 7"), " or ", write("class", "levelling"))
        raise keys.wrong("dye", "or class is missing; write for example ", *either, ".")
    liquid = told.get("form") == "liquid"
    if not liquid and "strength_percent" in told:
        raise keys.wrong("strength", "goes with ", write("form", "liquid"), "; leave it out for a powder.")
    if "mixture" not in told and len(told.get("components", ())) > 1:
        told["mixture"] = True
    return ShelfDye(**_measured(keys, told, liquid=liquid))


def _class(keys: Keys, field: Field) -> str:
    """Id of the dye class."""
    written = READERS["text"](keys, field)
    found = find_class(written)
    if found is None:
        if is_reactive(written):
            raise keys.wrong("class", f"cannot be {quoted(written)}: {REACTIVE}")
        near = meant(written, (*dye_classes(), *(known.name for known in dye_classes().values())), "")
        told = f"{quoted(written)} ({near})" if near else quoted(written)
        raise keys.wrong("class", f"cannot be {told}; write one of {', '.join(dye_classes())}.")
    return found.id


def _looks(keys: Keys, field: Field) -> Looks:
    try:
        return read_looks(READERS["text"](keys, field))
    except PlanError as problem:
        if problem.path:
            raise
        raise keys.wrong("looks", f": {problem}") from None


def _colour(keys: Keys, field: Field) -> str:
    """A colour as `#rrggbb`, read off a photograph or a colour meter, or named."""
    written = READERS["text"](keys, field)
    found = hex_of(written)
    if not found:
        raise keys.wrong(field.key, f'is {quoted(written)}, which is no colour; write "#f2ead8" or "ivory".')
    return found


def _label(keys: Keys, field: Field) -> str:
    """A day in quotes or as TOML has it, or a label's own words."""
    raw = keys.raw(field.key)
    return raw.isoformat()[:10] if isinstance(raw, date) else str(READERS["text"](keys, field))


def _day(keys: Keys, field: Field) -> str:
    text = _label(keys, field)
    if read_day(text) is None:
        raise _instead(keys, field.key, f"is {quoted(text)}, which is no day", "2026-12-24")
    return text


def _amount(keys: Keys, field: Field) -> None:
    """Left to `_measured`: by weight or by volume is known once powder or liquid is."""


OWN: dict[str, Reader] = {
    "class": _class, "looks": _looks, "colour": _colour, "label": _label, "day": _day, "amount": _amount,
}  # fmt: skip
"""Readers of the kinds that only a shelf has."""


def _acid(keys: Keys) -> ShelfAcid:
    told = _read(keys, "acid")
    known = find_acid(told["acid"])
    if known is None:
        raise _unknown(keys, "acid", told["acid"], tuple(acids()))
    if told.get("strength_by") == "weight" and known.state != "liquid":
        raise keys.wrong("strength_by", "is of a liquid acid, and this is a powder; leave it out.")
    if told.get("strength_by") == "weight" and "strength_percent" not in told:
        raise _instead(keys, "strength", "is missing beside strength_by", "80 %")
    return ShelfAcid(**_measured(keys, {**told, "acid": known.name}, liquid=known.state == "liquid"))


def _thickener(keys: Keys) -> ShelfThickener:
    told = _read(keys, "thickener")
    known = find_thickener(told["thickener"])
    if known is None:
        raise _unknown(keys, "thickener", told["thickener"], tuple(thickeners()))
    return ShelfThickener(**_measured(keys, {**told, "thickener": known.name}, liquid=False))


def _unknown(keys: Keys, key: str, name: str, names: tuple[str, ...]) -> PlanError:
    said = f"names {quoted(name)}, which no table knows"
    if near := meant(name, names, ""):
        return keys.wrong(key, f"{said}; {near}")
    return _instead(keys, key, said, names[0])


def _base(keys: Keys) -> ShelfBase:
    told = _read(keys, "base")
    for fibre, _ in told["blend"]:
        if find_fibre(fibre) is None:
            raise keys.wrong(
                "blend", f"names {quoted(fibre)}, which no table knows; write a fibre such as wool."
            )
    if "price" in told:
        told["price"] = Price(told["price"], 1.0, "1")
    return ShelfBase(**told)


def _drawn(keys: Keys) -> Drawn:
    """`"20260912-0704-tidewrack-stripes-63ea" = ["acid", "rust.dye"]`, a line for each session."""
    return {session: keys.value(row(session, "", "names", "")) for session in keys.names()}


ENTRY_READERS: dict[str, Callable[[Keys], Any]] = {
    "dye": _dye,
    "acid": _acid,
    "thickener": _thickener,
    "base": _base,
    "kit": lambda keys: KitItem(**_read(keys, "kit")),
    "jar": lambda keys: Jar(**_read(keys, "jar")),
    "studio": lambda keys: StudioFacts(**_read(keys, "studio")),
    "drawn": _drawn,
}
