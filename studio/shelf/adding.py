"""A new shelf entry, asked for one thing after the other, and values that do not go together: the newest
wins.
"""

from __future__ import annotations

from collections.abc import Container, Mapping
from typing import Any

import msgspec

from studio.plan.errors import PlanError, quoted
from studio.plan.fields import Field
from studio.plan.keys import Keys
from studio.plan.shelf import Shelf
from studio.quantity.kinds import QuantityError
from studio.quantity.reading import parse
from studio.shelf.editing import Add, Change, EntryPlace, Put, edited, free_name
from studio.shelf.keys import SHELF_TABLES, hint, key_of, value_of
from studio.shelf.reading import ENTRY_READERS, read_shelf
from studio.tables.finding import dyes_with, find_acid, find_class, find_dye, meant
from studio.tables.rows import dye_classes, dyes

# Values of a shelf entry that do not go together: the newest wins, and what it changes is said.


def follows(table: str, values: Mapping[str, Any], newest: str) -> tuple[dict[str, Any], str]:
    """What else changes with the newest value, None for what is left out; and a sentence that says so.

    A powder is weighed and has no strength, a liquid is measured by volume: for a dye the measure decides the
    form and the form the measure, for an acid it is the acid that decides.

    >>> follows("dye", {"form": "powder", "on_hand": "30 mL"}, "on_hand")
    ({'form': 'liquid'}, 'A liquid now: on hand is 30 mL.')
    >>> follows("dye", {"form": "powder", "on_hand": "30 mL"}, "form")
    ({'on_hand': None}, 'On hand 30 mL is left out: a powder is weighed.')
    """
    if newest == "pack" and values.get("pack") is None and values.get("price") is not None:
        return {"price": None}, f"Price {values['price']} is left out: it was the price of a pack."
    liquid = _liquid(table, values, newest)
    if liquid is None:
        return {}, ""
    changes: dict[str, Any] = {}
    said = ""
    if table == "dye" and newest != "form" and liquid != (values.get("form") == "liquid"):
        changes["form"] = "liquid" if liquid else "powder"
        said = f"A {changes['form']} now: {key_of(table, newest).label} is {values[newest]}."
    out = [
        key for key in ("on_hand", "pack") if key != newest and _is_liquid(values.get(key)) is (not liquid)
    ]
    if "pack" in out and values.get("price") is not None:
        out.append("price")
    if table == "dye" and not liquid and values.get("strength") is not None:
        out.append("strength")
    changes.update(dict.fromkeys(out))
    if out:
        told = " and ".join(f"{key_of(table, key).label} {values[key]}" for key in out)
        why = "a liquid is measured by volume" if liquid else "a powder is weighed"
        left = f"{told[0].upper()}{told[1:]} {'is' if len(out) == 1 else 'are'} left out: {why}."
        said = f"{said} {left}".strip()
    return changes, said


def puts(place: EntryPlace, key: Field, text: str, shelf: Shelf) -> tuple[list[Change], str]:
    """The changes that a typed value of an entry comes to, and a sentence where something else changes with it.

    PlanError, one sentence, where the text is no such value. A price may be typed with its pack, `8.5 for 25 g`.
    """
    price, _, pack = text.partition(" for ") if key.key == "price" else (text, "", "")
    new, keys = {key.key: value_of(key, price, shelf)}, SHELF_TABLES[place.table].keys
    if pack:
        new["pack"] = value_of(key_of(place.table, "pack"), pack)
    elif key.key == "price" and new["price"] is not None and "pack" in {*keys} - {*place.written}:
        raise PlanError(f"The price of how much? Write it with its pack, for example {key.example} for 25 g.")
    changes, said = follows(place.table, {**place.written, **new}, "pack" if pack else key.key)
    every = {**new, **changes}
    return [
        Put(table=place.table, name=place.name, key=name, value=value) for name, value in every.items()
    ], said


def _liquid(table: str, values: Mapping[str, Any], newest: str) -> bool | None:
    """Whether the newest value makes the entry a liquid; None where it says nothing of that."""
    value = values.get(newest)
    if (table, newest) == ("dye", "form"):
        return value == "liquid" if value in (None, "powder", "liquid") else None
    if value is None:
        return None
    if table == "acid" and newest == "acid":
        row = find_acid(str(value))
        return None if row is None else row.state == "liquid"
    if table != "dye":
        return None
    if newest == "strength":
        return True
    return _is_liquid(value) if newest in ("on_hand", "pack") else None


def _is_liquid(value: object) -> bool | None:
    """Whether a quantity is a volume; None where it is neither that nor a weight."""
    for kind, liquid in (("volume", True), ("mass", False)):
        try:
            parse(str(value), kind)
        except QuantityError:
            continue
        return liquid
    return None


# A new shelf entry, asked for one thing after the other; the rest is filled in afterwards. Any answer
# can be gone back to and given anew, in any order; what was typed is kept until the entry is made.

ASKED: dict[str, tuple[str, ...]] = {
    "dye": ("name", "dye", "form", "on_hand", "looks"),
    "jar": ("name", "dye", "strength", "volume", "made"),
    "acid": ("name", "acid", "on_hand"),
    "thickener": ("name", "thickener", "on_hand"),
    "base": ("name", "blend", "form", "dry_weight", "on_hand"),
    "kit": ("name", "kept_for"),
}
"""What is asked of a new entry, in order."""
WHAT_DYE = ("dye", "dye")
"""The question that a dye of the tables answers, or a class, known or unknown."""


class Adding(msgspec.Struct, frozen=True, kw_only=True):
    """What was answered so far, as it was typed."""

    table: str
    typed: Mapping[str, str] = {}
    """What stands in each question, taken or not."""
    done: tuple[str, ...] = ()
    """The questions whose answer was taken."""
    at: str = "name"
    """The key that is asked for now; empty when all is answered."""
    notice: str = ""
    """What the last answer means, or what it changed; one sentence or none."""

    @property
    def key(self) -> Field:
        """What is asked for now."""
        return key_of(self.table, self.at)

    @property
    def text(self) -> str:
        """What stands in the question that is asked now."""
        return self.typed.get(self.at, "")

    @property
    def question(self) -> str:
        """How it is asked."""
        asked = ASKED[self.table]
        head = f"New {self.table}, {asked.index(self.at) + 1} of {len(asked)}"
        if (self.table, self.at) == WHAT_DYE:
            return f"{head}: a dye of the tables, or its class; unknown will do  (for example {self.key.example})"
        none = "" if self.key.needed else ", Enter for none"
        own = self.key.choices or self.key.kind == "looks"
        how = hint(self.key).rstrip(".") if own else f"for example {self.key.example}"
        return f"{head}: {self.key.label}{none}  ({how})"

    @property
    def change(self) -> Add:
        """The entry; PlanError where an answer cannot be read."""
        return Add(table=self.table, values=_values(self.table, self.typed, self.done))


def begun(table: str, name: str, texts: Mapping[str, str]) -> Adding:
    """A new entry of that name, for which the rest is asked next; nothing is answered where it cannot have the name."""
    new = Adding(table=table)
    try:
        return answered(new, name, texts) if name else new
    except PlanError:
        return kept(new, name)


def answered(adding: Adding, text: str, texts: Mapping[str, str]) -> Adding:
    """The next question; after the last the entry is tried on the shelf files `texts`.

    PlanError where the answer cannot be taken, or where the files do not take the entry; `kept` keeps what was typed.
    """
    key = adding.at
    value = value_of(adding.key, text, read_shelf(texts))
    if (adding.table, key) == ("dye", "looks") and value is not None:
        text = str(value)
    elif (adding.table, key) == WHAT_DYE:
        _dye_or_class(text.strip())
    asked = ASKED[adding.table]
    typed, done = {**adding.typed, key: text.strip()}, {*adding.done, key}
    changes, said = follows(adding.table, _values(adding.table, typed, done), key)
    typed |= {k: "" if v is None else v for k, v in changes.items()}
    done = {k for k in done if changes.get(k, "") is not None}
    _good_by_itself(adding.table, _values(adding.table, typed, done), key, texts)
    following = next((k for k in asked if k not in done), "")
    found = Adding(
        table=adding.table,
        typed=typed,
        done=tuple(k for k in asked if k in done),
        at=following,
        notice=said or _meaning(adding.table, key, typed[key]),
    )
    if not following:
        edited(texts, [found.change])
    return found


def kept(adding: Adding, text: str) -> Adding:
    """The same, with what stands in the question now; for later, or after a refusal."""
    same = text.strip() == adding.text
    done = adding.done if same else tuple(key for key in adding.done if key != adding.at)
    return msgspec.structs.replace(adding, typed={**adding.typed, adding.at: text}, done=done, notice="")


def back(adding: Adding, text: str) -> Adding:
    """The question before this one, with its answer to be changed; the first one stays."""
    asked = ASKED[adding.table]
    before = asked[max(0, asked.index(adding.at) - 1)]
    return msgspec.structs.replace(kept(adding, text), at=before)


def _values(table: str, typed: Mapping[str, str], done: Container[str]) -> dict[str, Any]:
    """What was taken so far, as the file has it."""
    values: dict[str, Any] = {}
    for key in ASKED[table]:
        text = typed.get(key, "") if key in done else ""
        if text and (table, key) == WHAT_DYE:
            values.update(_dye_or_class(text))
        elif text:
            values[key] = value_of(key_of(table, key), text)
    return values


def _good_by_itself(table: str, values: Mapping[str, Any], newest: str, texts: Mapping[str, str]) -> None:
    """Refuse an answer that no entry could have, before the next thing is asked."""
    if newest == "name":
        free_name(texts, table, str(values["name"]))
    missing = {
        k.key: value_of(k, k.example) for k in SHELF_TABLES[table].fields if k.needed and k.key not in values
    }
    if table == "dye" and not {"dye", "class"} & {*values}:
        missing["class"] = "levelling"
    try:
        ENTRY_READERS[table](Keys({**missing, **values}, file="", place=(table,)))
    except PlanError as problem:
        if problem.path[1:2] == (newest,):
            raise


def _meaning(table: str, key: str, text: str) -> str:
    """What an answer comes to, where that is more than it says."""
    if (table, key) != WHAT_DYE:
        return ""
    told = _dye_or_class(text)
    dye, row = find_dye(told.get("dye", "")), find_class(told.get("class", ""))
    if dye is not None and dye.hue:
        return f"{dye.hue[0].upper()}{dye.hue[1:]}; {dye_classes()[dye.dye_class].name}. {dye.note}".rstrip()
    return f"{row.name[0].upper()}{row.name[1:]}. {row.note}" if row is not None and row.note else ""


def _dye_or_class(text: str) -> dict[str, str]:
    if find_dye(text) is not None:
        return {"dye": text}
    found = find_class(text)
    if found is not None:
        return {"class": str(value_of(key_of("dye", "class"), text))}
    rows = dyes_with(text)
    if len(rows) == 1:
        return {"dye": rows[0].ci or rows[0].name}
    error = PlanError(_no_dye(text, [row.ci or row.name for row in rows]))
    error.path = WHAT_DYE
    raise error


def _no_dye(text: str, names: list[str]) -> str:
    if not text:
        return "Write a dye of the tables or a dye class; where neither is known, write unknown."
    if names:
        return f"{quoted(text)} may be {', '.join(names[:4])}{', ...' if len(names) > 4 else ''}; write one of them."
    hint = meant(text, (*dyes(), *dye_classes()), f"the classes are {', '.join(dye_classes())}.")
    return f"{quoted(text)} is no dye of the tables and no dye class; {hint}"
