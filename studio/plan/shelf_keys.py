"""Every key a shelf entry may have: what it is, how it is written, and what may be changed one by one."""

from __future__ import annotations

import re
from typing import Literal

import msgspec

from studio.craft.leftover import AGE_LIMITS
from studio.plan.dye_looks import EXAMPLE
from studio.plan.errors import PlanError
from studio.plan.model import FORMS
from studio.plan.screen_words import on_screen
from studio.quantity.preferred import UNIT_SYSTEMS

Written = Literal["text", "number", "whole", "flag", "texts", "blend", "class", "looks", "colour"]
"""How a key stands in TOML; a quantity is text with its unit."""


class Key(msgspec.Struct, frozen=True):
    """One key of a table."""

    key: str
    label: str
    written: Written
    example: str
    needed: bool = False
    """Whether an entry cannot be without it."""
    kinds: tuple[str, ...] = ()
    """The kinds of quantity it may be, of `quantity.KINDS`."""
    choices: tuple[str, ...] = ()
    """What it may be, where that is one of a few words."""

    @property
    def takes(self) -> str:
        """What its field takes, in a word or two."""
        return "An amount" if self.kinds else "One of these words" if self.choices else _TAKES[self.written]


_TAKES: dict[Written, str] = {
    "text": "Words",
    "number": "A number",
    "whole": "A whole number",
    "flag": "Yes or no",
    "texts": "Names",
    "blend": "Fibres and shares",
    "class": "A dye class",
    "looks": "A colour or a dye",
    "colour": "A colour",
}


KEPT_FOR = ("dye only", "kitchen")
DYE_FORMS = ("powder", "liquid")
AMOUNT = ("mass", "volume")
_SHEET = Key("sheet", "maker's sheet", "text", "https://example.org/sheet.pdf")

SHELF_KEYS: dict[str, tuple[Key, ...]] = {
    "dye": (
        Key("name", "name", "text", "studio rust", True),
        Key("dye", "table dye", "text", "C.I. Acid Orange 7"),
        Key("class", "dye class", "class", "levelling"),
        Key("form", "powder or liquid", "text", "powder", choices=DYE_FORMS),
        Key("strength", "strength", "text", "2 %", kinds=("strength",)),
        Key("mixture", "a mixture", "flag", "true"),
        Key("components", "made up of", "texts", "C.I. Acid Orange 7, C.I. Acid Blue 9"),
        Key(
            "on_hand",
            "on hand",
            "text",
            "25 g",
            kinds=AMOUNT,
        ),
        Key("price", "price of a pack", "number", "8.5"),
        Key(
            "pack",
            "pack",
            "text",
            "25 g",
            kinds=AMOUNT,
        ),
        Key("looks", "looks", "looks", EXAMPLE),
        _SHEET,
    ),
    "acid": (
        Key("name", "name", "text", "pantry vinegar", True),
        Key("acid", "table acid", "text", "white vinegar", True),
        Key("strength", "strength", "text", "5 %", kinds=("strength",)),
        Key(
            "on_hand",
            "on hand",
            "text",
            "750 mL",
            kinds=AMOUNT,
        ),
        Key("price", "price of a pack", "number", "0.9"),
        Key(
            "pack",
            "pack",
            "text",
            "1 L",
            kinds=AMOUNT,
        ),
        _SHEET,
    ),
    "base": (
        Key("name", "name", "text", "harbour sock", True),
        Key("blend", "blend", "blend", "superwash wool 75, nylon 25", True),
        Key("form", "form", "text", "blank", choices=FORMS),
        Key("dry_weight", "weight of a piece", "text", "100 g", kinds=("mass",)),
        Key("yarn_length", "yarn in a piece", "text", "420 m", kinds=("yarn length",)),
        Key("strands", "strands", "whole", "2"),
        Key("rows", "rows", "whole", "220"),
        Key("stitches", "stitches", "whole", "60"),
        Key("white", "undyed colour", "colour", "#f2ead8"),
        Key("on_hand", "pieces on hand", "whole", "3"),
        Key("price", "price of a piece", "number", "11.5"),
    ),
    "kit": (
        Key("name", "name", "text", "steamer pot", True),
        Key("kept_for", "kept for", "text", "dye only", True, choices=KEPT_FOR),
        Key("kind", "what it is", "text", "microwave"),
        Key("resolution", "smallest step", "text", "0.01 g", kinds=("mass",)),
        Key("volume", "holds", "text", "5 L", kinds=("volume",)),
        Key("power", "power", "text", "1000 W", kinds=("power",)),
        Key("steam_time", "own steam time", "text", "40 min", kinds=("duration",)),
    ),
    "jar": (
        Key("name", "name", "text", "rust, left over", True),
        Key("dye", "dye in it", "text", "studio rust", True),
        Key("strength", "strength", "text", "1 %", True, kinds=("strength",)),
        Key("volume", "volume", "text", "80 mL", True, kinds=("volume",)),
        Key("made", "made on", "text", "2026-09-30"),
        Key("use_by", "use by", "text", "2026-12-29"),
        Key("kind", "kept as", "text", "stock", choices=tuple(AGE_LIMITS)),
        Key("session", "left over from", "text", "20260912-0704-tidewrack-stripes-63ea"),
    ),
    "studio": (
        Key("name", "name", "text", "Skerry Lane studio"),
        Key("units", "units to read in", "text", "metric", choices=UNIT_SYSTEMS),
        Key("currency", "currency", "text", "EUR"),
        Key("energy_price", "price of a kWh", "number", "0.32"),
        Key("hourly_rate", "own hourly rate", "number", "16"),
        Key("margin", "gross margin of the price", "text", "35 %", kinds=("share",)),
        Key("scale_resolution", "step of the scale", "text", "0.1 g", kinds=("mass",)),
        Key("drops_per_ml", "drops in one mL", "number", "22"),
        Key("hob", "hob", "text", "1000 W", kinds=("power",)),
        Key("altitude", "altitude", "text", "15 m", kinds=("altitude",)),
        Key("alkalinity", "alkalinity (KH)", "text", "4 °dKH", kinds=("alkalinity",)),
        Key("water_ph", "pH of the water", "number", "7.4"),
        Key("room", "room", "text", "18 C", kinds=("temperature",)),
    ),
}

KEYS: dict[str, tuple[str, ...]] = {
    table: tuple(key.key for key in keys) for table, keys in SHELF_KEYS.items()
}
"""The names alone, by table."""


def key_of(table: str, name: str) -> Key:
    """The key of that name; KeyError where the table has none."""
    for key in SHELF_KEYS[table]:
        if key.key == name:
            return key
    raise KeyError(name)


def labels_of(table: str) -> dict[str, str]:
    """What the keys of a table are called, by the names that sentences about it may use."""
    return {key.key: key.label for key in SHELF_KEYS[table] if "_" in key.key}


def on_shelf_screen(problem: PlanError, table: str) -> str:
    """A refusal as the shelf screens say it, of the value it is about."""
    name = (*problem.key.split("."), "")[1]
    return on_screen(problem, next((k for k in SHELF_KEYS[table] if k.key == name), None), labels_of(table))


def remark_on_screen(sentence: str) -> str:
    """A remark about a shelf file as a screen says it: file and line, and the value by its label.

    >>> remark_on_screen("dyes.toml: line 3, dye[1].on_hand must lie above 0.")
    'dyes.toml: line 3, on hand must lie above 0.'
    """
    return _ENTRY_KEY.sub(lambda found: _label(found[1], found[2]), sentence)


_ENTRY_KEY = re.compile(rf"\b({'|'.join(SHELF_KEYS)})(?:\[[0-9]+\])?\.([a-z_]+)\b")


def _label(table: str, name: str) -> str:
    return next((key.label for key in SHELF_KEYS[table] if key.key == name), name)
