"""Reading the tables beside this file, each once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from studio.shaping import shaped_json
from studio.tables.rows import (
    AcidRow,
    DyeClass,
    DyeRow,
    Fibre,
    HazardRow,
    HoldRow,
    PracticeDose,
    ThickenerRow,
)

RowT = TypeVar("RowT")

_DYE_FILES = (
    "food_colours.json",
    "acid_yellows_oranges.json",
    "acid_reds.json",
    "acid_violets_blues.json",
    "acid_greens_browns_blacks.json",
)


def rows_of(file_name: str, row_type: type[RowT]) -> tuple[RowT, ...]:
    """All rows of a file of this package; msgspec.ValidationError where one does not fit."""
    text = Path(__file__).with_name(file_name).read_bytes()
    return tuple(shaped_json(text, list[row_type]))  # type: ignore[valid-type]


def _by(key: str, rows: Iterable[RowT]) -> Mapping[str, RowT]:
    return MappingProxyType({str(getattr(row, key)): row for row in rows})


@cache
def fibres() -> Mapping[str, Fibre]:
    """Fibres by plain name."""
    return _by("name", rows_of("fibres.json", Fibre))


@cache
def acids() -> Mapping[str, AcidRow]:
    """Acids by the name on the bottle: liquids by g in 100 mL, powders by purity."""
    return _by("name", rows_of("acids.json", AcidRow))


@cache
def thickeners() -> Mapping[str, ThickenerRow]:
    """Gums by name; those that stand acid first."""
    return _by("name", rows_of("thickeners.json", ThickenerRow))


@cache
def dye_classes() -> Mapping[str, DyeClass]:
    """Dye classes by id: food, levelling, fast-acid, milling, super-milling, 1:1 and 1:2 premetallised."""
    return _by("id", rows_of("dye_classes.json", DyeClass))


@cache
def dyes() -> Mapping[str, DyeRow]:
    """Dyes by name: food colours first, then the acid dyes by their Colour Index names, as sold for textiles.

    Absorptivities are of the pure dye in solution, about the wavelength given, not of dyed fibre. Classes and hues are
    textbook knowledge, from memory, and so is what has no mark of its own. Stains and indicators of the laboratory, and
    dyes to leave out, stand here with their hazards, so that who has a jar of one finds out. Shop mixtures name the
    usual parts; a real bottle may hold others.
    """
    return _by("name", [row for file_name in _DYE_FILES for row in rows_of(file_name, DyeRow)])


@cache
def practice() -> tuple[PracticeDose, ...]:
    """Published doses of acid on 100 g of fibre, eightfold apart; none is the right one."""
    return rows_of("practice.json", PracticeDose)


@cache
def holds() -> tuple[HoldRow, ...]:
    """Published times at heat, as far apart as they are; none names how thick the packet was, none is the right one."""
    return rows_of("holds.json", HoldRow)


@cache
def hazards() -> Mapping[str, HazardRow]:
    """Safety sentences by id, in words of our own; the maker's safety data sheet and local rules go first."""
    return _by("id", rows_of("hazards.json", HazardRow))
