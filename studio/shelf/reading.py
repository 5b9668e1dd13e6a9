"""Shelf files to Shelf: a bad entry is left out and remarked on, the rest still loads."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from pathlib import Path
from typing import Literal, cast

from studio.craft.jar import AGE_LIMITS
from studio.craft.pot import MOST_MARGIN_PERCENT
from studio.plaintext import clean
from studio.plan.errors import KeyPath, PlanError, in_file, quoted, write
from studio.plan.keys import Keys, missing
from studio.plan.model import FORMS, Form
from studio.plan.reading import NO_BLEND, read_blend
from studio.plan.shelf import (
    DyeForm,
    Jar,
    KitItem,
    LeftOut,
    Looks,
    Price,
    Shelf,
    ShelfAcid,
    ShelfBase,
    ShelfDye,
    StudioFacts,
    day_of,
    hex_of,
    read_looks,
)
from studio.plan.toml import line_of, lines_of, read_text, toml_table
from studio.quantity.kinds import UNIT_SYSTEMS, Quantity, UnitSystem
from studio.shelf.keys import DYE_FORMS, KEPT_FOR, KEYS, on_shelf_screen
from studio.tables.finding import find_acid, find_class, find_dye, find_fibre, nearest
from studio.tables.loading import acids, dye_classes

Drawn = Mapping[str, tuple[str, ...]]
TABLES = ("dye", "acid", "base", "kit", "jar", "studio", "drawn")
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
            continue  # read with what the sessions taught
        try:
            texts[path.name] = read_text(path)
        except PlanError as error:
            unread[path.name] = str(error)
    return texts, unread


def read_shelf(files: Mapping[str, str], unread: Mapping[str, str] = {}, read_on: str = "") -> Shelf:
    """The shelf of some TOML texts by file name; `unread` has a sentence for each file that has no text."""
    said = [LeftOut(file, "", "", sentence, sentence) for file, sentence in unread.items()]
    found: dict[str, list[object]] = {name: [] for name in TABLES}
    for file, text in files.items():
        try:
            _file(file, text, found, said)
        except PlanError as error:
            said.append(LeftOut(file, "", "", str(error), str(error)))
    return Shelf(
        dyes=cast(tuple[ShelfDye, ...], tuple(found["dye"])),
        acids=cast(tuple[ShelfAcid, ...], tuple(found["acid"])),
        bases=cast(tuple[ShelfBase, ...], tuple(found["base"])),
        kit=cast(tuple[KitItem, ...], tuple(found["kit"])),
        jars=cast(tuple[Jar, ...], tuple(found["jar"])),
        studio=cast(StudioFacts, found["studio"][0]) if found["studio"] else StudioFacts(),
        left_out=tuple(said),
        drawn=_together(cast("list[Drawn]", found["drawn"])),
        read_on=read_on,
    )


def _together(drawn: Iterable[Drawn]) -> dict[str, tuple[str, ...]]:
    """What was taken off several files, by session."""
    found: dict[str, tuple[str, ...]] = {}
    for session, ids in (item for one in drawn for item in one.items()):
        found[session] = (*found.get(session, ()), *ids)
    return found


def _file(file: str, text: str, found: dict[str, list[object]], said: list[LeftOut]) -> None:
    keys = Keys(toml_table(text, file=file), file=file)
    told: list[tuple[str, str, PlanError]] = []
    try:
        keys.only(TABLES)
    except PlanError as error:
        told.append(("", "", error))
    for table in ENTRIES:
        reader = READERS[table]
        value = keys.raw(table)
        for number, row in enumerate(
            value if isinstance(value, list) else [] if value is None else [value], 1
        ):
            names = [getattr(entry, "name", "") for entry in found[table]]
            entry = _tried(reader, row, file, table, (table, number), names, told)
            if entry is not None and len(names) < MOST_ENTRIES:
                found[table].append(entry)
    for table in ("studio", "drawn"):
        if table in keys:
            entry = _tried(READERS[table], keys.raw(table), file, table, (table,), [], told)
            if entry is not None:
                found[table].append(entry)
    lines = lines_of(text) if told else {}
    for table, name, problem in told:
        place = place_in_file(problem, file, lines)
        said.append(
            LeftOut(file, table, name, in_file(problem, place), on_shelf_screen(problem, table, place))
        )


def place_in_file(error: PlanError, file: str, lines: Mapping[str, int]) -> str:
    """How a refusal begins: the file, and the line it is about where that is known."""
    line = line_of(error.path, lines)
    return f"{clean(file, limit=80)}: " if line is None else f"{clean(file, limit=80)}: line {line}, "


def _tried(
    reader: Callable[[Keys], object],
    row: object,
    file: str,
    table: str,
    place: KeyPath,
    names: list[str],
    told: list[tuple[str, str, PlanError]],
) -> object | None:
    try:
        keys = Keys(row, file=file, place=place)
        entry = reader(keys)
        name = getattr(entry, "name", "")
        if name and any(name.casefold() == other.casefold() for other in names):
            raise keys.wrong("name", f"is {quoted(name)} a second time; give each entry a name of its own.")
    except PlanError as error:
        told.append((table, str(row.get("name", "")) if isinstance(row, dict) else "", error))
        return None
    return entry


def _name(keys: Keys, example: str) -> str:
    name = keys.needed_text("name", example)
    if len(name) > 60:
        raise keys.wrong("name", "is longer than 60 characters; write it shorter.")
    return name


def _price(keys: Keys, kind: str) -> Price | None:
    """`price = 8.5` for `pack = "25 g"`; a base is priced by the piece."""
    money = keys.number("price", 0.0, 100_000.0, "8.5")
    if kind == "piece":
        return None if money is None else Price(money, 1.0, "1")
    pack = keys.measure("pack", kind)
    if money is None:
        return None
    if pack is None:
        raise keys.wrong(
            "pack",
            "is missing beside price; write for example ",
            write("pack", "25 g" if kind == "mass" else "1 L"),
            ".",
        )
    return Price(money, pack.value, pack.unit)


def _dye(keys: Keys) -> ShelfDye:
    keys.only(KEYS["dye"])
    name = _name(keys, "studio rust")
    row = keys.text("dye", longest=80)
    if row and find_dye(row) is None:
        raise keys.wrong(
            "dye",
            f"names {quoted(row)}, which no table knows; write for example ",
            write("dye", "food red"),
            ".",
        )
    dye_class = _class(keys)
    if not row and not dye_class:
        raise keys.wrong(
            "dye",
            "or class is missing; write for example ",
            write("dye", "C.I. Acid Orange 7"),
            " or ",
            write("class", "levelling"),
            ".",
        )
    form = keys.choice("form", DYE_FORMS, "powder")
    strength = keys.measure("strength", "strength", high=50.0)
    if form == "powder" and strength is not None:
        raise keys.wrong("strength", "goes with ", write("form", "liquid"), "; leave it out for a powder.")
    components = keys.texts("components")
    kind = "mass" if form == "powder" else "volume"
    return ShelfDye(
        name=name,
        dye=row,
        dye_class=dye_class,
        form=cast(DyeForm, form),
        strength_percent=None if strength is None else strength.value,
        mixture=keys.flag("mixture", False) if "mixture" in keys else len(components) > 1 or None,
        components=components,
        price=_price(keys, kind),
        looks=_looks(keys),
        on_hand=_on_hand(keys, kind),
        sheet=keys.text("sheet"),
    )


def _on_hand(keys: Keys, kind: str) -> Quantity | None:
    """What is there; 0 is an answer too."""
    return keys.measure("on_hand", kind, low=-1.0)


def _class(keys: Keys) -> str:
    """Id of the dye class; empty where none is written."""
    written = keys.text("class", longest=40)
    found = find_class(written) if written else None
    if written and found is None:
        near = nearest(written, (*dye_classes(), *(row.name for row in dye_classes().values())))
        meant = f' (did you mean "{near}"?)' if near else ""
        raise keys.wrong(
            "class", f"cannot be {quoted(written)}{meant}; write one of {', '.join(dye_classes())}."
        )
    return found.id if found else ""


def _looks(keys: Keys) -> Looks | None:
    written = keys.text("looks", longest=80)
    try:
        return read_looks(written) if written else None
    except PlanError as problem:
        raise keys.wrong("looks", f": {problem}") from None


def _colour(keys: Keys, key: str) -> str:
    """A colour as `#rrggbb`, read off a photograph or a colour meter, or named; empty where there is none."""
    written = keys.text(key, longest=40)
    found = hex_of(written) if written else ""
    if written and not found:
        raise keys.wrong(key, f'is {quoted(written)}, which is no colour; write "#f2ead8" or "ivory".')
    return found


def _acid(keys: Keys) -> ShelfAcid:
    keys.only(KEYS["acid"])
    name = _name(keys, "pantry vinegar")
    row = keys.needed_text("acid", "white vinegar")
    known = find_acid(row)
    if known is None:
        near = nearest(row, tuple(acids()))
        told = f"names {quoted(row)}, which no table knows; "
        if near:
            raise keys.wrong("acid", f'{told}did you mean "{near}"?')
        raise keys.wrong("acid", f"{told}write for example ", write("acid", "white vinegar"), ".")
    strength = keys.measure("strength", "strength", high=100.0)
    kind = "volume" if known.state == "liquid" else "mass"
    return ShelfAcid(
        name=name,
        acid=known.name,
        strength_percent=None if strength is None else strength.value,
        price=_price(keys, kind),
        on_hand=_on_hand(keys, kind),
        sheet=keys.text("sheet"),
    )


def _base(keys: Keys) -> ShelfBase:
    keys.only(KEYS["base"])
    name = _name(keys, "harbour sock")
    blend = read_blend(keys)
    if not blend:
        raise keys.wrong("blend", *NO_BLEND)
    for fibre, _ in blend:
        if find_fibre(fibre) is None:
            raise keys.wrong(
                "blend", f"names {quoted(fibre)}, which no table knows; write a fibre such as wool."
            )
    weight = keys.measure("dry_weight", "mass", high=100_000.0)
    length = keys.measure("yarn_length", "yarn length")
    return ShelfBase(
        name=name,
        blend=blend,
        form=cast(Form | Literal[""], keys.choice("form", FORMS, "")),
        dry_weight_g=None if weight is None else weight.value,
        yarn_length_m=None if length is None else length.value,
        strands=keys.whole("strands", 1, 12, "2"),
        rows=keys.whole("rows", 1, 100_000, "220"),
        stitches=keys.whole("stitches", 1, 10_000, "60"),
        white_hex=_colour(keys, "white"),
        price=_price(keys, "piece"),
        on_hand=keys.whole("on_hand", 0, 100_000, "3"),
    )


def _kit(keys: Keys) -> KitItem:
    keys.only(KEYS["kit"])
    name = _name(keys, "steamer pot")
    kept_for = keys.choice("kept_for", KEPT_FOR, "")
    if not kept_for:
        raise keys.wrong("kept_for", *missing("kept_for", "dye only"))

    def value(key: str, kind: str, high: float) -> float | None:
        found = keys.measure(key, kind, high=high)
        return None if found is None else found.value

    return KitItem(
        name=name,
        kept_for="kitchen" if kept_for == "kitchen" else "dye only",
        kind=keys.text("kind", longest=40).casefold(),
        resolution_g=value("resolution", "mass", 100.0),
        volume_ml=value("volume", "volume", 200_000.0),
        power_w=value("power", "power", 20_000.0),
        steam_time_min=value("steam_time", "duration", 600.0),
    )


def _jar(keys: Keys) -> Jar:
    keys.only(KEYS["jar"])
    return Jar(
        name=_name(keys, "rust, left over"),
        dye=keys.needed_text("dye", "studio rust"),
        strength_percent=keys.needed("strength", "strength", "1 %", high=50.0).value,
        volume_ml=keys.needed("volume", "volume", "80 mL", high=100_000.0).value,
        made=_day(keys, "made", any_text=True),
        use_by=_day(keys, "use_by"),
        kind=keys.choice("kind", tuple(AGE_LIMITS), ""),
        session=keys.text("session", longest=120),
    )


def _day(keys: Keys, key: str, *, any_text: bool = False) -> str:
    """A day, in quotes or as TOML has it; `any_text` lets a label's own words stand."""
    raw = keys.raw(key)
    if isinstance(raw, date):
        return raw.isoformat()[:10]
    text = keys.text(key, longest=40)
    if text and not any_text and day_of(text) is None:
        raise keys.wrong(
            key, f"is {quoted(text)}, which is no day; write for example ", write(key, "2026-12-24"), "."
        )
    return text


def _drawn(keys: Keys) -> Drawn:
    """`"20260912-0704-tidewrack-stripes-63ea" = ["acid", "rust.dye"]`, a line for each session."""
    return {session: keys.texts(session) for session in keys.names()}


def _studio(keys: Keys) -> StudioFacts:
    def value(key: str, kind: str, low: float, high: float) -> float | None:
        found = keys.measure(key, kind, low=low, high=high)
        return None if found is None else found.value

    keys.only(KEYS["studio"])
    return StudioFacts(
        name=keys.text("name", longest=80),
        units=cast(UnitSystem, keys.choice("units", UNIT_SYSTEMS, "metric")),
        currency=keys.text("currency", longest=8),
        energy_price=keys.number("energy_price", 0.0, 10_000.0, "0.32"),
        hourly_rate=keys.number("hourly_rate", 0.0, 1_000_000.0, "16"),
        margin_percent=value("margin", "share", 0.0, MOST_MARGIN_PERCENT),
        scale_resolution_g=value("scale_resolution", "mass", 0.0, 100.0),
        drops_per_ml=keys.number("drops_per_ml", 5.0, 60.0, "20") or 20.0,
        hob_w=value("hob", "power", 50.0, 20_000.0),
        altitude_m=value("altitude", "altitude", -430.0, 4000.0),
        alkalinity_mg_l=value("alkalinity", "alkalinity", -1.0, 1000.0),
        water_ph=keys.number("water_ph", 6.0, 9.5, "7.5"),
        room_c=value("room", "temperature", 5.0, 35.0),
    )


READERS: dict[str, Callable[[Keys], object]] = {
    "dye": _dye,
    "acid": _acid,
    "base": _base,
    "kit": _kit,
    "jar": _jar,
    "studio": _studio,
    "drawn": _drawn,
}
ENTRIES = ("dye", "acid", "base", "kit", "jar")
"""Tables that are lists of entries with names."""
