"""Values of a shelf entry that do not go together: the newest wins, and what it changes is said."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from studio.plan.errors import PlanError
from studio.plan.shelf import Shelf
from studio.plan.shelf_edit import Change, Put
from studio.plan.shelf_keys import SHELF_KEYS, Key, key_of
from studio.plan.shelf_places import EntryPlace
from studio.plan.shelf_values import value_of
from studio.quantity import QuantityError, parse
from studio.tables import find_acid


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


def puts(place: EntryPlace, key: Key, text: str, shelf: Shelf) -> tuple[list[Change], str]:
    """The changes that a typed value of an entry comes to, and a sentence where something else changes with it.

    PlanError, one sentence, where the text is no such value. A price may be typed with its pack, `8.5 for 25 g`.
    """
    price, _, pack = text.partition(" for ") if key.key == "price" else (text, "", "")
    new = {key.key: value_of(key, price, shelf)}
    if pack:
        new["pack"] = value_of(key_of(place.table, "pack"), pack)
    elif (
        key.key == "price"
        and new["price"] is not None
        and _has_pack(place.table)
        and "pack" not in place.written
    ):
        raise PlanError(f"The price of how much? Write it with its pack, for example {key.example} for 25 g.")
    changes, said = follows(place.table, {**place.written, **new}, "pack" if pack else key.key)
    every = {**new, **changes}
    return [
        Put(table=place.table, name=place.name, key=name, value=value) for name, value in every.items()
    ], said


def _has_pack(table: str) -> bool:
    return any(key.key == "pack" for key in SHELF_KEYS[table])


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
