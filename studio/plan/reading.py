"""A plan file to a Plan: every table by its rows, and what its keys must say together."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import msgspec

from studio.plaintext import counted, slug
from studio.plan import model
from studio.plan.errors import MISSING, Term, quoted, table_named, write
from studio.plan.fields import (
    ACID_KEYS,
    COLOURS,
    FIBRE,
    KIT,
    KNIT,
    PART,
    PLAN,
    PRESOAK,
    WATER,
    Field,
    FieldSection,
    elsewhere,
    row,
    sections,
)
from studio.plan.keys import DROPS_IN, Keys
from studio.plan.layout import read_layout
from studio.plan.model import ColourPlan, MixPart, Thicken
from studio.plan.toml import toml_table
from studio.plan.ways import Method, method_called, method_names, methods

FORMAT = "potside-plan/1"
MOST_COLOURS, MOST_PARTS = 24, 6
"""Colours of a plan, and dyes mixed in one. House rule, catches a list that was pasted twice."""


def top_keys() -> tuple[str, ...]:
    """The keys and tables a plan may have."""
    own = (m.set_by.table for m in methods())
    return ("format", *PLAN.keys, "fibre", "water", "presoak", "colour", "layout", *own, "kit", "knit")


def read_plan(text: str, *, name: str, drops_per_ml: float = 20.0) -> model.Plan:
    """The plan of a TOML text.

    name: the file's name, for sentences. drops_per_ml: of the dyer's own dropper.
    PlanError with one sentence for anything that is not a plan.
    """
    keys = Keys(toml_table(text, file=name), file=name, drops_per_ml=drops_per_ml)
    keys.only(top_keys(), elsewhere())
    stated = keys.needed(row("format", "", "text", FORMAT))
    if stated != FORMAT:
        raise keys.wrong(
            "format", f'is {quoted(stated)}, which this version does not know; write "{FORMAT}".'
        )
    told = keys.read(sections()[0], OWN)
    method = method_called(told.get("method", method_names()[0]))
    _right_tables(keys, method)
    _right_keys(keys, PLAN, method)
    reserve = told.get("reserve")
    colours = tuple(
        msgspec.structs.replace(colour, thicken=colour.thicken or told.get("thicken"))
        for colour in _colours(keys.rows("colour"), keys, method)
    )
    method.put_on.refuse_colours(keys, colours)
    return model.Plan(
        file=name,
        title=told["title"],
        method=method.name,
        salt=told.get("salt", "none"),
        reserve_percent=method.put_on.reserve_percent if reserve is None else reserve.value,
        reserve_typed=reserve is not None,
        fibre=model.FibrePlan(**_table(keys, FIBRE, method)),
        water=model.WaterPlan(**_table(keys, WATER, method)),
        colours=colours,
        layout=read_layout(keys.table("layout"), colours),
        kit=_table(keys, KIT, method).get("use", ()),
        knit=model.KnitPlan(**_table(keys, KNIT, method)) if "knit" in keys else None,
        **_soak_and_set(keys, method),
    )


def _table(keys: Keys, section: FieldSection, method: Method) -> dict[str, Any]:
    """What a table of the plan says, its keys known to be its own."""
    table = keys.table(section.table)
    table.only(section.keys, elsewhere())
    _right_keys(table, section, method)
    return table.read(section)


def _right_keys(table: Keys, section: FieldSection, method: Method) -> None:
    """Refuse a key that is for another way of dyeing."""
    for field in section.fields:
        if field.key in table and not method.has(field):
            raise table.wrong(field.key, *method.put_on.foreign[field.wants])


def _right_tables(keys: Keys, method: Method) -> None:
    """Refuse a table that belongs to another method, and say which of the two to change."""
    own = method.set_by.table
    for other in methods():
        table = other.set_by.table
        if table in keys and table != own:
            raise keys.wrong(
                table,
                "belongs to ",
                write("method", other.name),
                f', and this plan says "{method.name}"; take ',
                table_named(table),
                " out and write ",
                table_named(own),
                ", or change the method.",
            )
    method.put_on.refuse(keys)


HOB = ("hob", "hob_efficiency")


def _soak_and_set(keys: Keys, method: Method) -> dict[str, Any]:
    """Presoak, acid, hob and the table of its way of setting, each where a plan has it."""
    soak, own = _table(keys, PRESOAK, method), _table(keys, method.set_by.section, method)
    method.set_by.check(keys.table(method.set_by.table), own)
    told = soak if method.acid_table == "presoak" else own
    sour = {key: told.pop(key) for key in ACID_KEYS if key in told}
    if sour and "acid" not in sour:
        raise keys.table(method.acid_table).wrong("acid", MISSING, instead="white vinegar")
    hob = {key: own.pop(key) for key in HOB if key in own}
    return {
        "presoak": model.PresoakPlan(**soak),
        "sour": model.AcidPlan(table=method.acid_table, **sour),
        "own": msgspec.to_builtins(method.set_by.own(**own)),
        **hob,
    }


def _colours(rows: tuple[Keys, ...], top: Keys, method: Method) -> tuple[ColourPlan, ...]:
    """All colours; PlanError where there is none, or two of one name."""
    if not rows:
        raise top.wrong(
            "colour",
            "is missing; write a ",
            Term("[[colour]] table", "colour table"),
            " with ",
            write("name", "rust"),
            " and ",
            write("dye", "food red"),
            ".",
        )
    if len(rows) > MOST_COLOURS:
        raise top.wrong("colour", f"has {len(rows)} tables; write at most {MOST_COLOURS}.")
    colours: list[ColourPlan] = []
    for one in rows:
        colour = _colour(one, method)
        if any(other.slug == colour.slug for other in colours):
            raise one.wrong(
                "name", f'gives "{colour.slug}" a second time; give each colour a name of its own.'
            )
        colours.append(colour)
    return tuple(colours)


def _colour(keys: Keys, method: Method) -> ColourPlan:
    keys.only(COLOURS.keys)
    if "name" in keys:
        keys.place = ("colour", keys.value(COLOURS.fields[0]))
    _right_keys(keys, COLOURS, method)
    told = keys.read(COLOURS, OWN)
    if "dye" not in told and "mix" not in told:
        raise keys.wrong("dye", MISSING, instead="food red")
    colour = ColourPlan(slug=slug(told["name"]), **told)
    _one_way(keys, colour)
    return colour


def _one_way(keys: Keys, colour: ColourPlan) -> None:
    """A colour is either a depth of shade or drops in a measure of water."""
    if colour.drops is None:
        if colour.drops_in is not None:
            raise keys.wrong("drops", "is missing beside in; write for example ", *DROPS_IN, ".")
        if colour.depth is None:
            raise keys.wrong(
                "depth", "is missing; write for example ", write("depth", "1 %"), ", or ", *DROPS_IN, "."
            )
        return
    if colour.drops_in is None:
        raise keys.wrong("in", "is missing beside drops; write for example ", instead="3/4 cup")


def _mix(keys: Keys, field: Field) -> tuple[MixPart, ...]:
    rows = keys.rows("mix")
    if not rows:
        in_file = '[ { dye = "food red", share = "60 %" }, ... ]'
        raise keys.wrong("mix", "is empty; write ", instead=field.example, toml=in_file)
    if not 2 <= len(rows) <= MOST_PARTS:
        raise keys.wrong(
            "mix", f"has {counted(len(rows), 'dye')}; write 2 to {MOST_PARTS}, or dye for a single one."
        )
    parts = tuple(map(_part, rows))
    total = sum(part.share_percent for part in parts)
    if abs(total - 100.0) > 0.5:
        raise keys.wrong(
            "mix", f"has shares that sum to {total:g} %, not to 100; write them so that they do."
        )
    if len({slug(part.dye) for part in parts}) < len(parts):
        raise keys.wrong("mix", "names one dye twice; add its shares together.")
    return parts


def _thicken(keys: Keys, field: Field) -> Thicken:
    in_file = '{ with = "guar", strength = "0.5 %" }'
    if not isinstance(keys.raw(field.key), dict):
        told = "names no gum with its strength; write for example "
        raise keys.wrong(field.key, told, instead=field.example, toml=in_file)
    table = keys.table(field.key)
    table.only(("with", "strength"))
    strength = table.needed(row("strength", "", "strength", "0.5 %", high=50.0))
    gum = table.needed(row("with", "", "text", "guar"))
    return Thicken(gum=gum, strength=strength, key=(*keys.place, field.key))


OWN = {"mix": _mix, "thickener": _thicken}
"""Readers for kinds that only a plan has."""


def _part(keys: Keys) -> MixPart:
    keys.only(PART.keys)
    told = keys.read(PART)
    return MixPart(dye=told["dye"], share_percent=told["share"].value, stock=told.get("stock"))


# Plans to begin from, kept with the package: they name no shelf, so that they work in any studio.


class BeginningPlan(msgspec.Struct, frozen=True):
    """One of them."""

    title: str
    about: str
    """The first comment of the file, one line."""
    text: str


def beginnings() -> tuple[BeginningPlan, ...]:
    """All of them, in the order of their file names."""
    folder = Path(__file__).parent / "beginnings"
    found = sorted((entry.name, entry.read_text(encoding="utf-8")) for entry in folder.iterdir())
    return tuple(_read(name, text) for name, text in found if name.endswith(".plan.toml"))


def _read(name: str, text: str) -> BeginningPlan:
    title = toml_table(text, file=name)["title"]
    return BeginningPlan(str(title), text.partition("\n")[0].lstrip("# ").strip(), text)
