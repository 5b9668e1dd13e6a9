"""Finding a published practice, a dose of acid or a time at heat, by what a person writes."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from functools import cache
from typing import Literal, TypeVar

from studio.tables.finding import normalised
from studio.tables.loading import holds, practice
from studio.tables.rows import HoldRow, PracticeDose

PracticeT = TypeVar("PracticeT", PracticeDose, HoldRow)


HEATS = {"steam": "steam, from rolling steam", "kettle": "kettle, from heat"}
"""The heats of the table of times, with what they are counted from."""


def find_dose(name: str) -> PracticeDose | None:
    """The dose of that id or label, or the one label that has all the words in it; else None.

    >>> find_dose("vinegar-one-cup").id, find_dose("1 US cup of vinegar").id, find_dose("vinegar")
    ('vinegar-one-cup', 'vinegar-one-cup', None)
    """
    return _find(name, practice())


def find_hold(name: str, method: Literal["", "steam", "kettle"] = "") -> HoldRow | None:
    """The time at heat of that id or label, or the one label that has all the words in it; else None.

    `method`: only of steam, or only of the kettle.

    >>> find_hold("steam-packet-least").low_min, find_hold("kettle metal complex").high_min
    (30.0, 45.0)
    """
    return _find(name, tuple(row for row in holds() if method in ("", row.method)))


@cache
def holds_for(method: Literal["steam", "kettle"], families: Collection[str] = ()) -> tuple[HoldRow, ...]:
    """The times of a method that are told of such fibres, in the order of the table.

    `families`: of the fibres in the blend; what is told of silk alone counts only where there is silk.

    >>> {row.for_fibre for row in holds_for("steam", frozenset({"wool"}))}
    {''}
    """
    return tuple(r for r in holds() if r.method == method and (not r.for_fibre or r.for_fibre in families))


def _find(name: str, rows: Sequence[PracticeT]) -> PracticeT | None:
    key = normalised(name)
    if not key:
        return None
    exact = next((row for row in rows if key in (normalised(row.id), normalised(row.label))), None)
    if exact is not None:
        return exact
    words = set(key.split())
    having = [r for r in rows if words <= set(f"{normalised(r.label)} {normalised(r.id)}".split())]
    return having[0] if len(having) == 1 else None
