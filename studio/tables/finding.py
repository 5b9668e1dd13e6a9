"""Finding a row by the name a person writes."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping
from functools import cache
from typing import TypeVar

from studio.tables.loading import acids, dye_classes, dyes, fibres, hazards
from studio.tables.rows import AcidRow, DyeClass, DyeRow, Fibre, HazardRow

RowT = TypeVar("RowT", Fibre, AcidRow, DyeRow, DyeClass)
LONGEST_NAME = 80
"""House rule: no name is longer, and a pasted page is not compared with every row."""

_GAPS = re.compile(r"[\s\-_,()]+")
_COLOUR_INDEX = re.compile(r"^c\.? ?i\.? ?(?=(?:acid|food) )")


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


def _names(row: Fibre | AcidRow | DyeRow | DyeClass) -> set[str]:
    """Every name the row answers to, normalised."""
    index_name = row.ci if isinstance(row, DyeRow) else row.id if isinstance(row, DyeClass) else ""
    return {normalised(name) for name in (row.name, *row.also, index_name) if name}


def _index(rows: Mapping[str, RowT]) -> dict[str, RowT]:
    """Every name to its row; a name given to two rows is an error of the table."""
    found: dict[str, RowT] = {}
    for one in rows.values():
        for key in _names(one):
            if key in found:
                raise ValueError(f"Two rows of one table answer to {key!r}.")
            found[key] = one
    return found


@cache
def _fibre_index() -> dict[str, Fibre]:
    return _index(fibres())


@cache
def _acid_index() -> dict[str, AcidRow]:
    return _index(acids())


@cache
def _dye_index() -> dict[str, DyeRow]:
    return _index(dyes())


@cache
def _class_index() -> dict[str, DyeClass]:
    return _index(dye_classes())


@cache
def _fibres_by_words() -> dict[str, Fibre]:
    return {_words(name): row for name, row in _fibre_index().items()}


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
    return _class_index().get(normalised(name))


def find_acid(name: str) -> AcidRow | None:
    """The acid of that name or other name, or None."""
    return _acid_index().get(normalised(name))


def find_dye(name: str) -> DyeRow | None:
    """The dye of that name, other name or Colour Index name (with or without `C.I.`), or None.

    A name of the food trade gives the food-grade row, a `C.I. Acid` name the textile one.

    >>> find_dye("c.i. acid orange 7").name, find_dye("E102").name
    ('acid orange 7', 'food yellow')
    """
    return _dye_index().get(normalised(name))


def dyes_with(words: str) -> tuple[DyeRow, ...]:
    """The dyes in whose names all these words stand, in the order of the tables.

    >>> [row.name for row in dyes_with("orange 7")]
    ['acid orange 7']
    """
    wanted = set(normalised(words).split())
    if not wanted:
        return ()
    return tuple(row for row in dyes().values() if any(wanted <= set(name.split()) for name in _names(row)))


def find_hazard(name: str) -> HazardRow | None:
    """The safety sentence of that id, blanks or hyphens alike, or None."""
    return hazards().get(normalised(name).replace(" ", "-"))


def near_names(name: str, names: Iterable[str], most: int = 3) -> tuple[str, ...]:
    """Those of `names` most like the name written, the nearest first, `most` at the most.

    >>> near_names("vinegar-cup", ["vinegar-one-cup", "citric-spoon", "vinegar-two-cups"])
    ('vinegar-one-cup', 'vinegar-two-cups')
    """
    by_key = {normalised(one): one for one in names}
    close = difflib.get_close_matches(normalised(name), by_key, n=most, cutoff=0.5)
    return tuple(by_key[key] for key in close)


def nearest(name: str, names: Iterable[str]) -> str | None:
    """The one of `names` most like the name written, or None when nothing is near.

    >>> nearest("merino wol", ["wool", "merino wool", "silk"])
    'merino wool'
    """
    by_key = {normalised(one): one for one in names}
    close = difflib.get_close_matches(normalised(name), by_key, n=1, cutoff=0.6)
    return by_key[close[0]] if close else None
