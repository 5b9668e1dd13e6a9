"""One table of a TOML file, read key by key or by the rows of its keys.

Serves the plan and the shelf alike, so that both refuse in the same words.
"""

from __future__ import annotations

import contextlib
import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import msgspec

from studio.plan.errors import (
    IN_QUOTES,
    MISSING,
    WITHOUT_QUOTES,
    KeyPath,
    PlanError,
    Term,
    path_text,
    quoted,
    refuse,
    write,
)
from studio.plan.fields import Field, FieldSection, row
from studio.quantity.kinds import KINDS, Quantity, QuantityError
from studio.quantity.reading import parse
from studio.quantity.showing import unit_text
from studio.tables.finding import meant

MOST_TEXT = 200


class Keys:
    """A table with its place in the file."""

    def __init__(self, table: object, *, file: str, place: KeyPath = (), drops_per_ml: float = 20.0) -> None:
        self.file = file
        self.place = place
        self.drops_per_ml = drops_per_ml
        if not isinstance(table, dict):
            raise refuse(file, place, f"must be a table of keys, not {quoted(table)}.")
        self._table: Mapping[str, object] = table

    def wrong(self, key: str, *what: str | Term, instead: str = "", toml: str = "") -> PlanError:
        """The refusal of one key."""
        return refuse(self.file, (*self.place, key), *what, instead=instead, toml=toml)

    def named(self, key: str) -> Term:
        """Another key of the table, in a refusal."""
        return Term(key, path=(*self.place, key))

    def raw(self, key: str) -> object | None:
        """The value as TOML gives it, or None where the key is absent."""
        return self._table.get(key)

    def __contains__(self, key: str) -> bool:
        return key in self._table

    def read(
        self, section: FieldSection, own: Mapping[str, Reader] = {}, *, plain: bool = False
    ) -> dict[str, Any]:
        """What it says, by the names of the rows; what is left out is left out.

        own: readers for kinds that only this file has; a kind nobody reads here is left to the caller. plain:
        quantities as bare numbers in the base unit of their kind, but for amounts.
        """
        for first, second in section.either:
            if first in self and second in self:
                raise self.wrong(first, "and ", self.named(second), " say two things; leave one of them out.")
        for field in section.fields:
            if field.needed and field.key not in self and field.unless not in self:
                raise self.missing(field)
        found: dict[str, Any] = {}
        for field in section.fields:
            reader = own.get(field.kind) or READERS.get(field.kind)
            if field.key in self and reader is not None:
                value = reader(self, field)
                bare = plain and isinstance(value, Quantity) and field.kind != "amount"
                found[field.into or field.key] = value.value if bare else value
        return found

    def missing(self, field: Field) -> PlanError:
        """The refusal of a table without a key it needs."""
        plain = field.example if field.kind in ("number", "whole") else ""
        toml = IN_A_TABLE.get(field.kind, plain)
        return self.wrong(field.key, MISSING, instead=field.example, toml=toml)

    def names(self) -> Sequence[str]:
        """All keys of the table, where the keys themselves are names (a blend)."""
        return tuple(self._table)

    def value(self, field: Field) -> Any:
        """What one key says that is there."""
        return READERS[field.kind](self, field)

    def needed(self, field: Field) -> Any:
        """What a key says that must be there."""
        if field.key not in self:
            raise self.missing(field)
        return self.value(field)

    def table(self, key: str) -> Keys:
        """The table under a key; an empty one where it is absent."""
        value = self.raw(key)
        return self._below({} if value is None else value, (*self.place, key))

    def rows(self, key: str) -> tuple[Keys, ...]:
        """The list of tables under a key."""
        value = self.raw(key)
        if value is None:
            return ()
        if not isinstance(value, list):
            raise self.wrong(key, f"must be a list of tables, not {quoted(value)}.")
        return tuple(self._below(one, (*self.place, key, i)) for i, one in enumerate(value, start=1))

    def _below(self, value: object, place: KeyPath) -> Keys:
        return Keys(value, file=self.file, place=place, drops_per_ml=self.drops_per_ml)

    def only(self, known: Sequence[str], elsewhere: Mapping[str, Term] | None = None) -> None:
        """Refuse the first key that is not known; `elsewhere` says in which table a key belongs.

        Asked before anything is read, so that a misspelt key is called misspelt and not missing.
        """
        for key in self._table:
            if key in known:
                continue
            where = path_text(self.place) or "the top of the file"
            home = (elsewhere or {}).get(key)
            if home is not None:
                hint: list[str | Term] = ["; it belongs in ", home]
            else:
                hint = [f"{_meant(key, known)}; the keys there are "]
                hint += [part for one in known for part in (self.named(one), ", ")][:-1]
            raise refuse(
                self.file, (*self.place, key), f"has no key {quoted(key)}", *hint, ".", subject=where
            )


def _meant(word: str, words: Sequence[str]) -> str:
    near = meant(word, words, "")
    return f" ({near})" if near else ""


Reader = Callable[[Keys, "Field"], Any]


def _text(keys: Keys, field: Field) -> str:
    """Text, without the blanks around it."""
    value, longest = keys.raw(field.key), int(min(field.high, MOST_TEXT))
    if not isinstance(value, str):
        told = f", not {quoted(value)}; write for example "
        raise keys.wrong(field.key, "must be text", IN_QUOTES, told, instead=field.example)
    stripped = value.strip()
    if not stripped:
        raise keys.wrong(field.key, "is empty; write a text", IN_QUOTES, ", or leave it out.")
    if len(stripped) > longest:
        raise keys.wrong(field.key, f"is longer than {longest} characters; write it shorter.")
    return stripped


def _choice(keys: Keys, field: Field) -> str:
    """One of a few words."""
    text = _text(keys, field)
    if text not in field.choices:
        words = ", ".join(f'"{word}"' for word in field.choices)
        raise keys.wrong(
            field.key, f"cannot be {quoted(text)}{_meant(text, field.choices)}; write one of {words}."
        )
    return text


def _texts(keys: Keys, field: Field) -> tuple[str, ...]:
    """A list of texts."""
    value = keys.raw(field.key)
    if not isinstance(value, list):
        raise keys.wrong(
            field.key, f"must be a list of texts, not {quoted(value)}; write for example ", **POTS
        )
    for item in value:
        if not isinstance(item, str) or not item.strip() or len(item) > MOST_TEXT:
            raise keys.wrong(
                field.key, f"must be a list of short texts, not of {quoted(item)}; write ", **POTS
            )
    return tuple(item.strip() for item in value)


def _flag(keys: Keys, field: Field) -> bool:
    value = keys.raw(field.key)
    if not isinstance(value, bool):
        raise keys.wrong(field.key, "must be true or false", WITHOUT_QUOTES, f", not {quoted(value)}.")
    return value


def _number(keys: Keys, field: Field) -> float:
    """A plain number between two limits."""
    value, example = keys.raw(field.key), {"instead": field.example, "toml": field.example}
    if isinstance(value, bool) or not isinstance(value, int | float):
        told = f", not {quoted(value)}; write "
        raise keys.wrong(field.key, "must be a number", WITHOUT_QUOTES, told, **example)
    if not field.low <= value <= field.high or math.isnan(value):
        told = f"must lie between {field.low:g} and {field.high:g}, not at {quoted(value)}; write "
        raise keys.wrong(field.key, told, **example)
    return float(value)


def _whole(keys: Keys, field: Field) -> int:
    value = _number(keys, field)
    if value != int(value):
        told = f"must be a whole number, not {value:g}; write "
        raise keys.wrong(field.key, told, instead=field.example, toml=field.example)
    return int(value)


def _quantity(keys: Keys, field: Field) -> Quantity:
    """Text with its unit, between two limits in the base unit of its kind.

    The lower limit itself is refused where it is 0: nothing weighs 0 g.
    """
    value, low, high, kind = keys.raw(field.key), field.low, field.high, KINDS[field.kind]
    hint = f'write for example "{field.example or kind.example}".'
    if not isinstance(value, str):
        in_quotes = Term(" with a unit in quotes")
        raise keys.wrong(field.key, "must be text", in_quotes, f", not {quoted(value)}; {hint}")
    try:
        found = parse(value, field.kind, drops_per_ml=keys.drops_per_ml)
    except QuantityError as error:
        raise keys.wrong(field.key, f": {error}") from None
    unit = "" if found.unit == "1" else f" {unit_text(found.unit)}"
    if not low <= found.value <= high or (low == 0.0 == found.value):
        limits = f"above {low:g}{unit}"
        if high < math.inf:
            least = low if kind.signed else max(0.0, low)
            limits = f"at {least:g} to {high:g}{unit}" if low else f"above 0, up to {high:g}{unit}"
        raise keys.wrong(field.key, f"must lie {limits}, not at {quoted(value)}; {hint}")
    return found


def _ph(keys: Keys, field: Field) -> Quantity:
    """Written as a number or as text."""
    if isinstance(keys.raw(field.key), str):
        return _quantity(keys, field)
    number = _number(keys, field)
    return Quantity(number, "1", f"{number:g}")


def _drops(keys: Keys, field: Field) -> float:
    """As a number or as text, `10` or `"10 drops"`."""
    if not isinstance(keys.raw(field.key), str):
        return _number(keys, field)
    return _quantity(keys, msgspec.structs.replace(field, kind="count", example="")).value


def _amount(keys: Keys, field: Field) -> Quantity:
    """By volume or by weight; which of the two fits is known once the thing itself is."""
    told, kind = keys.raw(field.key), "volume"
    if isinstance(told, str):
        with contextlib.suppress(QuantityError):
            parse(told, "mass")
            kind = "mass"
    return _quantity(keys, msgspec.structs.replace(field, kind=kind))


def _blend(keys: Keys, field: Field) -> tuple[tuple[str, float], ...]:
    """Names and per cent, summing to 100 within half a per cent."""
    table = keys.table(field.key)
    blend: list[tuple[str, float]] = []
    for fibre in table.names():
        if isinstance(table.raw(fibre), str):
            percent = _quantity(table, row(fibre, "", "share", "", high=100.0)).value
        else:
            percent = _number(table, row(fibre, "", "number", "75", high=100.0))
        if percent:
            blend.append((fibre.strip(), percent))
    total = sum(percent for _, percent in blend)
    if not blend or abs(total - 100.0) > 0.5:
        raise keys.wrong(
            field.key, f"sums to {total:g} %, not to 100; write each fibre's per cent so that they do."
        )
    return tuple(blend)


READERS: dict[str, Reader] = {
    **dict.fromkeys(KINDS, _quantity),
    "text": _text,
    "choice": _choice,
    "flag": _flag,
    "names": _texts,
    "number": _number,
    "whole": _whole,
    "ph": _ph,
    "drops": _drops,
    "amount": _amount,
    "blend": _blend,
}
"""By kind; what is no quantity with its unit has a reader of its own."""
IN_A_TABLE = {"blend": '{ "superwash wool" = 75, nylon = 25 }'}
"""An example as the file holds it, where that is no text in quotes."""


DROPS_IN = (write("drops", "10", "10"), " and ", write("in", "3/4 cup"))
"""A colour of drops, as a refusal says to write it."""


POTS = {"instead": "dye pot", "toml": '["dye pot"]'}
"""What to write for a list of texts."""
