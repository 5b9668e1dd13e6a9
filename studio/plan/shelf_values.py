"""A shelf value as it is typed, as it is written in TOML, and as it is shown to be typed again."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from studio.craft.leftover import AGE_LIMITS
from studio.plan.errors import PlanError, quoted
from studio.plan.shelf_keys import Key
from studio.plan.shelf_reading import KEPT_FOR
from studio.quantity import KINDS, Measure, QuantityError, parse, parse_number, show
from studio.tables import dye_classes

YES, NO = ("yes", "true", "y"), ("no", "false", "n")


def value_of(key: Key, text: str) -> Any:
    """What a person typed, as TOML has it; None for nothing typed. PlanError, one sentence, if it cannot be.

    Whether the value itself is any good is for the reader of the shelf to say.
    """
    typed = text.strip()
    if not typed:
        if key.needed:
            raise PlanError(f"The {key.label} cannot be left out; write for example {key.example}.")
        return None
    if not typed.isprintable():
        raise PlanError(f"{quoted(typed)} holds characters that cannot be shown; type it without them.")
    if key.written == "text":
        return typed
    if key.written == "texts":
        return [part.strip() for part in typed.split(",") if part.strip()]
    if key.written == "flag":
        if typed.casefold() in (*YES, *NO):
            return typed.casefold() in YES
        raise PlanError(f"{quoted(typed)} is neither yes nor no.")
    if key.written == "blend":
        return _blend(typed)
    return _number(key, typed)


def _number(key: Key, typed: str) -> float | int:
    try:
        number = parse_number(typed)
    except QuantityError as problem:
        raise PlanError(f"The {key.label}: {problem}") from None
    return int(number) if number == int(number) else number


def _blend(typed: str) -> dict[str, float | int]:
    """`75 superwash wool, 25 nylon`, with or without a per cent sign."""
    found: dict[str, float | int] = {}
    for part in typed.split(","):
        number, _, fibre = part.strip().replace("%", " ").partition(" ")
        try:
            percent = parse_number(number)
        except QuantityError:
            raise PlanError(
                f"{quoted(part.strip())} is no part of a blend; write for example 75 superwash wool, 25 nylon."
            ) from None
        found[fibre.strip()] = int(percent) if percent == int(percent) else percent
    return found


def written_text(raw: Any) -> str:
    """A TOML value as it would be typed."""
    if isinstance(raw, bool):
        return "yes" if raw else "no"
    if isinstance(raw, list):
        return ", ".join(str(part) for part in raw)
    if isinstance(raw, dict):
        return ", ".join(f"{percent} {fibre}" for fibre, percent in raw.items())
    return str(raw)


def read_as(key: Key, text: str, drops_per_ml: float = 20.0) -> Measure | None:
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
    read = read_as(key, text, drops_per_ml)
    if read is None:
        return ""
    shown = show(read.value, read.unit, 4)
    if "".join(shown.split()).replace("deg", "") == "".join(text.split()).replace("deg", ""):
        return ""
    return f"{show(read.value, read.unit)} as CaCO3" if key.kinds == ("alkalinity",) else shown


CHOICES: dict[str, Callable[[], Iterable[str]]] = {
    "class": dye_classes,
    "kept_for": lambda: KEPT_FOR,
    "kind": lambda: AGE_LIMITS,
}
"""What a key may be, where that is one of a few words."""

KH_HINT = (
    "Alkalinity is meant, not hardness: on a test strip the pad KH, carbonate hardness or total alkalinity; "
    "GH, total hardness, says nothing about it."
)
"""**Source:** alkalinity is what neutralises acid, hardness is calcium and magnesium: common practice."""


def hint(key: Key) -> str:
    """What to write, before anything is typed."""
    if key.kinds == ("alkalinity",):
        return f"{KH_HINT} Write for example 4 °dKH, 80 mg/L, 7 °fH, 4 gpg or 5 Clark."
    if key.key in CHOICES:
        return f"one of {', '.join(CHOICES[key.key]())}."
    units = " or ".join(KINDS[kind].base for kind in key.kinds)
    return f"for example {key.example}" + (
        f" (read in {units})" if len(key.kinds) == 1 and units != "1" else ""
    )
