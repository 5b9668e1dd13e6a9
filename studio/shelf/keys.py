"""Every key a shelf entry may have: what it is, and how its value is typed, written in TOML and shown."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Literal

import msgspec

from studio.craft.jar import AGE_LIMITS
from studio.plan.errors import PlanError, on_screen, quoted
from studio.plan.model import FORMS
from studio.plan.shares import read_shares, shares_text
from studio.plan.shelf import EMPTY_SHELF, EXAMPLE, Looks, Shelf, hex_of, read_looks
from studio.quantity.kinds import KINDS, UNIT_SYSTEMS, Quantity, QuantityError
from studio.quantity.reading import parse, parse_number
from studio.quantity.showing import show
from studio.tables.finding import find_class, find_fibre
from studio.tables.loading import dye_classes
from studio.tables.rows import UNKNOWN

# Every key a shelf entry may have: what it is, how it is written, and what may be changed one by one.

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


def on_shelf_screen(problem: PlanError, table: str, place: str = "") -> str:
    """A refusal as the shelf screens say it, of the value it is about; `place`: the file and line it begins with."""
    keys = {key.key: key for key in SHELF_KEYS.get(table, ())}
    about = next((keys[str(part)] for part in problem.path[1:] if part in keys), None)
    return on_screen(
        problem, about, lambda path: keys[str(path[-1])].label if path[-1] in keys else "", place
    )


# A shelf value as it is typed, as it is written in TOML, and as it is shown to be typed again.

YES, NO = ("yes", "true", "y"), ("no", "false", "n")


def value_of(key: Key, text: str, shelf: Shelf = EMPTY_SHELF) -> Any:
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
    if key.choices:
        return _choice(key, typed)
    if key.written in ("text", "colour"):
        return typed
    if key.written == "texts":
        return [part.strip() for part in typed.split(",") if part.strip()]
    if key.written == "flag":
        if typed.casefold() in (*YES, *NO):
            return typed.casefold() in YES
        raise PlanError(f"{quoted(typed)} is neither yes nor no.")
    if key.written == "blend":
        return {name: _plain(share) for name, share in read_shares(typed, key.example, find_fibre)}
    if key.written == "class":
        found = find_class(typed)
        return found.id if found and found.id != UNKNOWN else found.name if found else typed
    if key.written == "looks":
        return _looks_like(typed, shelf).text
    return _number(key, typed)


def _choice(key: Key, typed: str) -> str:
    """The word that is meant: in any case, or begun."""
    same = [word for word in key.choices if word.casefold() == typed.casefold()]
    begun = [word for word in key.choices if word.casefold().startswith(typed.casefold())]
    if not same and len(begun) != 1:
        raise PlanError(f"The {key.label} cannot be {quoted(typed)}; write one of {', '.join(key.choices)}.")
    return (same or begun)[0]


def _number(key: Key, typed: str) -> float | int:
    try:
        return _plain(parse_number(typed))
    except QuantityError as problem:
        raise PlanError(f"The {key.label}: {problem}") from None


def _plain(number: float) -> float | int:
    return int(number) if number == int(number) else number


def _looks_like(typed: str, shelf: Shelf) -> Looks:
    """Of a dye of the shelf what is known of it; of anything else what it says itself."""
    for dye in shelf.dyes:
        if dye.name.casefold() == typed.removeprefix("like ").strip().casefold():
            return dye.looks or read_looks(dye.dye or typed)
    return read_looks(typed)


def written_text(raw: Any) -> str:
    """A TOML value as it would be typed."""
    if isinstance(raw, bool):
        return "yes" if raw else "no"
    if isinstance(raw, list):
        return ", ".join(str(part) for part in raw)
    if isinstance(raw, dict):
        return shares_text(raw.items())
    return str(raw)


def read_as(key: Key, text: str, drops_per_ml: float = 20.0) -> Quantity | None:
    """The quantity a text is, by the first kind that fits; None where the key is no quantity or nothing fits."""
    for kind in key.kinds:
        try:
            return parse(text, kind, drops_per_ml=drops_per_ml)
        except QuantityError:
            continue
    return None


def echo(key: Key, text: str, drops_per_ml: float = 20.0) -> str:
    """What a typed value is taken for, where that says more than the text: `71.4 mg/L as CaCO3`.

    >>> from studio.shelf.keys import key_of
    >>> echo(key_of("studio", "alkalinity"), "4 °dKH"), echo(key_of("dye", "on_hand"), "25 g")
    ('71.4 mg/L as CaCO3', '')
    """
    if key.written in _ECHOES:
        return _ECHOES[key.written](text)
    read = read_as(key, text, drops_per_ml)
    if read is None:
        return ""
    exact = show(read.value, read.unit, 12)
    if "".join(exact.split()).replace("deg", "") == "".join(text.split()).replace("deg", ""):
        return ""
    shown = show(read.value, read.unit)
    return f"{shown} as CaCO3" if key.kinds == ("alkalinity",) else shown


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
}

KH_HINT = (
    "Alkalinity is meant, not hardness: on a test strip the pad KH, carbonate hardness or total alkalinity; "
    "GH, total hardness, says nothing about it."
)
"""**Source:** alkalinity is what neutralises acid, hardness is calcium and magnesium: common practice."""


def hint(key: Key) -> str:
    """What to write, before anything is typed."""
    if key.kinds == ("alkalinity",):
        return f"{KH_HINT} Write for example 4 °dKH, 80 mg/L, 7 °fH, 4 gpg or 5 Clark."
    choices = tuple(dye_classes()) if key.written == "class" else key.choices
    if choices:
        return f"one of {', '.join(choices)}."
    if key.written == "looks":
        return f"{EXAMPLE}, a colour name, or a dye that looks like it."
    units = " or ".join(KINDS[kind].base for kind in key.kinds)
    return f"for example {key.example}" + (
        f" (read in {units})" if len(key.kinds) == 1 and units != "1" else ""
    )
