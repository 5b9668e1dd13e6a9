"""The tables of a plan: a row for each of its keys, and which of them exclude or belong to one another."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache
from typing import Literal

import msgspec

from studio.plan import model
from studio.plan.errors import Term, table_named
from studio.plan.ways import method_called, method_names, methods

LEAST_DROPS, MOST_DROPS = 0.01, 10_000.0
"""A plan worked out anew for a tenth of its weight may ask for a part of a drop. House rule."""
Names = Literal["", "dye", "acid", "thickener", "base", "fibre", "kit", "colour", "dose", "hold"]
"""Whose names complete what is typed."""


Wants = Literal["", "paint", "sour soak"]
"""What a key is for that not every way of dyeing has: colour that is painted on, acid in the soak."""


class Instead(msgspec.Struct, frozen=True):
    """What stands in for a key that was left out."""

    of: Literal["figure", "base", "known", "default"]
    name: str = ""
    """The figure (its own where empty; `{colour}` is the colour's slug), the key of the base or of what is known, or
    the words to show."""
    origin: str = ""
    """Of such words: what they go by."""


def figure(figure_id: str = "") -> Instead:
    """What is worked out: that figure, or the one the key decides."""
    return Instead("figure", figure_id)


def of_base(key: str) -> Instead:
    """What the shelf says of the base."""
    return Instead("base", key)


def known(name: str) -> Instead:
    """What is known of the studio."""
    return Instead("known", name)


def usual(words: str, origin: str = "") -> Instead:
    """The same for every plan."""
    return Instead("default", words, origin)


class Field(msgspec.Struct, frozen=True, kw_only=True):
    """One key of a plan or of a shelf entry: how it is read, refused, typed, shown and written again."""

    key: str
    label: str
    kind: str
    """A kind of quantity (`quantity.KINDS`), or another of `keys.READERS`, or of the reader's own."""
    example: str
    tells: str = ""
    """What it is for, one short sentence."""
    low: float = 0.0
    """In the base unit of its kind; 0 itself is refused of a quantity: nothing weighs 0 g."""
    high: float = math.inf
    """In the same unit; of a text the most characters."""
    needed: bool = False
    """Whether its table cannot be without it."""
    unless: str = ""
    """The key of the same table that can stand in for one that is needed."""
    into: str = ""
    """What it is called where it was read, if not by its key."""
    empty: Instead | None = None
    """What stands in where it is left out; None where it must be there or nothing stands in."""
    decides: tuple[tuple[str, str], ...] = ()
    """The figure that this key decides, and the one that goes with in proportion (empty: it stands whatever the
    weight); of several pairs that of the method. What was measured of it is what a repeat writes here. `{stock}` is
    the slug of a stock."""
    worked_last: bool = False
    """Its figure follows from others of its table: acid from water, depth from stocks."""
    at_least: bool = False
    """Another packet is never given less than is worked out for it."""
    choices: tuple[str, ...] = ()
    names: Names = ""
    wants: Wants = ""
    kitchen: bool = False
    """A weight of fibre or water, echoed in the units that a kitchen reads."""


class FieldSection(msgspec.Struct, frozen=True, kw_only=True):
    """One table of a plan, or of the shelf."""

    name: str
    """As the screen calls it."""
    short: str = ""
    """The same where there is little room; empty where it is short already."""
    table: str
    """As the file calls it; empty for the top of the file."""
    fields: tuple[Field, ...]
    figures: tuple[str, ...] = ()
    """Parts of the worksheet, or ids of figures, that belong beside it."""
    either: tuple[tuple[str, str], ...] = ()
    """Keys that say one thing in two ways; of two the first is blamed where a file has both."""
    methods: tuple[str, ...] = ()
    """The methods whose plans have it; empty for all."""

    @property
    def keys(self) -> tuple[str, ...]:
        """What they are called in the file."""
        return tuple(field.key for field in self.fields)

    def fits(self, method: str) -> bool:
        """Whether a plan of that method has it."""
        return not self.methods or method in self.methods


def row(
    key: str,
    label: str,
    kind: str,
    example: str,
    tells: str = "",
    empty: Instead | None = None,
    **more: object,
) -> Field:
    """One key, by what a table of them needs to say."""
    made = Field(key=key, label=label, kind=kind, example=example, tells=tells, empty=empty)
    return msgspec.structs.replace(made, **more)


WEIGHT = "fibre.weight"
"""The figure that all others go with where the fibre weighs more or less."""
ACID_KEYS = ("acid", "target_ph", "acid_amount", "practice")
"""Of the presoak, or of the table that has the acid in its place."""

PLAN = FieldSection(
    name="plan",
    table="",
    figures=("fibre.weight", "stocks", "paint.capacity", "set.hold", "cost"),
    fields=(
        row("title", "title", "text", "Tidewrack stripes", "The name of the session and its yarn card.",
            needed=True),
        row("method", "method", "choice", "", "How the dye gets into the fibre."),
        row("salt", "salt", "choice", "none", "Glauber's salt, to level some dyes.", usual("none", "default"),
           choices=model.SALTS),
        row("reserve", "reserve", "share", "20 %", "Paint mixed beyond what the fibre can hold.",
           usual("20 %", "house rule"), low=-1.0, high=100.0, wants="paint"),
        row("thicken", "thickener", "thickener", "guar 0.5 %", "For all paint: a gum and its grams in 100 mL.",
           names="thickener", wants="paint"),
    ),
)  # fmt: skip
DRY_WEIGHT = row("dry_weight", "dry weight", "mass", "100 g", "Air-dry, as your scale shows it.",
    of_base("dry_weight_g"), needed=True, unless="base", into="dry_weight", decides=((WEIGHT, ""),),
    high=100_000.0, kitchen=True)  # fmt: skip
FIBRE = FieldSection(
    name="fibre",
    table="fibre",
    figures=("fibre", "paint.held", "paint.capacity"),
    fields=(
        row("base", "base", "text", "harbour sock blank", "An undyed base from your shelf; it fills in the rest.",
           names="base"),
        row("blend", "blend", "blend", "superwash wool 75, nylon 25", "Fibres and their per cent, together 100.",
           of_base("blend"), needed=True, unless="base", names="fibre"),
        DRY_WEIGHT,
        row("squeezed_weight", "squeezed weight", "mass", "180 g", "Weighed after the presoak and squeezing.",
           known("squeezed"),
           decides=(("paint.squeezed", WEIGHT),), high=1_000_000.0, kitchen=True),
        row("target_pickup", "target pick-up", "share", "150 %",
           "Liquid in the painted fibre, per cent of its dry weight.", known("pickup"),
           high=600.0),
        row("form", "form", "choice", "blank", "How the yarn lies.", of_base("form"), needed=True, unless="base",
            choices=model.FORMS),
        row("yarn_length", "yarn length", "yarn length", "420 m", "Of all strands together.", of_base("yarn_length_m")),
        row("circumference", "circumference", "length", "150 cm", "Once round the skein.", high=1_000.0),
        row("strands", "strands", "whole", "2", "Strands knitted together in the blank.", of_base("strands"),
            low=1, high=model.MOST_STRANDS),
        row("rows", "rows", "whole", "220", "Rows of the blank.", of_base("rows"), low=1, high=model.MOST_ROWS),
        row("pieces", "pieces", "whole", "1", "How many you dye alike.", usual("1", "default"),
           low=1, high=model.MOST_PIECES),
        row("stitches", "stitches", "whole", "60", "Stitches across the blank.", of_base("stitches"), low=1,
           high=model.MOST_STITCHES),
    ),
)  # fmt: skip
WATER = FieldSection(
    name="water",
    table="water",
    figures=("presoak.ph", "presoak.acid", "set.boiling_point"),
    fields=(
        row("alkalinity", "alkalinity", "alkalinity", "80 mg/L", "From your water supplier, or a test strip (KH).",
           known("alkalinity"), low=-1.0, high=1000.0),
        row("ph", "pH of the tap", "ph", "7.5", "Of your water before any acid.", known("water_ph"), low=6.0, high=9.5),
        row("altitude", "altitude", "altitude", "350 m", "Higher up, water boils cooler.", known("altitude"),
           low=model.LOWEST_M, high=model.HIGHEST_M),
        row("open", "stands open", "flag", "no", "Yes if the bath stands for hours and loses its carbon dioxide.",
           usual("only a pot that simmers does", "default"), choices=("yes", "no")),
    ),
)  # fmt: skip
PRESOAK = FieldSection(
    name="presoak",
    table="presoak",
    figures=("presoak",),
    either=(("acid_amount", "target_ph"), ("practice", "target_ph"), ("practice", "acid_amount")),
    fields=(
        row("acid", "acid", "text", "white vinegar", "An acid from your shelf or the tables.", names="acid",
            wants="sour soak"),
        row("liquor_ratio", "liquor ratio", "number", "20", "Litres of water to a kilogram of fibre.",
           usual("20", "common practice"),
           decides=(("presoak.water", WEIGHT),), low=3.0, high=200.0),
        row("target_ph", "target pH", "ph", "4.0", "The acid is worked out for it.", figure("presoak.ph"), low=2.0,
           high=7.0, wants="sour soak"),
        row(
            "practice",
            "published dose",
            "text",
            "vinegar-one-cup",
            "A published dose of acid, instead; potside practices lists them.",
            names="dose",
            wants="sour soak",
        ),
        row("acid_amount", "acid amount", "amount", "60 mL", "Instead of a target pH.", figure(),
           decides=(("presoak.acid", WEIGHT),), worked_last=True, high=20_000.0, wants="sour soak"),
        row("paint_acid", "acid in all paint", "amount", "5 mL", "Into each 100 mL of paint, beside the soak's.",
           high=model.MOST_IN_PAINT, wants="paint"),
        row("time", "time", "duration", "30 min", "How long the fibre soaks.", figure(),
           decides=(("presoak.time", ""),), high=48 * 60.0),
        row("temperature", "temperature", "temperature", "40 C", "Of the soak.", figure("presoak.temperature"), low=1.0,
           high=100.0),
    ),
)  # fmt: skip
COLOURS = FieldSection(
    name="colours",
    table="colour",
    figures=("stocks", "paint", "cost.total"),
    either=(("mix", "dye"), ("depth", "drops"), ("mix", "drops")),
    fields=(
        row("name", "name", "text", "rust", "The name of its jar and its bands.", needed=True, high=40),
        row("dye", "dye", "text", "food red", "A dye or jar from your shelf, or a dye of the tables.", names="dye",
           high=80),
        row("depth", "depth", "share", "1 %", "Dye, per cent of the weight of the fibre it dyes.",
           decides=(("paint.{colour}.depth", ""),), worked_last=True, high=20.0),
        row("stock", "stock", "strength", "1 %", "Its strength: grams of dye in 100 mL.", figure(),
           decides=(("stock.{stock}.strength", ""),), high=50.0),
        row("liquid", "paint to mix", "volume", "50 mL", "Leave it out for as much as the fibre can hold.",
           figure("paint.{colour}.liquid"),
           decides=(("paint.{colour}.apply", "paint.{colour}.fibre"),), high=20_000.0),
        row("mix", "mix", "mix", "gorse 70, deep water 30", "Several dyes and their shares, together 100.",
           names="dye"),
        row("drops", "drops", "drops", "10", "Drops from a bottle of unknown strength, instead of a depth.",
           decides=(("stock.{stock}.drops", "paint.{colour}.liquid"),), low=LEAST_DROPS, high=MOST_DROPS),
        row("in", "drops go into", "volume", "3/4 cup", "The water you count the drops into.", into="drops_in",
            high=20_000.0),
        row("acid", "acid in paint", "amount", "5 mL", "Into each 100 mL of this paint; else as in all paint.",
           high=model.MOST_IN_PAINT, wants="paint"),
        row("thicken", "thickener", "thickener", "guar 0.5 %", "For this paint; else as in all paint.",
           names="thickener", wants="paint"),
    ),
)  # fmt: skip
PART = FieldSection(
    name="dye of a mix",
    table="mix",
    fields=(
        row("dye", "dye", "text", "food red", needed=True),
        row("share", "share", "share", "60 %", needed=True, high=100.0),
        row("stock", "stock", "strength", "1 %", high=50.0),
    ),
)  # fmt: skip
LAYOUT = FieldSection(
    name="layout",
    table="layout",
    figures=("paint",),
    fields=(
        row("order", "order of bands", "layout", "rust 6, bare 5, kelp 6, bare 5, repeat",
           "Colours with their rows, or shares such as 40 %, in order; repeat fills the blank.", names="colour"),
        row("sides", "sides painted", "whole", "2", "2: half the paint on the front, and half on the back once turned.",
            usual("1", "default"), low=1, high=2),
    ),
)  # fmt: skip
KIT = FieldSection(
    name="kit",
    table="kit",
    figures=("stocks", "cost.total"),
    fields=(
        row("use", "use", "names", "steamer pot, foam brushes",
           "What touches the dye; your shelf says what is kept for dye only.", names="kit"),
    ),
)  # fmt: skip
KNIT = FieldSection(
    name="knit",
    table="knit",
    figures=(),
    fields=(
        row("stitches", "stitches", "whole", "64", "In a round of the piece you will knit from it.", low=1,
           high=model.MOST_STITCHES),
        row("gauge", "gauge", "gauge", "32 st / 4 in", "Of your swatch, washed and dried flat."),
    ),
)  # fmt: skip


@cache
def sections() -> tuple[FieldSection, ...]:
    """Every table of a plan, in the order of a file."""
    ways = methods()
    banded = tuple(m.name for m in ways if m.put_on.has_bands)
    return (
        _with_methods(PLAN),
        FIBRE,
        WATER,
        PRESOAK,
        _decided_by(COLOURS),
        msgspec.structs.replace(LAYOUT, methods=banded),
        *(msgspec.structs.replace(m.set_by.section, methods=(m.name,)) for m in ways),
        KIT,
        KNIT,
    )


def _decided_by(section: FieldSection) -> FieldSection:
    """With the figures that its keys decide where colour is put on otherwise."""
    others = [m.put_on.decides for m in methods()]
    told = (
        msgspec.structs.replace(f, decides=(*f.decides, *(o[f.key] for o in others if f.key in o)))
        for f in section.fields
    )
    return msgspec.structs.replace(section, fields=tuple(told))


def _with_methods(plan: FieldSection) -> FieldSection:
    names = method_names()
    empty = usual(names[0], "default")
    told = (
        msgspec.structs.replace(f, example=names[0], empty=empty, choices=names) if f.key == "method" else f
        for f in plan.fields
    )
    return msgspec.structs.replace(plan, fields=tuple(told))


@cache
def sections_for(method: str) -> tuple[FieldSection, ...]:
    """The sections a plan of that method has, and their rows; all of them where the method is not known yet."""
    if method not in method_names():
        return sections()
    way = method_called(method)
    return tuple(
        msgspec.structs.replace(s, fields=tuple(filter(way.has, s.fields)))
        for s in sections()
        if s.fits(method)
    )


def section_of(table: str) -> FieldSection | None:
    """The section of a table of the file."""
    return next((s for s in sections() if s.table == table), None)


def field_of(table: str, key: str) -> Field | None:
    """The field of a key, or None where the table has none of that name."""
    section = section_of(table)
    return next((f for f in section.fields if f.key == key), None) if section else None


GOES_WITH = {("colour", "drops"): ("in",)}
"""What goes out with a key: the water drops are counted into says nothing without them."""


def ousted(table: str, key: str, value: object, row: Mapping[str, object]) -> tuple[str, ...]:
    """The keys of the same table that a newer one takes the place of, of those that are there.

    >>> ousted("presoak", "target_ph", 4, {"acid_amount": "60 mL", "time": "30 min"})
    ('acid_amount',)
    """
    section = section_of(table)
    others = [other for pair in section.either if key in pair for other in pair] if section else []
    for method in methods():
        others += method.set_by.uneven(key, value, row) if method.set_by.table == table else ()
    found = [other for other in others if other in row and other != key]
    return tuple(
        dict.fromkeys(k for other in found for k in (other, *GOES_WITH.get((table, other), ())) if k in row)
    )


@cache
def elsewhere() -> dict[str, Term]:
    """Where a key belongs that stands in the wrong table."""
    usual_way, *others = methods()
    tables = (*(m.set_by.section for m in others), KNIT, KIT, LAYOUT, COLOURS, usual_way.set_by.section)
    homes = {s.table: table_named(s.table) for s in (*tables, PRESOAK, WATER, FIBRE)}
    homes["colour"] = Term("[[colour]]", "colour")
    found = {key: homes[s.table] for s in (*tables, PRESOAK, WATER, FIBRE) for key in s.keys}
    top = Term("the top of the file, before the first table", "the plan itself")
    return {**found, "repeat": homes["layout"], **dict.fromkeys(("format", *PLAN.keys), top)}
