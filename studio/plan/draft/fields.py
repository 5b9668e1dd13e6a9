"""What a plan loses and gains when its method changes."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any, Literal

import msgspec

from studio.plan import colours, model, reading
from studio.plan.ways import method_called, method_names, methods

if TYPE_CHECKING:
    from studio.plan.text import PlanText


ACID = ("acid", "target_ph", "acid_amount", "practice")
CARRIED = ("acid", "target_ph", "acid_amount")


def change_method(new: PlanText, data: dict[str, Any], name: str) -> None:
    """Take out what belongs to another method, and carry the acid to the table where the new one has it.

    data: the plan before. What is taken out comes back with one step back.
    """
    method, tables = method_called(name), {m.acid_table: _table(data, m.acid_table) for m in methods()}
    for other in methods():
        if other.set_by.table != method.set_by.table:
            new.drop_table(other.set_by.table)
    if not method.put_on.has_bands:
        new.drop_table("layout")
        new.erase("", None, "reserve")
    if method.acid_table != "presoak":
        for key in ACID:
            new.erase("presoak", None, key)
    here = tables.pop(method.acid_table)
    for there in tables.values():
        for key in CARRIED:
            if key in there and key not in here:
                new.write(method.acid_table, None, key, there[key])


def _table(data: dict[str, Any], name: str) -> dict[str, Any]:
    found = data.get(name)
    return found if isinstance(found, dict) else {}


Names = Literal["", "dye", "acid", "base", "fibre", "kit", "colour", "dose", "hold"]
"""Whose names complete what is typed."""


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
    """One key of a plan."""

    key: str
    label: str
    kind: str
    """A kind of quantity (`quantity.KINDS`), or one of `KINDS_OF_OWN`."""
    example: str
    tells: str
    """What it is for, one short sentence."""
    empty: Instead | None = None
    """What stands in where it is left out; None where it must be there or nothing stands in."""
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
    methods: tuple[str, ...] = ()
    """The methods whose plans have it; empty for all."""

    def fits(self, method: str) -> bool:
        """Whether a plan of that method has it."""
        return not self.methods or method in self.methods


def row(
    key: str, label: str, kind: str, example: str, tells: str, empty: Instead | None = None, **more: object
) -> Field:
    """One key, by what a table of them needs to say."""
    made = Field(key=key, label=label, kind=kind, example=example, tells=tells, empty=empty)
    return msgspec.structs.replace(made, **more)


PLAN = FieldSection(
    name="plan",
    table="",
    figures=("fibre.weight", "stocks", "paint.capacity", "set.hold", "cost"),
    fields=(
        row("title", "title", "text", "Tidewrack stripes", "What the session and its yarn card are called."),
        row("method", "method", "choice", "", "How the dye gets into the fibre."),
        row("salt", "salt", "choice", "none", "Levelling salt in the bath, if any.", usual("none", "default"),
           choices=model.SALTS),
        row("reserve", "reserve", "share", "20 %", "Paint mixed beyond what the fibre can hold.",
           usual("20 %", "house rule")),
    ),
)  # fmt: skip
FIBRE = FieldSection(
    name="fibre",
    table="fibre",
    figures=("fibre", "paint.held", "paint.capacity"),
    fields=(
        row("base", "base", "text", "harbour sock blank", "An undyed base of the shelf; it fills in the rest.",
           names="base"),
        row("blend", "blend", "blend", "superwash wool 75, nylon 25", "Fibres and per cent, together 100.",
           of_base("blend"), names="fibre"),
        row("dry_weight", "dry weight", "mass", "100 g", "Air-dry, as the scale shows it.", of_base("dry_weight_g"),
           decides=(("fibre.weight", ""),)),
        row("squeezed_weight", "squeezed weight", "mass", "180 g", "Weighed after the presoak and squeezing.",
           known("squeezed"),
           decides=(("paint.squeezed", "fibre.weight"),)),
        row("target_pickup", "target pick-up", "share", "150 %",
           "Liquid the fibre shall hold when painted, on its dry weight.", known("pickup")),
        row("form", "form", "choice", "blank", "How the yarn lies.", of_base("form"), choices=model.FORMS),
        row("yarn_length", "yarn length", "yarn length", "420 m", "All strands together.", of_base("yarn_length_m")),
        row("circumference", "circumference", "length", "150 cm", "Once round the skein."),
        row("strands", "strands", "whole", "2", "Strands knitted together in the blank.", of_base("strands")),
        row("rows", "rows", "whole", "220", "Rows of the blank.", of_base("rows")),
        row("pieces", "pieces", "whole", "1", "How many pieces of the base are dyed alike.", usual("1", "default")),
        row("stitches", "stitches", "whole", "60", "Stitches across the blank.", of_base("stitches")),
    ),
)  # fmt: skip
WATER = FieldSection(
    name="water",
    table="water",
    figures=("presoak.ph", "presoak.acid", "set.boiling_point"),
    fields=(
        row("alkalinity", "alkalinity", "alkalinity", "80 mg/L", "As CaCO3, from the water works' report.",
           known("alkalinity")),
        row("ph", "pH of the tap", "ph", "7.5", "Of the water as it comes.", known("water_ph")),
        row("altitude", "altitude", "altitude", "350 m", "Water boils cooler higher up.", known("altitude")),
        row("open", "stands open", "flag", "no", "Whether the soak stands long enough to lose its carbon dioxide.",
           usual("no", "default"), choices=("yes", "no")),
    ),
)  # fmt: skip
PRESOAK = FieldSection(
    name="presoak",
    table="presoak",
    figures=("presoak",),
    fields=(
        row("acid", "acid", "text", "white vinegar", "An acid of the shelf or the tables.", names="acid"),
        row("liquor_ratio", "liquor ratio", "number", "20", "Litres of water to a kilogram of fibre.",
           usual("20", "common practice"),
           decides=(("presoak.water", "fibre.weight"),)),
        row("target_ph", "target pH", "ph", "4.0", "The acid is worked out for it.", figure("presoak.ph")),
        row(
            "practice",
            "published dose",
            "text",
            "vinegar-one-cup",
            "A published dose, instead of either; potside practices lists them.",
            names="dose",
        ),
        row("acid_amount", "acid", "amount", "60 mL", "Instead of a target pH.", figure(),
           decides=(("presoak.acid", "fibre.weight"),)),
        row("time", "time", "duration", "30 min", "How long it soaks.", figure(),
           decides=(("presoak.time", ""),)),
        row("temperature", "temperature", "temperature", "40 C", "Of the soak.", figure("presoak.temperature")),
    ),
)  # fmt: skip
COLOURS = FieldSection(
    name="colours",
    table="colour",
    figures=("stocks", "paint", "cost.total"),
    fields=(
        row("name", "name", "text", "rust", "What the jar and the bands are called."),
        row("dye", "dye", "text", "food red", "A dye or jar of the shelf, or a dye of the tables.", names="dye"),
        row("mix", "mix", "mix", "gorse 70, deep water 30", "Several dyes and their shares, together 100.",
           names="dye"),
        row("depth", "depth", "share", "1 %", "Dye on the weight of the fibre it covers.",
           decides=(("paint.{colour}.depth", ""),)),
        row("stock", "stock", "strength", "1 %", "Grams in 100 mL.", figure(),
           decides=(("stock.{stock}.strength", ""),)),
        row("drops", "drops", "drops", "10", "Of a bottle of unknown strength, instead of a depth.",
           decides=(("stock.{stock}.drops", "paint.{colour}.liquid"),)),
        row("in", "drops go into", "volume", "3/4 cup", "The water the drops are counted into."),
        row("liquid", "paint to mix", "volume", "50 mL", "Where it shall not be what the fibre can hold.",
           figure("paint.{colour}.liquid"),
           decides=(("paint.{colour}.apply", "paint.{colour}.fibre"),)),
    ),
)  # fmt: skip
LAYOUT = FieldSection(
    name="layout",
    table="layout",
    figures=("paint",),
    fields=(
        row("order", "order of bands", "layout", "rust 6, bare 5, kelp 6, bare 5, repeat",
           "Colours and rows (or shares, 40 %) in order; repeat fills the blank.", names="colour"),
    ),
)  # fmt: skip
KIT = FieldSection(
    name="kit",
    table="kit",
    figures=("stocks", "cost.total"),
    fields=(
        row("use", "use", "names", "steamer pot, foam brushes",
           "What touches the dye; the shelf says what is dye-only.", names="kit"),
    ),
)  # fmt: skip
KNIT = FieldSection(
    name="knit",
    table="knit",
    figures=(),
    fields=(
        row("stitches", "stitches", "whole", "64", "Of the piece it will be knitted into."),
        row("gauge", "gauge", "gauge", "32 st / 4 in", "Of a swatch, washed and dried flat."),
    ),
)  # fmt: skip


def _whole(section: FieldSection, keys: tuple[str, ...]) -> FieldSection:
    """The section with a plain row for each key of the file that has none of its own yet."""
    told = {f.key for f in section.fields}
    more = tuple(
        row(key, key.replace("_", " "), "any", "", "As the plan file has it.")
        for key in keys
        if key not in told
    )
    return msgspec.structs.replace(section, fields=(*section.fields, *more))


@cache
def sections() -> tuple[FieldSection, ...]:
    """Every table of a plan, in the order of a file."""
    ways = methods()
    soaked = tuple(m.name for m in ways if m.acid_table == "presoak")
    plain = tuple(m.name for m in ways if m.acid_table != "presoak")
    banded = tuple(m.name for m in ways if m.put_on.has_bands)
    wetting = tuple(f for f in PRESOAK.fields if f.key not in ACID)
    return (
        _with_methods(PLAN),
        _whole(FIBRE, reading.FIBRE),
        _whole(WATER, reading.WATER),
        msgspec.structs.replace(_whole(PRESOAK, reading.PRESOAK), methods=soaked),
        msgspec.structs.replace(PRESOAK, fields=wetting, methods=plain),
        _decided_by(_whole(COLOURS, colours.KEYS)),
        msgspec.structs.replace(LAYOUT, methods=banded),
        *(msgspec.structs.replace(_whole(m.set_by.section, m.set_by.keys), methods=(m.name,)) for m in ways),
        _whole(KIT, reading.KIT),
        _whole(KNIT, reading.KNIT),
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


def sections_for(method: str) -> tuple[FieldSection, ...]:
    """The sections a plan of that method has; all of them where the method is not known yet."""
    return tuple(s for s in sections() if s.fits(method) or method not in method_names())


def section_of(table: str) -> FieldSection | None:
    """The section of a table of the file."""
    return next((s for s in sections() if s.table == table), None)


def field_of(table: str, key: str) -> Field | None:
    """The field of a key, or None where the table has none of that name."""
    section = section_of(table)
    return next((f for f in section.fields if f.key == key), None) if section else None
