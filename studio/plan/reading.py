"""Plan text to Plan. Refusals name the file, the key and what to write instead."""

from __future__ import annotations

from typing import cast

from studio.plan import model
from studio.plan.colours import read_colours
from studio.plan.either_or import EITHER
from studio.plan.errors import quoted
from studio.plan.keys import Keys
from studio.plan.layout import read_layout
from studio.plan.method_reading import (
    KETTLE,
    MICROWAVE,
    one_colour,
    read_amount,
    read_kettle,
    read_microwave,
    read_ph,
    right_tables,
)
from studio.plan.toml_text import toml_table

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
    "set",
    "kettle",
    "microwave",
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
SET = (
    "shape",
    "thickness",
    "length",
    "width",
    "hob",
    "hob_efficiency",
    "pot_water",
    "hold",
    "practice",
    "lid",
    "places",
)
KIT = ("use",)
KNIT = ("stitches", "gauge")

ELSEWHERE = {
    **dict.fromkeys(KETTLE, "[kettle]"),
    **dict.fromkeys(MICROWAVE, "[microwave]"),
    **dict.fromkeys(KNIT, "[knit]"),
    **dict.fromkeys(KIT, "[kit]"),
    **dict.fromkeys(("order", "repeat"), "[layout]"),
    **dict.fromkeys(("dye", "mix", "depth", "stock", "drops", "in", "liquid"), "[[colour]]"),
    **dict.fromkeys(SET, "[set]"),
    **dict.fromkeys(PRESOAK, "[presoak]"),
    **dict.fromkeys(WATER, "[water]"),
    **dict.fromkeys(FIBRE, "[fibre]"),
    **dict.fromkeys(TOP[:5], "the top of the file, before the first table"),
}
"""Where a key belongs that stands in the wrong table."""

MOST_PIECES = 8
"""Alike in one session: as many packets as the bench keeps clocks for. House rule."""
LOWEST_M, HIGHEST_M = -430.0, 4000.0
"""Altitudes for which steam still reaches 85 degC with room to spare. House rule."""


def read_plan(text: str, *, name: str, drops_per_ml: float = 20.0) -> model.Plan:
    """The plan of a TOML text.

    name: the file's name, for sentences. drops_per_ml: of the dyer's own dropper.
    PlanError with one sentence for anything that is not a plan.
    """
    keys = Keys(toml_table(text, file=name), file=name, drops_per_ml=drops_per_ml)
    keys.only(TOP, ELSEWHERE)
    stated = keys.needed_text("format", FORMAT)
    if stated != FORMAT:
        raise keys.wrong(
            "format", f'is {quoted(stated)}, which this version does not know; write "{FORMAT}".'
        )
    title = keys.needed_text("title", "Tidewrack stripes")
    method = keys.choice("method", model.METHODS, "paint and steam")
    right_tables(keys, method)
    salt = keys.choice("salt", model.SALTS, "none")
    reserve = keys.measure("reserve", "share", low=-1.0, high=100.0)
    fibre = _fibre(keys.table("fibre"))
    colours = read_colours(keys.rows("colour"), keys)
    one_colour(keys, method, colours)
    in_bath = method == model.KETTLE
    plan = model.Plan(
        file=name,
        title=title,
        method=method,
        salt=cast(model.Salt, salt),
        reserve_percent=(0.0 if in_bath else 20.0) if reserve is None else reserve.value,
        reserve_typed=reserve is not None,
        fibre=fibre,
        water=_water(keys.table("water")),
        presoak=_presoak(keys.table("presoak")),
        colours=colours,
        layout=read_layout(keys.table("layout"), colours),
        set=_set(keys.table("set")) if method == model.STEAM else None,
        kettle=read_kettle(keys.table("kettle")) if in_bath else None,
        microwave=read_microwave(keys.table("microwave")) if method == model.MICROWAVE else None,
        kit=_kit(keys.table("kit")),
        knit=_knit(keys.table("knit")) if "knit" in keys else None,
    )
    return plan


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
    keys.only(FIBRE, ELSEWHERE)
    base = keys.text("base")
    blend = read_blend(keys)
    if not base and not blend:
        raise keys.wrong(
            "blend", 'is missing; write for example blend = { "superwash wool" = 75, nylon = 25 }.'
        )
    weight = keys.measure("dry_weight", "mass", high=100_000.0)
    if weight is None and not base:
        raise keys.wrong("dry_weight", 'is missing; write for example dry_weight = "100 g".')
    form = keys.choice("form", model.FORMS, "")
    if not form and not base:
        raise keys.wrong("form", 'is missing; write for example form = "blank".')
    squeezed = keys.measure("squeezed_weight", "mass", high=1_000_000.0)
    if squeezed and weight and squeezed.value < weight.value:
        raise keys.wrong(
            "squeezed_weight", "is less than dry_weight; write the weight of the wet, squeezed fibre."
        )
    fibre = model.FibrePlan(
        base=base,
        blend=blend,
        dry_weight=weight,
        squeezed_weight=squeezed,
        pieces=keys.whole("pieces", 1, MOST_PIECES, "3"),
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
    keys.only(WATER, ELSEWHERE)
    water = model.WaterPlan(
        alkalinity=keys.measure("alkalinity", "alkalinity", low=-1.0, high=1000.0),
        ph=read_ph(keys, "ph", 6.0, 9.5),
        altitude=keys.measure("altitude", "altitude", low=LOWEST_M, high=HIGHEST_M),
        open=keys.flag("open", False),
    )
    return water


def _presoak(keys: Keys) -> model.PresoakPlan:
    keys.only(PRESOAK, ELSEWHERE)
    acid = keys.text("acid")
    target = read_ph(keys, "target_ph", 2.0, 7.0)
    amount = read_amount(keys)
    practice = keys.text("practice")
    keys.one_of(EITHER["presoak"])
    if not acid and (target is not None or amount is not None or practice):
        raise keys.wrong("acid", 'is missing; write for example acid = "white vinegar".')
    presoak = model.PresoakPlan(
        acid=acid,
        liquor_ratio=keys.number("liquor_ratio", 3.0, 200.0, "20"),
        target_ph=target,
        acid_amount=amount,
        practice=practice,
        time=keys.measure("time", "duration", high=48 * 60.0),
        temperature=keys.measure("temperature", "temperature", low=1.0, high=100.0),
    )
    return presoak


def _set(keys: Keys) -> model.SetPlan:
    keys.only(SET, ELSEWHERE)
    shape = keys.choice("shape", model.SHAPES, "roll")
    keys.one_of(EITHER["set"])
    made = model.SetPlan(
        shape=cast(model.Shape, shape),
        thickness=keys.needed("thickness", "length", "5 cm", low=0.2, high=30.0),
        length=keys.measure("length", "length", low=0.5, high=300.0),
        width=keys.measure("width", "length", low=0.5, high=300.0),
        hob=keys.measure("hob", "power", low=50.0, high=20_000.0),
        hob_efficiency=keys.number("hob_efficiency", 0.1, 1.0, "0.8"),
        pot_water=keys.measure("pot_water", "volume", high=100_000.0),
        # As long as is advised for the thickest packet above, so that a repeat can write it.
        hold=keys.measure("hold", "duration", low=1.0, high=60 * 60.0),
        practice=keys.text("practice"),
        lid=keys.flag("lid", True),
        places=keys.whole("places", 1, MOST_PIECES, "2"),
    )
    return made


def _kit(keys: Keys) -> tuple[str, ...]:
    keys.only(KIT, ELSEWHERE)
    used = keys.texts("use")
    return used


def _knit(keys: Keys) -> model.KnitPlan:
    keys.only(KNIT, ELSEWHERE)
    knit = model.KnitPlan(
        stitches=keys.whole("stitches", 1, 10_000, "64"), gauge=keys.measure("gauge", "gauge")
    )
    return knit
