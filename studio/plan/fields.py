"""The fields of a plan as a person fills them in: a table of sections, keys, kinds and words.

A new key of the plan file is one row here. What a key may hold is said once, in `reading` and `colours`;
these rows only say how it is asked for, and what stands in for it where it is left out.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from studio.plan import colours, model, reading
from studio.plan.method_change import ACID

Names = Literal["", "dye", "acid", "base", "fibre", "kit", "colour", "dose", "hold"]
"""Whose names complete what is typed."""


class Field(msgspec.Struct, frozen=True, kw_only=True):
    """One key of a plan."""

    key: str
    label: str
    kind: str
    """A kind of quantity (`quantity.KINDS`), or one of `KINDS_OF_OWN`."""
    example: str
    tells: str
    """What it is for, one short sentence."""
    empty: str = ""
    """What stands in where it is left out: `figure ID`, `base KEY`, `known NAME`, or words to show as they are;
    `figure` alone is the one it decides.

    `{colour}` in an id is the colour's slug. Nothing where it must be there or nothing stands in.
    """
    decides: tuple[tuple[str, str], ...] = ()
    """The figure that this key decides, and the one that goes with in proportion (empty: it stands whatever the
    weight); of several pairs that of the method. What was measured of it is what a repeat writes here. `{stock}` is
    the slug of a stock."""
    at_least: bool = False
    """Another packet is never given less than is worked out for it."""
    choices: tuple[str, ...] = ()
    names: Names = ""


class FieldSection(msgspec.Struct, frozen=True, kw_only=True):
    """One table of a plan."""

    name: str
    """As the screen calls it."""
    table: str
    """As the file calls it; empty for the top of the file."""
    fields: tuple[Field, ...]
    figures: tuple[str, ...]
    """Parts of the worksheet, or ids of figures, that belong beside it."""
    methods: tuple[str, ...] = model.METHODS
    """The methods whose plans have it."""


def _f(key: str, label: str, kind: str, example: str, tells: str, empty: str = "", **more: object) -> Field:
    made = Field(key=key, label=label, kind=kind, example=example, tells=tells, empty=empty)
    return msgspec.structs.replace(made, **more)


PLAN = FieldSection(
    name="plan",
    table="",
    figures=("fibre.weight", "stocks", "paint.capacity", "set.hold", "cost"),
    fields=(
        _f("title", "title", "text", "Tidewrack stripes", "What the session and its yarn card are called."),
        _f("method", "method", "choice", "paint and steam", "How the dye gets into the fibre.",
           "paint and steam (default)", choices=model.METHODS),
        _f("salt", "salt", "choice", "none", "Levelling salt in the bath, if any.", "none (default)",
           choices=model.SALTS),
        _f("reserve", "reserve", "share", "20 %", "Paint mixed beyond what the fibre can hold.",
           "20 % (house rule)"),
    ),
)  # fmt: skip
FIBRE = FieldSection(
    name="fibre",
    table="fibre",
    figures=("fibre", "paint.held", "paint.capacity"),
    fields=(
        _f("base", "base", "text", "harbour sock blank", "An undyed base of the shelf; it fills in the rest.",
           names="base"),
        _f("blend", "blend", "blend", "superwash wool 75, nylon 25", "Fibres and per cent, together 100.",
           "base blend", names="fibre"),
        _f("dry_weight", "dry weight", "mass", "100 g", "Air-dry, as the scale shows it.", "base dry_weight_g",
           decides=(("fibre.weight", ""),)),
        _f("squeezed_weight", "squeezed weight", "mass", "180 g", "Weighed after the presoak and squeezing.",
           "known squeezed",
           decides=(("paint.squeezed", "fibre.weight"),)),
        _f("target_pickup", "target pick-up", "share", "150 %",
           "Liquid the fibre shall hold when painted, on its dry weight.", "known pickup"),
        _f("form", "form", "choice", "blank", "How the yarn lies.", "base form", choices=model.FORMS),
        _f("yarn_length", "yarn length", "yarn length", "420 m", "All strands together.", "base yarn_length_m"),
        _f("circumference", "circumference", "length", "150 cm", "Once round the skein."),
        _f("strands", "strands", "whole", "2", "Strands knitted together in the blank.", "base strands"),
        _f("rows", "rows", "whole", "220", "Rows of the blank.", "base rows"),
        _f("pieces", "pieces", "whole", "1", "How many pieces of the base are dyed alike.", "1 (default)"),
        _f("stitches", "stitches", "whole", "60", "Stitches across the blank.", "base stitches"),
    ),
)  # fmt: skip
WATER = FieldSection(
    name="water",
    table="water",
    figures=("presoak.ph", "presoak.acid", "set.boiling_point"),
    fields=(
        _f("alkalinity", "alkalinity", "alkalinity", "80 mg/L", "As CaCO3, from the water works' report.",
           "known alkalinity"),
        _f("ph", "pH of the tap", "ph", "7.5", "Of the water as it comes.", "known water_ph"),
        _f("altitude", "altitude", "altitude", "350 m", "Water boils cooler higher up.", "known altitude"),
        _f("open", "stands open", "flag", "no", "Whether the soak stands long enough to lose its carbon dioxide.",
           "no (default)", choices=("yes", "no")),
    ),
)  # fmt: skip
PRESOAK = FieldSection(
    name="presoak",
    table="presoak",
    figures=("presoak",),
    fields=(
        _f("acid", "acid", "text", "white vinegar", "An acid of the shelf or the tables.", names="acid"),
        _f("liquor_ratio", "liquor ratio", "number", "20", "Litres of water to a kilogram of fibre.",
           "20 (common practice)",
           decides=(("presoak.water", "fibre.weight"),)),
        _f("target_ph", "target pH", "ph", "4.0", "The acid is worked out for it.", "figure presoak.ph"),
        _f(
            "practice",
            "or a practice",
            "text",
            "vinegar-one-cup",
            "A published dose, instead of either; potside practices lists them.",
            names="dose",
        ),
        _f("acid_amount", "acid", "amount", "60 mL", "Instead of a target pH.", "figure",
           decides=(("presoak.acid", "fibre.weight"),)),
        _f("time", "time", "duration", "30 min", "How long it soaks.", "figure",
           decides=(("presoak.time", ""),)),
        _f("temperature", "temperature", "temperature", "40 C", "Of the soak.", "figure presoak.temperature"),
    ),
)  # fmt: skip
COLOURS = FieldSection(
    name="colours",
    table="colour",
    figures=("stocks", "paint", "cost.total"),
    fields=(
        _f("name", "name", "text", "rust", "What the jar and the bands are called."),
        _f("dye", "dye", "text", "food red", "A dye or jar of the shelf, or a dye of the tables.", names="dye"),
        _f("mix", "or a mix", "mix", "gorse 70, deep water 30", "Several dyes and their shares, together 100.",
           names="dye"),
        _f("depth", "depth", "share", "1 %", "Dye on the weight of the fibre it covers.",
           decides=(("paint.{colour}.depth", ""), ("kettle.depth", ""))),
        _f("stock", "stock", "strength", "1 %", "Grams in 100 mL.", "figure",
           decides=(("stock.{stock}.strength", ""),)),
        _f("drops", "or drops", "drops", "10", "Of a bottle of unknown strength, instead of a depth.",
           decides=(("stock.{stock}.drops", "paint.{colour}.liquid"),)),
        _f("in", "drops go into", "volume", "3/4 cup", "The water the drops are counted into."),
        _f("liquid", "paint to mix", "volume", "50 mL", "Where it shall not be what the fibre can hold.",
           "figure paint.{colour}.liquid",
           decides=(("paint.{colour}.apply", "paint.{colour}.fibre"), ("kettle.dye", "fibre.weight"))),
    ),
)  # fmt: skip
LAYOUT = FieldSection(
    name="layout",
    table="layout",
    figures=("paint",),
    methods=(model.STEAM, model.MICROWAVE),
    fields=(
        _f("order", "bands", "layout", "rust 6, bare 5, kelp 6, bare 5, repeat",
           "Colours and rows (or shares, 40 %) in order; repeat fills the blank.", names="colour"),
    ),
)  # fmt: skip
SET = FieldSection(
    name="set",
    table="set",
    figures=("set", "cool and rinse"),
    methods=(model.STEAM,),
    fields=(
        _f("shape", "shape", "choice", "roll", "Of the wrapped packet.", "roll (default)", choices=model.SHAPES),
        _f("thickness", "thickness", "length", "5 cm", "The diameter of a roll."),
        _f("length", "length", "length", "14 cm", "Of the packet."),
        _f("width", "width", "length", "14 cm", "Of a flat packet."),
        _f("hob", "hob", "power", "1000 W", "What the ring gives.", "known hob_w"),
        _f("hob_efficiency", "hob efficiency", "number", "0.8", "Share of it that reaches the water.",
           "1 (house rule)"),
        _f("pot_water", "water in the pot", "volume", "1.5 L", "Below the packet, at the start.",
           "figure",
           decides=(("set.pot_water", ""),), at_least=True),
        _f("hold", "steam set", "duration", "30 min", "From rolling steam.", "figure",
           decides=(("set.hold", ""),), at_least=True),
        _f(
            "practice",
            "or a practice",
            "text",
            "steam-packet-least",
            "A published time at heat, instead of a time of your own.",
            names="hold",
        ),
        _f("places", "places in the pot", "whole", "1", "Packets that are steamed side by side.", "1 (default)"),
        _f("lid", "lid on", "flag", "yes", "Whether the lid stays on.", "yes (default)", choices=("yes", "no")),
    ),
)  # fmt: skip
WETTING = msgspec.structs.replace(
    PRESOAK, fields=tuple(f for f in PRESOAK.fields if f.key not in ACID), methods=(model.KETTLE,)
)
"""A kettle's fibre is wetted out in plain water; its acid goes into the bath."""
KETTLE = FieldSection(
    name="kettle",
    table="kettle",
    figures=("kettle", "cool and rinse"),
    methods=(model.KETTLE,),
    fields=(
        _f("acid", "acid", "text", "white vinegar", "Into the bath; an acid of the shelf or the tables.", names="acid"),
        _f("target_ph", "target pH", "ph", "4.0", "The acid is worked out for it.", "figure kettle.ph"),
        _f("acid_amount", "acid", "amount", "60 mL", "Instead of a target pH.", "figure",
           decides=(("kettle.acid", "fibre.weight"),)),
        _f("acid_added", "acid goes in", "choice", "staged", "Half later, which evens out, or all at the start.",
           "staged (default)", choices=model.ACID_ADDED),
        _f("liquor_ratio", "liquor ratio", "number", "30", "Litres of bath to a kilogram of fibre.",
           "30 (common practice)",
           decides=(("kettle.bath", "fibre.weight"),)),
        _f("start", "start", "temperature", "40 C", "Of the bath when the fibre goes in.", "figure",
           decides=(("kettle.start", ""),)),
        _f("ramp", "ramp", "number", "1.5", "Degrees Celsius a minute.", "by the dye class"),
        _f("top", "top", "temperature", "88 C", "What is held.", "figure kettle.top"),
        _f("hold", "hold", "duration", "45 min", "At the top.", "figure",
           decides=(("kettle.hold", ""),)),
        _f("parts", "parts of dye", "whole", "1", "2 or 3 let it strike unevenly: a semi-solid.", "1 (default)"),
        _f("hob", "hob", "power", "1000 W", "What the ring gives.", "known hob_w"),
        _f("hob_efficiency", "hob efficiency", "number", "0.8", "Share of it that reaches the pot.",
           "1 (house rule)"),
        _f("pot", "empty pot", "mass", "1.5 kg", "It is warmed too.", "1.5 kg (estimate)"),
        _f("lid", "lid on", "flag", "yes", "Whether the lid stays on.", "yes (default)", choices=("yes", "no")),
    ),
)  # fmt: skip
MICROWAVE = FieldSection(
    name="microwave",
    table="microwave",
    figures=("microwave", "cool and rinse"),
    methods=(model.MICROWAVE,),
    fields=(
        _f("power", "power", "power", "600 W", "What the oven gives at the setting used."),
        _f("burst", "burst", "duration", "2 min", "Each time.", "figure microwave.burst"),
        _f("rest", "rest", "duration", "2 min", "After each burst.", "figure microwave.rest"),
        _f("rounds", "bursts", "whole", "2", "How many, before the first look.", "figure microwave.bursts"),
        _f("stand", "stand", "duration", "10 min", "In the shut oven, before it is lifted out.",
           "figure microwave.stand"),
        _f("thickness", "thickness", "length", "3 cm", "Of the packet in its dish.", "3 cm (estimate)"),
    ),
)  # fmt: skip
KIT = FieldSection(
    name="kit",
    table="kit",
    figures=("stocks", "cost.total"),
    fields=(
        _f("use", "use", "names", "steamer pot, foam brushes", "What touches the dye; the shelf says what is dye-only.",
           names="kit"),
    ),
)  # fmt: skip
KNIT = FieldSection(
    name="knit",
    table="knit",
    figures=(),
    fields=(
        _f("stitches", "stitches", "whole", "64", "Of the piece it will be knitted into."),
        _f("gauge", "gauge", "gauge", "32 st / 4 in", "Of a swatch, washed and dried flat."),
    ),
)  # fmt: skip


def _whole(section: FieldSection, keys: tuple[str, ...]) -> FieldSection:
    """The section with a plain row for each key of the file that has none of its own yet."""
    told = {f.key for f in section.fields}
    more = tuple(
        _f(key, key.replace("_", " "), "any", "", "As the plan file has it.")
        for key in keys
        if key not in told
    )
    return msgspec.structs.replace(section, fields=(*section.fields, *more))


SECTIONS: tuple[FieldSection, ...] = (
    PLAN,
    _whole(FIBRE, reading.FIBRE),
    _whole(WATER, reading.WATER),
    msgspec.structs.replace(_whole(PRESOAK, reading.PRESOAK), methods=(model.STEAM, model.MICROWAVE)),
    WETTING,
    _whole(COLOURS, colours.KEYS),
    LAYOUT,
    _whole(SET, reading.SET),
    KETTLE,
    MICROWAVE,
    _whole(KIT, reading.KIT),
    _whole(KNIT, reading.KNIT),
)


def labels_of(table: str) -> dict[str, str]:
    """What the fields are called, by the keys that sentences about that table may name."""
    everywhere = {f"{s.table}.{f.key}": f.label.removeprefix("or ") for s in SECTIONS for f in s.fields}
    own = {key.partition(".")[2]: label for key, label in everywhere.items() if key.startswith(f"{table}.")}
    return everywhere | {key: label for key, label in own.items() if "_" in key}


def sections_for(method: str) -> tuple[FieldSection, ...]:
    """The sections a plan of that method has; all of them where the method is not known yet."""
    return tuple(s for s in SECTIONS if method in s.methods or method not in model.METHODS)


def section_of(table: str) -> FieldSection | None:
    """The section of a table of the file."""
    return next((s for s in SECTIONS if s.table == table), None)


def field_of(table: str, key: str) -> Field | None:
    """The field of a key, or None where the table has none of that name."""
    section = section_of(table)
    return next((f for f in section.fields if f.key == key), None) if section else None
