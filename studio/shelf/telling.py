"""The shelf in words: a line for each entry, and all of an entry with where each value comes from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import Any, Literal

import msgspec

from studio.plaintext import counted
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
    entry_called,
    read_day,
    use_by_of,
)
from studio.quantity.kinds import KINDS
from studio.quantity.showing import show, show_day
from studio.shelf.editing import EntryPlace
from studio.shelf.keys import SHELF_TABLES, echo, key_of
from studio.shelf.reading import LISTS
from studio.tables.finding import find_acid, find_dye
from studio.tables.rows import UNKNOWN, dye_classes

NOT_WRITTEN = "not set"


Standing = Literal["", "old", "low"]
"""`old` for a jar past its day, `low` for what is used up."""


class ToldLine(msgspec.Struct, frozen=True, kw_only=True):
    """One entry on one line."""

    table: str
    name: str
    """As the shelf calls it; the key of a studio fact."""
    label: str
    about: str
    """All that is to be said of it."""
    on_hand: str
    """As typed; empty where nobody wrote it down."""
    standing: Standing = ""
    what: str = ""
    """What it is, in two or three words; of a jar how old."""
    pack: str = ""
    """What a pack of it holds, in the unit of what is on hand."""
    share: float | None = None
    """What is there as a share of a pack, else of the most of its kind; None where nobody wrote it down."""


class Told(msgspec.Struct, frozen=True, kw_only=True):
    """One value of an entry."""

    key: str
    label: str
    value: str
    """As typed, or what stands in for it; empty where nothing does."""
    read_as: str
    """What it is taken for, where that says more."""
    said_by: str
    """Who says so; empty where nobody does."""

    @property
    def shown(self) -> str:
        """The value, or that there is none."""
        return self.value or NOT_WRITTEN


def lines_of_shelf(shelf: Shelf, found: Mapping[tuple[str, str], EntryPlace]) -> tuple[ToldLine, ...]:
    """A line for each entry, kind by kind: what is low first, of jars what must be used up first."""
    today = read_day(shelf.read_on)
    currency = shelf.studio.currency
    jars = sorted(shelf.jars, key=lambda jar: last[0] if (last := use_by_of(jar)) else date.max)
    most_ml = max((jar.volume_ml for jar in jars), default=0.0)
    return (
        *_low_first(_dye(dye, currency) for dye in shelf.dyes),
        *(_jar(jar, age_of(jar, today), today, most_ml) for jar in jars),
        *_low_first(_acid(acid, currency) for acid in shelf.acids),
        *_low_first(
            _line("thickener", gum, gum.thickener, _join(gum.thickener, _money(gum.price, currency)))
            for gum in shelf.thickeners
        ),
        *_low_first(_bases(shelf.bases, currency)),
        *(ToldLine(table="kit", name=k.name, label=k.name, about=_kit(k), on_hand="") for k in shelf.kit),
        *_studio(found.get(("studio", ""))),
    )


def _low_first(lines: Iterable[ToldLine]) -> list[ToldLine]:
    return sorted(lines, key=lambda line: (line.share is None, line.share or 0.0))


def _line(table: str, entry: ShelfDye | ShelfAcid | ShelfThickener, what: str, about: str) -> ToldLine:
    """An entry that is bought by the pack, and how full that is."""
    there, price = entry.on_hand, entry.price
    pack = price.amount if price is not None and there is not None and price.unit == there.unit else 0.0
    nothing = there is not None and there.value <= 0
    told = show(pack, there.unit) if there is not None and pack > 0 else ""
    if there is not None and told.split()[-1:] == there.typed.split()[-1:]:
        told = told.rpartition(" ")[0]
    return ToldLine(
        table=table,
        name=entry.name,
        label=entry.name,
        about=about,
        on_hand="" if there is None else there.typed,
        standing="low" if nothing else "",
        what=what,
        pack=told,
        share=0.0 if nothing else min(1.0, there.value / pack) if there is not None and pack > 0 else None,
    )


def _join(*parts: str) -> str:
    return ", ".join(part for part in parts if part)


def _money(price: Price | None, currency: str) -> str:
    if price is None:
        return ""
    money = f"{price.money:.2f} {currency}".rstrip()
    return f"{money} each" if price.unit == "1" else f"{money} / {show(price.amount, price.unit)}"


def class_of(dye: ShelfDye) -> str:
    """Id of the dye class: as written, else the table row's; empty where neither is known."""
    row = find_dye(dye.dye) if dye.dye else None
    return dye.dye_class or (row.dye_class if row else "")


def _dye(dye: ShelfDye, currency: str) -> ToldLine:
    known = dye_classes().get(class_of(dye))
    named = "" if known is None else "class unknown" if known.id == UNKNOWN else known.id
    strength = "" if dye.strength_percent is None else show(dye.strength_percent, "%")
    form = f"{strength} {dye.form}".strip()
    sheet = "maker's sheet on file" if dye.sheet else ""
    about = _join(dye.dye, named, form, _money(dye.price, currency), sheet)
    return _line("dye", dye, dye.dye or _join(named, form), about)


def _jar(jar: Jar, age: JarAge, today: date | None, most_ml: float) -> ToldLine:
    last, old, made = use_by_of(jar), age.standing == "old", read_day(jar.made)
    told = age.told if old or last is None else f"keeps to {last[0].isoformat()}"
    what = "no date on it" if last is None else f"good to {show_day(last[0])}"
    if last is not None and today is not None and old:
        what = f"OLD, {(today - last[0]).days} days over"
    elif last is not None and today is not None and made is not None:
        what = f"{(today - made).days} days, to {(last[0] - made).days}"
    return ToldLine(
        table="jar",
        name=jar.name,
        label=jar.name,
        about=_join("OLD" if old else "", told, f"{show(jar.strength_percent, '%')} of {jar.dye}"),
        on_hand=show(jar.volume_ml, "mL"),
        standing="old" if old else "",
        what=what,
        share=min(1.0, jar.volume_ml / most_ml) if most_ml > 0 else 0.0,
    )


def _acid(acid: ShelfAcid, currency: str) -> ToldLine:
    strength = "" if acid.strength_percent is None else show(acid.strength_percent, "%")
    what = f"{acid.acid} {strength}".strip()
    return _line("acid", acid, what, _join(what, _money(acid.price, currency)))


def _bases(bases: Sequence[ShelfBase], currency: str) -> Iterator[ToldLine]:
    """Against the one there is most of: a base is bought by the piece."""
    most = max((base.on_hand or 0 for base in bases), default=0)
    for base in bases:
        blend = " ".join(f"{percent:g} {fibre}" for fibre, percent in base.blend)
        weight = "" if base.dry_weight_g is None else show(base.dry_weight_g, "g")
        there = base.on_hand
        yield ToldLine(
            table="base",
            name=base.name,
            label=base.name,
            about=_join(base.form, weight, blend, _money(base.price, currency)),
            on_hand="" if there is None else counted(there, "piece"),
            standing="low" if there is not None and there <= 0 else "",
            what=_join(base.form, weight),
            share=None if there is None or not most else there / most,
        )


def _kit(item: KitItem) -> str:
    return _join(
        item.kept_for,
        f"holds {show(item.volume_ml, 'mL')}" if item.volume_ml else "",
        show(item.power_w, "W") if item.power_w else "",
        f"steps of {show(item.resolution_g, 'g')}" if item.resolution_g else "",
        f"steams {show(item.steam_time_min, 'min')}" if item.steam_time_min else "",
    )


def _studio(place: EntryPlace | None) -> Iterator[ToldLine]:
    """A line for each fact, so that each can be changed where it stands."""
    for key in SHELF_TABLES["studio"].fields:
        raw = place.written.get(key.key) if place is not None else None
        text = NOT_WRITTEN if raw is None else show_field(key, raw)
        yield ToldLine(
            table="studio", name=key.key, label=key.label, about=_join(text, echo(key, text)), on_hand=""
        )


def entry_of(shelf: Shelf, table: str, name: str) -> Any:
    """The entry as it was read; None where it is not there or could not be read."""
    if table == "studio":
        return shelf.studio
    return entry_called(getattr(shelf, LISTS[table]), name)


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
        return "", "a plan that needs it takes an estimate and says so"
    return "", ""
