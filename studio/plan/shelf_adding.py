"""A new shelf entry, asked for one thing after the other; the rest is filled in afterwards."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import msgspec

from studio.plan.errors import PlanError, quoted
from studio.plan.shelf_edit import Add, edited
from studio.plan.shelf_keys import Key, key_of
from studio.plan.shelf_values import value_of
from studio.tables import dye_classes, dyes, find_dye, nearest

ASKED: dict[str, tuple[str, ...]] = {
    "dye": ("name", "dye", "form", "on_hand"),
    "jar": ("name", "dye", "strength", "volume", "made"),
    "acid": ("name", "acid", "on_hand"),
    "base": ("name", "blend", "form", "dry_weight", "on_hand"),
    "kit": ("name", "kept_for"),
}
"""What is asked of a new entry, in order."""


class Adding(msgspec.Struct, frozen=True, kw_only=True):
    """What was answered so far, as it was typed."""

    table: str
    typed: Mapping[str, str] = {}
    at: str = "name"
    """The key that is asked for now; empty when all is answered."""

    @property
    def key(self) -> Key:
        """What is asked for now."""
        return key_of(self.table, self.at)

    @property
    def question(self) -> str:
        """How it is asked."""
        number = ASKED[self.table].index(self.at) + 1
        more = "" if self.key.needed or (self.table, self.at) == ("dye", "dye") else ", Enter for none"
        label = (
            "dye of the tables, or dye class" if (self.table, self.at) == ("dye", "dye") else self.key.label
        )
        return (
            f"New {self.table}, {number} of {len(ASKED[self.table])}: {label}{more}  "
            f"(for example {self.key.example})"
        )

    @property
    def change(self) -> Add:
        """The entry; PlanError where an answer cannot be read."""
        values: dict[str, Any] = {}
        for key in ASKED[self.table]:
            value = value_of(key_of(self.table, key), self.typed.get(key, ""))
            if value is None:
                continue
            if (self.table, key) == ("dye", "dye"):
                values.update(_dye_or_class(str(value)))
            else:
                values[key] = value
        return Add(table=self.table, values=values)


def answered(adding: Adding, text: str, texts: Mapping[str, str]) -> Adding:
    """The next question; after the last the entry is tried on the shelf files `texts`.

    PlanError with its `key` where an answer cannot be taken; `back_to` gives the question it belongs to.
    """
    value = value_of(adding.key, text)
    if (adding.table, adding.at) == ("dye", "dye"):
        _dye_or_class(str(value or ""))
    typed = {**adding.typed, adding.at: text.strip()}
    asked = ASKED[adding.table]
    following = next((key for key in asked if key not in typed), "")
    found = Adding(table=adding.table, typed=typed, at=following)
    if not following:
        edited(texts, [found.change])
    return found


def back_to(adding: Adding, text: str, problem: PlanError) -> tuple[Adding, str]:
    """The question a refused answer belongs to, by its key, and what was typed there; nothing else is lost."""
    key = problem.key.rpartition(".")[2]
    typed = {**adding.typed, adding.at: text.strip()}
    at = key if key in typed else adding.at
    kept = {name: value for name, value in typed.items() if name != at}
    return Adding(table=adding.table, typed=kept, at=at), typed[at]


def _dye_or_class(text: str) -> dict[str, str]:
    if find_dye(text) is not None:
        return {"dye": text}
    if text in dye_classes():
        return {"class": text}
    near = nearest(text, (*dyes(), *dye_classes()))
    hint = f'did you mean "{near}"?' if near else f"the classes are {', '.join(dye_classes())}."
    error = PlanError(f"{quoted(text)} is no dye of the tables and no dye class; {hint}")
    error.key = "dye.dye"
    raise error
