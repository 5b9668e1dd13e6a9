"""Every key a shelf entry may have: a row for each, and how its value is typed and shown."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from studio.craft.pot import MOST_MARGIN_PERCENT
from studio.craft.shade import AGE_LIMITS
from studio.plan.draft.field_text import read_field
from studio.plan.errors import PlanError, on_screen, quoted
from studio.plan.fields import Field, FieldSection, row
from studio.plan.model import FORMS, HIGHEST_M, LOWEST_M, MOST_ROWS, MOST_STITCHES, MOST_STRANDS
from studio.plan.shelf import EMPTY_SHELF, EXAMPLE, Looks, Shelf, entry_called, hex_of, read_looks
from studio.quantity.kinds import KINDS
from studio.quantity.reading_in import UNIT_SYSTEMS
from studio.quantity.showing import unit_text
from studio.tables.finding import find_class
from studio.tables.rows import UNKNOWN, dye_classes

KEPT_FOR = ("dye only", "kitchen")
DYE_FORMS = ("powder", "liquid")
_SHEET = row("sheet", "maker's sheet", "text", "https://example.org/sheet.pdf")

_SECTIONS = (
    FieldSection(name="dyes", table="dye", fields=(
        row("name", "name", "text", "studio rust", needed=True, high=60),
        row("dye", "table dye", "text", "C.I. Acid Orange 7", high=80),
        row("class", "dye class", "class", "levelling", into="dye_class", high=40),
        row("form", "powder or liquid", "choice", "powder", choices=DYE_FORMS),
        row("strength", "strength", "strength", "2 %", into="strength_percent", high=50.0),
        row("mixture", "a mixture", "flag", "true"),
        row("components", "made up of", "names", "C.I. Acid Orange 7, C.I. Acid Blue 9"),
        row("on_hand", "on hand", "amount", "25 g", low=-1.0),
        row("price", "price of a pack", "number", "8.5", high=100_000.0),
        row("pack", "pack", "amount", "25 g"),
        row("looks", "looks", "looks", EXAMPLE, high=80),
        _SHEET,
    )),
    FieldSection(name="jars of stock", short="jars", table="jar", fields=(
        row("name", "name", "text", "rust, left over", needed=True, high=60),
        row("dye", "dye in it", "text", "studio rust", needed=True),
        row("strength", "strength", "strength", "1 %", needed=True, into="strength_percent", high=50.0),
        row("volume", "volume", "volume", "80 mL", needed=True, into="volume_ml", high=100_000.0),
        row("made", "made on", "label", "2026-09-30", high=40),
        row("use_by", "use by", "day", "2026-12-29", high=40),
        row("kind", "kept as", "choice", "stock", choices=tuple(AGE_LIMITS)),
        row("session", "left over from", "text", "20260912-0704-tidewrack-stripes-63ea", high=120),
    )),
    FieldSection(name="acids", table="acid", fields=(
        row("name", "name", "text", "pantry vinegar", needed=True, high=60),
        row("acid", "table acid", "text", "white vinegar", needed=True),
        row("strength", "strength", "strength", "5 %", into="strength_percent", high=100.0),
        row("strength_by", "strength is by", "choice", "volume", choices=("volume", "weight")),
        row("on_hand", "on hand", "amount", "750 mL", low=-1.0),
        row("price", "price of a pack", "number", "0.9", high=100_000.0),
        row("pack", "pack", "amount", "1 L"),
        _SHEET,
    )),
    FieldSection(name="thickeners", table="thickener", fields=(
        row("name", "name", "text", "shop guar", needed=True, high=60),
        row("thickener", "table thickener", "text", "guar", needed=True),
        row("on_hand", "on hand", "amount", "100 g", low=-1.0),
        row("price", "price of a pack", "number", "4.5", high=100_000.0),
        row("pack", "pack", "amount", "100 g"),
    )),
    FieldSection(name="bases", table="base", fields=(
        row("name", "name", "text", "harbour sock", needed=True, high=60),
        row("blend", "blend", "blend", "superwash wool 75, nylon 25", needed=True),
        row("form", "form", "choice", "blank", choices=FORMS),
        row("dry_weight", "weight of a piece", "mass", "100 g", into="dry_weight_g", high=100_000.0, kitchen=True),
        row("yarn_length", "yarn in a piece", "yarn length", "420 m", into="yarn_length_m"),
        row("strands", "strands", "whole", "2", low=1, high=MOST_STRANDS),
        row("rows", "rows", "whole", "220", low=1, high=MOST_ROWS),
        row("stitches", "stitches", "whole", "60", low=1, high=MOST_STITCHES),
        row("white", "undyed colour", "colour", "#f2ead8", into="white_hex", high=40),
        row("on_hand", "pieces on hand", "whole", "3", high=100_000),
        row("price", "price of a piece", "number", "11.5", high=100_000.0),
    )),
    FieldSection(name="kit", table="kit", fields=(
        row("name", "name", "text", "steamer pot", needed=True, high=60),
        row("kept_for", "kept for", "choice", "dye only", needed=True, choices=KEPT_FOR),
        row("kind", "what it is", "text", "microwave", high=40),
        row("resolution", "smallest step", "mass", "0.01 g", into="resolution_g", high=100.0),
        row("volume", "holds", "volume", "5 L", into="volume_ml", high=200_000.0),
        row("power", "power", "power", "1000 W", into="power_w", high=20_000.0),
        row("steam_time", "your steam time", "duration", "40 min", into="steam_time_min", high=600.0),
    )),
    FieldSection(name="water and studio", short="studio", table="studio", fields=(
        row("name", "name", "text", "Skerry Lane studio", high=80),
        row("units", "units", "choice", "metric", choices=UNIT_SYSTEMS),
        row("currency", "currency", "text", "EUR", high=8),
        row("energy_price", "electricity, per kWh", "number", "0.32", high=10_000.0),
        row("hourly_rate", "your hourly rate", "number", "16", high=1_000_000.0),
        row("margin", "margin, of the price", "share", "35 %", into="margin_percent",
            high=MOST_MARGIN_PERCENT),
        row("scale_resolution", "step of the scale", "mass", "0.1 g", into="scale_resolution_g", high=100.0),
        row("drops_per_ml", "drops in one mL", "number", "22", low=5.0, high=60.0),
        row("hob", "hob", "power", "1000 W", into="hob_w", low=50.0, high=20_000.0),
        row("altitude", "altitude", "altitude", "15 m", into="altitude_m", low=LOWEST_M, high=HIGHEST_M),
        row("alkalinity", "alkalinity (KH)", "alkalinity", "4 °dKH", into="alkalinity_mg_l", low=-1.0,
            high=1000.0),
        row("water_ph", "pH of the water", "ph", "7.4", low=6.0, high=9.5),
        row("room", "room", "temperature", "18 C", into="room_c", low=5.0, high=35.0),
    )),
)  # fmt: skip
SHELF_TABLES: dict[str, FieldSection] = {section.table: section for section in _SECTIONS}
"""The tables of the shelf, in the order they are shown."""

_TAKES = {
    "text": "Words",
    "label": "Words",
    "day": "Words",
    "choice": "One of these words",
    "number": "A number",
    "ph": "A number",
    "whole": "A whole number",
    "flag": "Yes or no",
    "names": "Names",
    "blend": "Fibres and shares",
    "class": "A dye class",
    "looks": "A colour or a dye",
    "colour": "A colour",
}


def takes(key: Field) -> str:
    """What its field takes, in a word or two."""
    return _TAKES.get(key.kind, "An amount")


def key_of(table: str, name: str) -> Field:
    """The key of that name; KeyError where the table has none."""
    for key in SHELF_TABLES[table].fields:
        if key.key == name:
            return key
    raise KeyError(name)


def on_shelf_screen(problem: PlanError, table: str, place: str = "") -> str:
    """A refusal as the shelf screens say it, of the value it is about; `place`: the file and line it begins with."""
    keys = {key.key: key for key in SHELF_TABLES[table].fields} if table in SHELF_TABLES else {}
    about = next((keys[str(part)] for part in problem.path[1:] if part in keys), None)
    return on_screen(
        problem, about, lambda path: keys[str(path[-1])].label if path[-1] in keys else "", place
    )


def refusal_on_shelf(problem: Exception, table: str) -> str:
    """What stands against a change, as the shelf screens say it."""
    return on_shelf_screen(problem, table) if isinstance(problem, PlanError) else str(problem)


# A shelf value as it is typed, as it is written in TOML, and as it is shown to be typed again.


def value_of(key: Field, text: str, shelf: Shelf = EMPTY_SHELF) -> Any:
    """What a person typed, as TOML has it; None for nothing typed. PlanError, one sentence, if it cannot be.

    shelf: whose dyes a dye may be said to look like. Whether the value itself is any good is for the reader
    of the shelf to say.
    """
    typed = text.strip()
    if not typed:
        if key.needed:
            raise PlanError(f"The {key.label} cannot be left out; write for example {key.example}.")
        return None
    if not typed.isprintable():
        raise PlanError(f"{quoted(typed)} holds characters that cannot be shown; type it without them.")
    if key.kind == "looks":
        return _looks_like(typed, shelf).text
    if key.kind == "class":
        found = find_class(typed)
        return found.id if found and found.id != UNKNOWN else found.name if found else typed
    if key.kind in ("colour", "day", "label"):
        return typed
    read = read_field(key, typed)
    if key.kind == "choice" and read.echo:
        return read.echo  # begun, and no other begins so
    if read.trouble and key.kind not in KINDS and key.kind != "amount":
        raise PlanError(f"The {key.label}: {read.trouble}")
    return read.value


def _looks_like(typed: str, shelf: Shelf) -> Looks:
    """Of a dye of the shelf what is known of it; of anything else what it says itself."""
    dye = entry_called(shelf.dyes, typed.removeprefix("like "))
    return read_looks(typed) if dye is None else dye.looks or read_looks(dye.dye or typed)


def echo(key: Field, text: str, drops_per_ml: float = 20.0) -> str:
    """What a typed value is taken for, where that says more than the text: `71.4 mg/L as CaCO3`.

    >>> from studio.shelf.keys import echo, key_of
    >>> echo(key_of("studio", "alkalinity"), "4 °dKH"), echo(key_of("dye", "on_hand"), "25 g")
    ('71.4 mg/L as CaCO3', '')
    """
    if key.kind in _ECHOES:
        return _ECHOES[key.kind](text)
    return read_field(key, text, drops_per_ml=drops_per_ml).echo if text.strip() else ""


def _echo_looks(text: str) -> str:
    try:
        told = read_looks(text).told
    except PlanError:
        return ""
    return "" if told == text.strip().casefold() else told


def _echo_class(text: str) -> str:
    """What an unknown class means; nothing for a known one."""
    found = find_class(text)
    return "" if found is None or found.id != UNKNOWN else found.note


_ECHOES: dict[str, Callable[[str], str]] = {
    "looks": _echo_looks,
    "class": _echo_class,
    "colour": lambda text: "" if text.strip().startswith("#") else hex_of(text),
    "day": lambda text: "",
    "label": lambda text: "",
}

KH_HINT = (
    "Alkalinity is meant, not hardness: on a test strip the pad KH, carbonate hardness or total alkalinity; "
    "GH, total hardness, says nothing about it."
)
"""**Source:** alkalinity is what neutralises acid, hardness is calcium and magnesium: common practice."""


def hint(key: Field) -> str:
    """What to write, before anything is typed."""
    if key.kind == "alkalinity":
        return f"{KH_HINT} Write for example 4 °dKH, 80 mg/L, 7 °fH, 4 gpg or 5 Clark."
    choices = tuple(dye_classes()) if key.kind == "class" else key.choices
    if choices:
        return f"one of {', '.join(choices)}."
    if key.kind == "looks":
        return f"{EXAMPLE}, a colour name, or a dye that looks like it."
    unit = KINDS[key.kind].base if key.kind in KINDS else "1"
    return f"for example {key.example}" + (f" (read in {unit_text(unit)})" if unit != "1" else "")
