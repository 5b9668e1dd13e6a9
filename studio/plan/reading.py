"""Values that several tables of a plan hold: a pH, an amount of acid."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import cast

import msgspec

from studio.plan import model
from studio.plan.colours import read_colours
from studio.plan.errors import PlanError, Term, quoted, table_named, write
from studio.plan.keys import Keys, missing
from studio.plan.layout import read_layout
from studio.plan.toml import toml_table
from studio.plan.ways import EITHER, Method, method_called, method_names, methods
from studio.quantity.kinds import Quantity


def read_ph(keys: Keys, key: str, low: float, high: float) -> Quantity | None:
    """A pH, written as a number or as text."""
    value = keys.raw(key)
    if isinstance(value, str) or value is None:
        return keys.measure(key, "ph", low=low, high=high)
    number = keys.number(key, low, high, "4.0")
    return None if number is None else Quantity(number, "1", f"{number:g}")


def read_amount(keys: Keys) -> Quantity | None:
    """Acid by volume or by weight; which of the two fits is known once the acid is."""
    try:
        return keys.measure("acid_amount", "volume", high=20_000.0)
    except PlanError as by_volume:
        try:
            return keys.measure("acid_amount", "mass", high=20_000.0)
        except PlanError:
            raise by_volume from None


FORMAT = "potside-plan/1"

TOP = (
    "format",
    "title",
    "method",
    "salt",
    "reserve",
    "fibre",
    "water",
    "presoak",
    "colour",
    "layout",
    "kit",
    "knit",
)
FIBRE = (
    "base",
    "blend",
    "dry_weight",
    "squeezed_weight",
    "pieces",
    "target_pickup",
    "form",
    "yarn_length",
    "circumference",
    "strands",
    "rows",
    "stitches",
)
WATER = ("alkalinity", "ph", "altitude", "open")
PRESOAK = ("acid", "liquor_ratio", "target_ph", "acid_amount", "practice", "time", "temperature")
KIT = ("use",)
KNIT = ("stitches", "gauge")


def top_keys() -> tuple[str, ...]:
    """The keys and tables a plan may have."""
    own = tuple(m.set_by.table for m in methods())
    at = TOP.index("kit")
    return (*TOP[:at], *own, *TOP[at:])


@cache
def elsewhere() -> dict[str, Term]:
    """Where a key belongs that stands in the wrong table."""
    usual, *others = methods()
    return {
        **{key: table_named(m.set_by.table) for m in others for key in m.set_by.keys},
        **dict.fromkeys(KNIT, table_named("knit")),
        **dict.fromkeys(KIT, table_named("kit")),
        **dict.fromkeys(("order", "repeat"), table_named("layout")),
        **dict.fromkeys(
            ("dye", "mix", "depth", "stock", "drops", "in", "liquid"), Term("[[colour]]", "colour")
        ),
        **dict.fromkeys(usual.set_by.keys, table_named(usual.set_by.table)),
        **dict.fromkeys(PRESOAK, table_named("presoak")),
        **dict.fromkeys(WATER, table_named("water")),
        **dict.fromkeys(FIBRE, table_named("fibre")),
        **dict.fromkeys(TOP[:5], Term("the top of the file, before the first table", "the plan itself")),
    }


LOWEST_M, HIGHEST_M = -430.0, 4000.0
"""Altitudes for which steam still reaches 85 degC with room to spare. House rule."""


def read_plan(text: str, *, name: str, drops_per_ml: float = 20.0) -> model.Plan:
    """The plan of a TOML text.

    name: the file's name, for sentences. drops_per_ml: of the dyer's own dropper.
    PlanError with one sentence for anything that is not a plan.
    """
    keys = Keys(toml_table(text, file=name), file=name, drops_per_ml=drops_per_ml)
    keys.only(top_keys(), elsewhere())
    stated = keys.needed_text("format", FORMAT)
    if stated != FORMAT:
        raise keys.wrong(
            "format", f'is {quoted(stated)}, which this version does not know; write "{FORMAT}".'
        )
    title = keys.needed_text("title", "Tidewrack stripes")
    names = method_names()
    method = method_called(keys.choice("method", names, names[0]))
    _right_tables(keys, method)
    salt = keys.choice("salt", model.SALTS, "none")
    reserve = keys.measure("reserve", "share", low=-1.0, high=100.0)
    fibre = _fibre(keys.table("fibre"))
    colours = read_colours(keys.rows("colour"), keys)
    method.put_on.refuse_colours(keys, colours)
    presoak, sour = _presoak(keys.table("presoak"))
    plan = model.Plan(
        file=name,
        title=title,
        method=method.name,
        salt=cast(model.Salt, salt),
        reserve_percent=method.put_on.reserve_percent if reserve is None else reserve.value,
        reserve_typed=reserve is not None,
        fibre=fibre,
        water=_water(keys.table("water")),
        presoak=presoak,
        colours=colours,
        layout=read_layout(keys.table("layout"), colours),
        kit=_kit(keys.table("kit")),
        knit=_knit(keys.table("knit")) if "knit" in keys else None,
        **{"sour": sour, **method.set_by.read(keys.table(method.set_by.table))},
    )
    return plan


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


NO_BLEND = missing("blend", "superwash wool 75, nylon 25", '{ "superwash wool" = 75, nylon = 25 }')


def read_blend(keys: Keys) -> tuple[tuple[str, float], ...]:
    """The blend of a plan or a base: names and per cent, summing to 100 within half a per cent."""
    if "blend" not in keys:
        return ()
    table = keys.table("blend")
    blend: list[tuple[str, float]] = []
    for fibre in table.names():
        if isinstance(table.raw(fibre), str):
            share = table.measure(fibre, "share", high=100.0)
            percent = None if share is None else share.value
        else:
            percent = table.number(fibre, 0.0, 100.0, "75")
        if percent:
            blend.append((fibre.strip(), percent))
    total = sum(percent for _, percent in blend)
    if not blend or abs(total - 100.0) > 0.5:
        raise keys.wrong(
            "blend", f"sums to {total:g} %, not to 100; write each fibre's per cent so that they do."
        )
    return tuple(blend)


def _fibre(keys: Keys) -> model.FibrePlan:
    keys.only(FIBRE, elsewhere())
    base = keys.text("base")
    blend = read_blend(keys)
    if not base and not blend:
        raise keys.wrong("blend", *NO_BLEND)
    weight = keys.measure("dry_weight", "mass", high=100_000.0)
    if weight is None and not base:
        raise keys.wrong("dry_weight", *missing("dry_weight", "100 g"))
    form = keys.choice("form", model.FORMS, "")
    if not form and not base:
        raise keys.wrong("form", *missing("form", "blank"))
    squeezed = keys.measure("squeezed_weight", "mass", high=1_000_000.0)
    if squeezed and weight and squeezed.value < weight.value:
        raise keys.wrong(
            "squeezed_weight",
            "is less than ",
            keys.named("dry_weight"),
            "; write the weight of the wet, squeezed fibre.",
        )
    fibre = model.FibrePlan(
        base=base,
        blend=blend,
        dry_weight=weight,
        squeezed_weight=squeezed,
        pieces=keys.whole("pieces", 1, model.MOST_PIECES, "3"),
        target_pickup=keys.measure("target_pickup", "share", high=600.0),
        form=cast(model.Form, form) if form else None,
        yarn_length=keys.measure("yarn_length", "yarn length"),
        circumference=keys.measure("circumference", "length", high=1_000.0),
        strands=keys.whole("strands", 1, 12, "2"),
        rows=keys.whole("rows", 1, 100_000, "220"),
        stitches=keys.whole("stitches", 1, 10_000, "60"),
    )
    return fibre


def _water(keys: Keys) -> model.WaterPlan:
    keys.only(WATER, elsewhere())
    water = model.WaterPlan(
        alkalinity=keys.measure("alkalinity", "alkalinity", low=-1.0, high=1000.0),
        ph=read_ph(keys, "ph", 6.0, 9.5),
        altitude=keys.measure("altitude", "altitude", low=LOWEST_M, high=HIGHEST_M),
        open=keys.flag("open", False),
    )
    return water


def _presoak(keys: Keys) -> tuple[model.PresoakPlan, model.AcidPlan]:
    keys.only(PRESOAK, elsewhere())
    acid = keys.text("acid")
    target = read_ph(keys, "target_ph", 2.0, 7.0)
    amount = read_amount(keys)
    practice = keys.text("practice")
    keys.one_of(EITHER["presoak"])
    if not acid and (target is not None or amount is not None or practice):
        raise keys.wrong("acid", *missing("acid", "white vinegar"))
    presoak = model.PresoakPlan(
        liquor_ratio=keys.number("liquor_ratio", 3.0, 200.0, "20"),
        time=keys.measure("time", "duration", high=48 * 60.0),
        temperature=keys.measure("temperature", "temperature", low=1.0, high=100.0),
    )
    sour = model.AcidPlan(acid=acid, target_ph=target, acid_amount=amount, practice=practice)
    return presoak, sour


def _kit(keys: Keys) -> tuple[str, ...]:
    keys.only(KIT, elsewhere())
    used = keys.texts("use")
    return used


def _knit(keys: Keys) -> model.KnitPlan:
    keys.only(KNIT, elsewhere())
    knit = model.KnitPlan(
        stitches=keys.whole("stitches", 1, 10_000, "64"), gauge=keys.measure("gauge", "gauge")
    )
    return knit


# Plans to begin from, kept with the package: they name no shelf, so that they work in any studio.


class BeginningPlan(msgspec.Struct, frozen=True):
    """One of them."""

    title: str
    about: str
    """The first comment of the file, one line."""
    text: str


def beginnings() -> tuple[BeginningPlan, ...]:
    """All of them, in the order of their file names."""
    folder = files("studio.plan") / "beginnings"
    found = sorted((entry.name, entry.read_text(encoding="utf-8")) for entry in folder.iterdir())
    return tuple(_read(name, text) for name, text in found if name.endswith(".plan.toml"))


def _read(name: str, text: str) -> BeginningPlan:
    title = toml_table(text, file=name)["title"]
    return BeginningPlan(str(title), text.partition("\n")[0].lstrip("# ").strip(), text)
