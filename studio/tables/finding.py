"""Finding a row by the name a person writes."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from functools import cache
from typing import Any, Literal, TypeVar

from studio.tables.rows import (
    AcidRow,
    DyeClass,
    DyeRow,
    Fibre,
    HoldRow,
    PracticeDose,
    ThickenerRow,
    acids,
    dye_classes,
    dyes,
    fibres,
    holds,
    practice,
    thickeners,
)

RowT = TypeVar("RowT", Fibre, AcidRow, DyeRow, DyeClass, ThickenerRow)
LONGEST_NAME = 80
"""House rule: no name is longer, and a pasted page is not compared with every row."""

_GAPS = re.compile(r"[\s\-_,()]+")
_NUMBERS = re.compile(r"\d+")
_COLOUR_INDEX = re.compile(r"^c\.? ?i\.? ?(?:no\.? ?)?(?=(?:acid|food) |\d{5})")


def normalised(name: str) -> str:
    """The name without case, hyphens, doubled blanks and the `C.I.` before it.

    >>> normalised("C.I. Acid-Orange 7"), normalised("ci acid  orange 7"), normalised("Superwash-Wool")
    ('acid orange 7', 'acid orange 7', 'superwash wool')
    """
    if len(name) > LONGEST_NAME:
        return ""
    spelt = name.casefold().replace("color", "colour").replace("colour index ", "ci ").replace("%", " %")
    flat = _GAPS.sub(" ", spelt).strip()
    return _COLOUR_INDEX.sub("", flat)


def _names(row: Fibre | AcidRow | DyeRow | DyeClass | ThickenerRow) -> set[str]:
    """Every name the row answers to, normalised."""
    index_name = row.ci if isinstance(row, DyeRow) else row.id if isinstance(row, DyeClass) else ""
    return {normalised(name) for name in (row.name, *row.also, index_name) if name}


@cache
def _index(rows: Callable[[], Mapping[str, Any]]) -> dict[str, Any]:
    """Every name to its row; a name given to two rows is an error of the table."""
    found: dict[str, Any] = {}
    for one in rows().values():
        for key in _names(one):
            if key in found:
                raise ValueError(f"Two rows of one table answer to {key!r}.")
            found[key] = one
    return found


def _found(rows: Callable[[], Mapping[str, RowT]], name: str) -> RowT | None:
    """The row of a table that answers to a name."""
    found: RowT | None = _index(rows).get(normalised(name))
    return found


@cache
def _dye_numbers() -> dict[str, DyeRow]:
    """Constitution numbers to their dyes, the textile one where a food colour has the same."""
    return {row.ci_number: row for row in sorted(dyes().values(), key=lambda r: not r.food) if row.ci_number}


@cache
def _fibres_by_words() -> dict[str, Fibre]:
    return {_words(name): row for name, row in _index(fibres).items()}


def _words(name: str) -> str:
    return " ".join(sorted(name.split()))


def find_fibre(name: str) -> Fibre | None:
    """The fibre of that name or other name, in either order of its words, or None.

    >>> find_fibre("wool, superwash").name, find_fibre("Superwash-wool").name
    ('superwash wool', 'superwash wool')
    """
    return _fibres_by_words().get(_words(normalised(name)))


def find_class(name: str) -> DyeClass | None:
    """The dye class of that id or name, or None.

    >>> find_class("milling acid dye").id, find_class("Acid dye, class unknown").id
    ('milling', 'unknown')
    """
    return _found(dye_classes, name)


REACTIVE = (
    "a reactive dye is fixed near the boil at pH 4.5 to 5.5 and then in ammonia, which no way of dyeing here does; "
    'write an acid or a metal-complex dye, for example "acid red 138".'
)
"""Bromoacrylamides and the like; from memory."""


def is_reactive(name: str) -> bool:
    """Whether a dye or a class calls itself reactive."""
    return "reactive" in name.casefold()


def find_acid(name: str) -> AcidRow | None:
    """The acid of that name or other name, or None."""
    return _found(acids, name)


def find_thickener(name: str) -> ThickenerRow | None:
    """The gum of that name or other name, or None.

    >>> find_thickener("guar gum").name
    'guar'
    """
    return _found(thickeners, name)


def find_dye(name: str) -> DyeRow | None:
    """The dye of that name, other name, Colour Index name or number (with or without `C.I.`), or None.

    A name of the food trade gives the food-grade row, a `C.I. Acid` name the textile one, and so does a number, which
    both have.

    >>> find_dye("c.i. acid orange 7").name, find_dye("E102").name, find_dye("C.I. 19140").name
    ('acid orange 7', 'food yellow', 'acid yellow 23')
    """
    return _found(dyes, name) or _dye_numbers().get(normalised(name))


def dyes_with(words: str) -> tuple[DyeRow, ...]:
    """The dyes in whose names all these words stand, in the order of the tables.

    >>> [row.name for row in dyes_with("orange 7")]
    ['acid orange 7']
    """
    wanted = set(normalised(words).split())
    if not wanted:
        return ()
    return tuple(row for row in dyes().values() if any(wanted <= set(name.split()) for name in _names(row)))


def near_names(name: str, names: Iterable[str], most: int = 3, cutoff: float = 0.5) -> tuple[str, ...]:
    """Those of `names` most like the name written, the nearest first, `most` at the most.

    One number is never near another: Acid Blue 81 is no slip for Acid Blue 80, but another dye.

    >>> near_names("vinegar-cup", ["vinegar-one-cup", "citric-spoon", "vinegar-two-cups"])
    ('vinegar-one-cup', 'vinegar-two-cups')
    >>> near_names("acid bleu 80", ["acid blue 8", "acid blue 80"]), near_names("acid blue 81", ["acid blue 80"])
    (('acid blue 80',), ())
    """
    import difflib

    written = normalised(name)
    numbers = _NUMBERS.findall(written)
    by_key = {normalised(one): one for one in names}
    near = [key for key in by_key if not numbers or _NUMBERS.findall(key) == numbers]
    close = difflib.get_close_matches(written, near, n=most, cutoff=cutoff)
    return tuple(by_key[key] for key in close)


def nearest(name: str, names: Iterable[str]) -> str | None:
    """The one of `names` most like the name written, or None when nothing is near.

    >>> nearest("merino wol", ["wool", "merino wool", "silk"])
    'merino wool'
    """
    return next(iter(near_names(name, names, 1, 0.6)), None)


def meant(name: str, names: Iterable[str], otherwise: str) -> str:
    """The one that may be meant by a name nobody knows, as a question; else what else is to be said.

    >>> meant("merino wol", ["merino wool", "silk"], "write silk."), meant("kelp", ["wool"], "write wool.")
    ('did you mean "merino wool"?', 'write wool.')
    """
    near = nearest(name, names)
    return f'did you mean "{near}"?' if near else otherwise


# Finding a published practice, a dose of acid or a time at heat, by what a person writes.

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
