"""One change of a plan's text, where in the plan it is, and what it should say."""

from __future__ import annotations

import copy
from collections.abc import Mapping, Sequence
from typing import Any

import msgspec

from studio.plan.draft.field_text import show_field
from studio.plan.errors import KeyPath, PlanError, label_in_sentence, on_screen
from studio.plan.fields import ACID_KEYS, Field, field_of, section_of, sections
from studio.plan.layout import BARE, order_rows, put_in, read_layout_text
from studio.plan.model import LayoutPlan
from studio.plan.shapes import listed
from studio.plan.shelf import ShelfBase, entry_called
from studio.plan.text import PlanText, toml_value
from studio.plan.toml import toml_table
from studio.plan.ways import method_called, method_names, methods


# Where in a plan something is: a table, one of several of its kind, a key; and the way there from a
# sentence.
class Place(msgspec.Struct, frozen=True):
    """One key of a plan."""

    table: str
    """Empty for the top of the file."""
    row: int | None
    """Which of several tables of that name, from 0."""
    key: str

    @property
    def field(self) -> Field:
        """Its row; KeyError where its table has none of that name."""
        field = field_of(self.table, self.key)
        if field is None:
            raise KeyError(self.told)
        return field

    @property
    def told(self) -> str:
        """As a sentence names it."""
        return f"{self.table}.{self.key}" if self.table else self.key


def name_of_row(row: object) -> str:
    """The name of a [[colour]] table; empty where it has none."""
    name = row.get("name") if isinstance(row, dict) else None
    return name if isinstance(name, str) else ""


def colour_names(data: Mapping[str, object]) -> list[str]:
    """Of the [[colour]] tables, in order; a colour without a name is an empty text."""
    rows = data.get("colour")
    return [name_of_row(row) for row in rows] if isinstance(rows, list) else []


def place_of(where: KeyPath, data: dict[str, Any]) -> Place | None:
    """The field a caution or a refusal is about; None where it is about no field.

    data: the plan file as TOML gives it; it says which colour has which name.

    >>> place_of(("colour", "rust", "dye"), {"colour": [{"name": "kelp"}, {"name": "rust"}]})
    Place(table='colour', row=1, key='dye')
    """
    if not where:
        return None
    table, key = str(where[0]), next((part for part in where[1:] if isinstance(part, str)), "")
    if table == "colour":
        return _in_colours(where, data)
    if not key and section_of(table) is None:
        table, key = "", table
    section = section_of(table)
    if section is None:
        return None
    return Place(table, None, key if field_of(table, key) else section.fields[0].key)


def _in_colours(where: KeyPath, data: dict[str, Any]) -> Place:
    names = colour_names(data)
    row, rest = 0, where[1:]
    if rest and isinstance(rest[0], int):
        row, rest = rest[0] - 1, rest[1:]
    elif rest and rest[0] in names:
        row, rest = names.index(rest[0]), rest[1:]
    elif len(rest) > 1:
        rest = rest[1:]
    key = str(rest[0]) if rest else ""
    default = "dye" if rest else "name"
    if not rest and (there := row_at(data, Place("colour", row, ""))):
        default = "mix" if "mix" in there else "dye"
    return Place("colour", min(row, max(0, len(names) - 1)), key if field_of("colour", key) else default)


# One change of a plan's text, held against what it should say.
STAND_IN = "\ue000 the value in hand \ue000"
"""Of the private use area of Unicode: no plan holds it."""


class Editing:
    """Changes one key of a text; a field in hand, changed again and again, is looked up once."""

    def __init__(self, name: str) -> None:
        self.name = name
        self._found_around: tuple[str, Place] | None = None
        self._head = self._tail = ""

    def changed(self, kept: str, place: Place, value: Any) -> str:
        """The text with one key changed, and held against what it should say; None takes it out.

        PlanError where the file is written in a way that cannot be edited.
        """
        if isinstance(value, str | int | float):
            text = self._around(kept, place, value)
        else:
            new = PlanText(kept, name=self.name)
            if isinstance(value, dict) and place.table == "layout":
                _write_order(new, value["order"], value["repeat"])
            elif value is None:
                new.erase(place.table, place.row, place.key)
            else:
                if place.key == "mix":
                    value = self._own_stocks(kept, place, value)
                new.write(place.table, place.row, place.key, value)
            text = new.text()
        if place.key == "method" and not place.table and value in method_names():
            new = PlanText(text, name=self.name)
            change_method(new, toml_table(kept, file=self.name), str(value))
            text = new.text()
        if place.key == "name" and place.table == "colour" and isinstance(value, str):
            text = self._renamed(kept, text, place, value)
        if _at(toml_table(text, file=self.name), place) != _meant(place, value):
            raise PlanError(f"{self.name}: {place.told} cannot be edited here; change it in the file itself.")
        return text

    def without(self, text: str, place: Place, keys: Sequence[str]) -> str:
        """The text with other keys of the same table taken out."""
        new = PlanText(text, name=self.name)
        for key in keys:
            new.erase(place.table, place.row, key)
        return new.text()

    def _around(self, kept: str, place: Place, value: str | int | float) -> str:
        """The text with a plain value in its place; what stands around it is found once for a field in hand."""
        if (kept, place) != self._found_around:
            new = PlanText(kept, name=self.name)
            new.write(place.table, place.row, place.key, STAND_IN)
            self._head, _, self._tail = new.text().partition(toml_value(STAND_IN))
            self._found_around = (kept, place)
        return f"{self._head}{toml_value(value)}{self._tail}"

    def _own_stocks(self, kept: str, place: Place, value: Any) -> Any:
        """A dye that stays in a mix keeps the strength of its own stock."""
        before = _at(toml_table(kept, file=self.name), place)
        rows = [row for row in before if isinstance(row, dict)] if isinstance(before, list) else []
        stocks = {row.get("dye"): row["stock"] for row in rows if "stock" in row}
        if not isinstance(value, list):
            return value
        return [{**row, "stock": stocks[row["dye"]]} if row["dye"] in stocks else row for row in value]

    def _renamed(self, kept: str, text: str, place: Place, name: str) -> str:
        """The bands of a colour follow its name."""
        rows = toml_table(kept, file=self.name).get("colour")
        old = name_of_row(rows[place.row]) if isinstance(rows, list) and place.row is not None else ""
        new = PlanText(text, name=self.name)
        order = toml_table(text, file=self.name).get("layout", {}).get("order")
        if not old or not isinstance(order, list):
            return text
        wanted = copy.deepcopy(order)
        for row in wanted:
            if isinstance(row, dict) and row.get("colour") == old:
                row["colour"] = name
        if wanted != order:
            new.write("layout", None, "order", wanted)
        return new.text()


def repeat_of(layout: LayoutPlan) -> str | int | None:
    """How often it is laid, as a plan file holds it."""
    return "to fill" if layout.times is None else layout.times if layout.times != 1 else None


def write_layout(new: PlanText, layout: LayoutPlan) -> None:
    """Put a layout into a plan."""
    _write_order(new, order_rows(layout), repeat_of(layout))


def _write_order(new: PlanText, order: list[Any], repeat: str | int | None) -> None:
    new.write("layout", None, "order", order)
    if repeat is None:
        new.erase("layout", None, "repeat")
    else:
        new.write("layout", None, "repeat", repeat)


def row_at(data: dict[str, Any], place: Place) -> dict[str, Any]:
    """The table that a place is in; an empty one where there is none."""
    rows: Any = data if not place.table else data.get(place.table)
    if place.row is not None:
        rows = rows[place.row] if isinstance(rows, list) and place.row < len(rows) else None
    return rows if isinstance(rows, dict) else {}


def _at(data: dict[str, Any], place: Place) -> Any:
    return row_at(data, place).get(place.key)


def _meant(place: Place, value: Any) -> Any:
    return value["order"] if isinstance(value, dict) and place.table == "layout" else value


def sized(layout: LayoutPlan, index: int, typed: str) -> LayoutPlan:
    """One band of the size that is typed: rows, or per cent where the bands are shares, with or without the word.

    PlanError where it is no such size.

    >>> from studio.plan.model import PlannedBand
    >>> bands = LayoutPlan(order=(PlannedBand(colour="rust", rows=6), PlannedBand(colour="", rows=5)))
    >>> [band.rows for band in sized(bands, 0, "14").order], [band.rows for band in sized(bands, 1, "8 rows").order]
    ([14, 5], [6, 8])
    """
    band, said = layout.order[index], typed.strip()
    shares = band.share_percent is not None
    try:
        (new,) = read_layout_text(f"{BARE} {said}{' %' if shares and said[-1:].isdigit() else ''}", ()).order
    except ValueError:  # A refusal, or more bands than one.
        new = None
    if new is None or (new.share_percent is not None) != shares:
        raise PlanError(f"Expected {'per cent, for example 30 %' if shares else 'rows, for example 14'}.")
    return put_in(layout, index, msgspec.structs.replace(new, colour=band.colour))


# What the plan screen says: refusals in the words of its fields, and what takes the place of what.


def plan_sentence(problem: PlanError, place: Place | None = None) -> str:
    """A refusal of a plan in the words of the field it is about, without the name of the file.

    >>> from studio.plan.errors import named, refuse
    >>> plan_sentence(refuse("x.plan.toml", ("fibre", "rows"), "is less than ", named("fibre", "stitches"), "."))
    'Rows is less than stitches.'
    """
    place = place or place_of(problem.path, {})
    field = field_of(place.table, place.key) if place else None
    if field is not None and problem.path[:2] == ("layout", "order") and len(problem.path) > 2:
        return f"Band {problem.path[2]} cannot be read; write {field.example}."
    return on_screen(problem, field, _label)


def _label(path: KeyPath) -> str:
    field = field_of(str(path[0]) if len(path) > 1 else "", str(path[-1]))
    return field.label if field is not None else ""


def filled_in(
    place: Place, value: object, row: Mapping[str, object], bases: Sequence[ShelfBase]
) -> tuple[str, ...]:
    """The keys of the table that a base says itself, where one is named: the plan is for that base now."""
    base = entry_called(bases, value) if isinstance(value, str) else None
    section = section_of(place.table)
    if base is None or section is None or (place.table, place.key) != ("fibre", "base"):
        return ()
    told = {f.key for f in section.fields if f.empty and f.empty.of == "base" and getattr(base, f.empty.name)}
    return tuple(key for key in row if key in told)


def in_its_place(place: Place, typed: str, out: Mapping[str, object]) -> str:
    """What is used now instead of other values of the same table, by key; a base says those itself."""
    fields = {key: Place(place.table, None, key).field for key in out}
    if (place.table, place.key) == ("fibre", "base"):
        labels = [field.label for field in fields.values()]
        comes = "comes" if len(labels) == 1 else "come"
        return f"Base {typed.strip()} is used now; {listed(labels)} {comes} from it."
    told = [f"{field.label} {show_field(field, out[key])}" for key, field in fields.items()]
    now = label_in_sentence(place.field)
    return f"{now} {typed.strip()} is used now; {listed(told)} {'is' if len(told) == 1 else 'are'} left out."


# What a plan loses and gains when its method changes.


def change_method(new: PlanText, data: dict[str, Any], name: str) -> None:
    """Take out what belongs to another method, and carry the acid to the table where the new one has it.

    data: the plan before. What is taken out comes back with one step back.
    """
    method = method_called(name)
    tables = {m.acid_table: row_at(data, Place(m.acid_table, None, "acid")) for m in methods()}
    for section in sections():
        if not section.fits(name):
            new.drop_table(section.table)
            continue
        rows = range(len(data.get("colour", ()))) if section.table == "colour" else (None,)
        for field in section.fields:
            for row in () if method.has(field) else rows:
                new.erase(section.table, row, field.key)
    here = tables.pop(method.acid_table)
    for there in tables.values():
        for key in ACID_KEYS:
            if key in there and key not in here and field_of(method.acid_table, key) is not None:
                new.write(method.acid_table, None, key, there[key])
