"""A shelf value as it is typed, as it is written in TOML, and as it is shown to be typed again."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from studio.plan.dye_looks import EXAMPLE, Looks, hex_of, read_looks
from studio.plan.errors import PlanError, quoted
from studio.plan.shares_text import read_shares, shares_text
from studio.plan.shelf import EMPTY_SHELF, Shelf
from studio.plan.shelf_keys import Key
from studio.quantity import KINDS, Quantity, QuantityError, parse, parse_number, show
from studio.tables import UNKNOWN, dye_classes, find_class, find_fibre

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

    >>> from studio.plan.shelf_keys import key_of
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
