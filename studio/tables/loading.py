"""Reading the tables beside this file, each once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

import msgspec

from studio.tables.rows import AcidRow, DyeClass, DyeRow, Fibre, HazardRow, HoldRow, PracticeDose

RowT = TypeVar("RowT")

_DYE_FILES = (
    "food_colours.toml",
    "acid_yellows_oranges.toml",
    "acid_reds.toml",
    "acid_violets_blues_blacks.toml",
)


def rows_of(file_name: str, row_type: type[RowT]) -> tuple[RowT, ...]:
    """All `[[row]]` tables of a file of this package; msgspec.ValidationError where one does not fit."""
    text = Path(__file__).with_name(file_name).read_bytes()
    return tuple(msgspec.convert(row, row_type) for row in msgspec.toml.decode(text)["row"])


def _by(key: str, rows: Iterable[RowT]) -> Mapping[str, RowT]:
    return MappingProxyType({str(getattr(row, key)): row for row in rows})


@cache
def fibres() -> Mapping[str, Fibre]:
    """Fibres by plain name."""
    return _by("name", rows_of("fibres.toml", Fibre))


@cache
def acids() -> Mapping[str, AcidRow]:
    """Acids by the name on the bottle."""
    return _by("name", rows_of("acids.toml", AcidRow))


@cache
def dye_classes() -> Mapping[str, DyeClass]:
    """Dye classes by id: food, levelling, fast-acid, milling, super-milling, 1:1 and 1:2 premetallised."""
    return _by("id", rows_of("dye_classes.toml", DyeClass))


@cache
def dyes() -> Mapping[str, DyeRow]:
    """Dyes by name: food colours first, then the acid dyes by their Colour Index names."""
    return _by("name", [row for file_name in _DYE_FILES for row in rows_of(file_name, DyeRow)])


@cache
def practice() -> tuple[PracticeDose, ...]:
    """Published doses of acid, as far apart as they are."""
    return rows_of("practice.toml", PracticeDose)


@cache
def holds() -> tuple[HoldRow, ...]:
    """Published times at heat, steam and kettle, as far apart as they are."""
    return rows_of("holds.toml", HoldRow)


@cache
def hazards() -> Mapping[str, HazardRow]:
    """Safety sentences by id: steam, powder, acid-dust, acetic-strong, kit, microwave ..."""
    return _by("id", rows_of("hazards.toml", HazardRow))
