"""The shelf in words: a line for each entry, and all of an entry with where each value comes from."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

import msgspec

from studio.plan.draft.field_text import show_field
from studio.plan.shapes import said_by
from studio.plan.shelf import (
    Jar,
    JarAge,
    KitItem,
    Price,
    Shelf,
    ShelfAcid,
    ShelfBase,
    ShelfDye,
    ShelfThickener,
    age_of,
    day_of,
    use_by_of,
)
from studio.quantity.kinds import KINDS, Quantity
from studio.quantity.showing import show
from studio.shelf.editing import EntryPlace, folded
from studio.shelf.keys import SHELF_TABLES, echo, key_of
from studio.tables.finding import find_acid, find_dye
from studio.tables.loading import dye_classes
from studio.tables.rows import UNKNOWN

NOT_WRITTEN = "not written"


Standing = Literal["", "old", "low"]
"""`old` for a jar past its day, `low` for what is used up."""


class ToldLine(msgspec.Struct, frozen=True, kw_only=True):
    """One entry on one line."""

    table: str
    name: str
    """As the shelf calls it; the key of a studio fact."""
    label: str
    about: str
    on_hand: str
    standing: Standing = ""


class Told(msgspec.Struct, frozen=True, kw_only=True):
    """One value of an entry."""

    key: str
    label: str
    value: str
    """As typed, or what stands in for it; `not written` where nothing does."""
    read_as: str
    """What it is taken for, where that says more."""
    said_by: str
    """Who says so; empty where nobody does."""


def lines_of_shelf(shelf: Shelf, found: Mapping[tuple[str, str], EntryPlace]) -> tuple[ToldLine, ...]:
    """A line for each entry, in the order they are shown."""
    today = day_of(shelf.read_on)
    currency = shelf.studio.currency
    return (
        *(_line("dye", dye.name, *_dye(dye, currency)) for dye in shelf.dyes),
        *(_line("jar", jar.name, *_jar(jar, age_of(jar, today))) for jar in shelf.jars),
        *(_line("acid", acid.name, *_acid(acid, currency)) for acid in shelf.acids),
        *(_line("thickener", t.name, *_thickener(t, currency)) for t in shelf.thickeners),
        *(_line("base", base.name, *_base(base, currency)) for base in shelf.bases),
        *(_line("kit", item.name, _kit(item), "") for item in shelf.kit),
        *_studio(found.get(("studio", ""))),
    )


Line = tuple[str, str, Standing]
"""What it is, what is there, and whether that is old or used up."""


def _line(table: str, name: str, about: str, on_hand: str, standing: Standing = "") -> ToldLine:
    return ToldLine(table=table, name=name, label=name, about=about, on_hand=on_hand, standing=standing)


def _join(*parts: str) -> str:
    return ", ".join(part for part in parts if part)


def _money(price: Price | None, currency: str) -> str:
    if price is None:
        return ""
    money = f"{price.money:.2f} {currency}".rstrip()
    return f"{money} each" if price.unit == "1" else f"{money} / {show(price.amount, price.unit)}"


def _there(measure: Quantity | None) -> tuple[str, Standing]:
    """What is there as it was typed, and whether that is nothing."""
    if measure is None:
        return NOT_WRITTEN, ""
    return measure.typed, "low" if measure.value <= 0 else ""


def class_of(dye: ShelfDye) -> str:
    """Id of the dye class: as written, else the table row's; empty where neither is known."""
    row = find_dye(dye.dye) if dye.dye else None
    return dye.dye_class or (row.dye_class if row else "")


def _dye(dye: ShelfDye, currency: str) -> Line:
    known = dye_classes().get(class_of(dye))
    named = "" if known is None else "class unknown" if known.id == UNKNOWN else known.id
    strength = "" if dye.strength_percent is None else show(dye.strength_percent, "%")
    form = f"{strength} {dye.form}".strip()
    return _join(named, form, _money(dye.price, currency)), *_there(dye.on_hand)


def _jar(jar: Jar, age: JarAge) -> Line:
    last, old = use_by_of(jar), age.standing == "old"
    told = age.told if old or last is None else f"keeps to {last[0].isoformat()}"
    about = _join("OLD" if old else "", told, f"{show(jar.strength_percent, '%')} of {jar.dye}")
    return about, show(jar.volume_ml, "mL"), "old" if old else ""


def _acid(acid: ShelfAcid, currency: str) -> Line:
    strength = "" if acid.strength_percent is None else show(acid.strength_percent, "%")
    return _join(f"{acid.acid} {strength}".strip(), _money(acid.price, currency)), *_there(acid.on_hand)


def _thickener(gum: ShelfThickener, currency: str) -> Line:
    return _join(gum.thickener, _money(gum.price, currency)), *_there(gum.on_hand)


def _base(base: ShelfBase, currency: str) -> Line:
    blend = " ".join(f"{percent:g} {fibre}" for fibre, percent in base.blend)
    weight = "" if base.dry_weight_g is None else show(base.dry_weight_g, "g")
    about = _join(base.form, weight, blend, _money(base.price, currency))
    if base.on_hand is None:
        return about, NOT_WRITTEN, ""
    return about, f"{base.on_hand} piece{'s' if base.on_hand != 1 else ''}", "" if base.on_hand else "low"


def _kit(item: KitItem) -> str:
    return _join(
        item.kept_for,
        f"holds {show(item.volume_ml, 'mL')}" if item.volume_ml else "",
        show(item.power_w, "W") if item.power_w else "",
        f"steps of {show(item.resolution_g, 'g')}" if item.resolution_g else "",
        f"steams {show(item.steam_time_min, 'min')}" if item.steam_time_min else "",
    )


def _studio(place: EntryPlace | None) -> tuple[ToldLine, ...]:
    """A line for each fact, so that each can be changed where it stands."""
    rows = []
    for key in SHELF_TABLES["studio"].fields:
        raw = place.written.get(key.key) if place is not None else None
        text = NOT_WRITTEN if raw is None else show_field(key, raw)
        rows.append(
            ToldLine(
                table="studio", name=key.key, label=key.label, about=_join(text, echo(key, text)), on_hand=""
            )
        )
    return tuple(rows)


def entry_of(shelf: Shelf, table: str, name: str) -> Any:
    """The entry as it was read; None where it is not there or could not be read."""
    entries: dict[str, tuple[Any, ...]] = {
        "dye": shelf.dyes,
        "jar": shelf.jars,
        "acid": shelf.acids,
        "thickener": shelf.thickeners,
        "base": shelf.bases,
        "kit": shelf.kit,
        "studio": (shelf.studio,),
    }
    wanted = folded(name)
    return next((e for e in entries[table] if table == "studio" or folded(e.name) == wanted), None)


def told_of(shelf: Shelf, place: EntryPlace) -> tuple[Told, ...]:
    """Every key of an entry: what is written and on which line, or what stands in for it and who says so."""
    entry = entry_of(shelf, place.table, place.name)
    rows = []
    for key in SHELF_TABLES[place.table].fields:
        raw = place.written.get(key.key)
        if raw is None:
            (said, by), read = _instead(place.table, key.key, entry), ""
        else:
            said = show_field(key, raw)
            read = echo(key, said, shelf.studio.drops_per_ml)
            line = place.lines.get(key.key, place.line)
            by = said_by("yours", f"{place.file}, line {line}" if line else place.file)
        rows.append(Told(key=key.key, label=key.label, value=said, read_as=read, said_by=by))
    return tuple(rows)


def _instead(table: str, key: str, entry: Any) -> tuple[str, str]:
    """What stands in for a key that is not written, and who says so; a row of a table says it of itself."""
    if isinstance(entry, ShelfDye) and entry.dye and (row := find_dye(entry.dye)):
        if key == "class":
            return row.dye_class, row.class_source
        if key == "mixture":
            return ("yes" if entry.mixture or row.mixture else "no"), row.source
    if isinstance(entry, ShelfDye) and key == "form":
        return entry.form, "house rule: a dye is a powder where nothing is written"
    if isinstance(entry, ShelfAcid) and key == "strength" and (acid := find_acid(entry.acid)):
        return show(acid.strength_percent, "%"), acid.source
    if isinstance(entry, Jar) and key == "use_by" and (last := use_by_of(entry)):
        return last[0].isoformat(), said_by(last[1], last[2])
    if isinstance(entry, Jar) and key == "kind":
        return "stock", "house rule: a jar is stock where nothing is written"
    if table == "studio" and key == "drops_per_ml":
        return "20", "USP <1101>, 20 drops of water in 1 mL within 10 %"
    if table == "studio" and key_of(table, key).kind in KINDS:
        return NOT_WRITTEN, "a plan that needs it takes an estimate and says so"
    return NOT_WRITTEN, ""
