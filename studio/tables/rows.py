"""The reference tables: their rows, typed, where a field that is not known is an error and no guess; each read once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Annotated, Literal, TypeVar

import msgspec

from studio.shaping import shaped_json

Text = Annotated[str, msgspec.Meta(min_length=1)]
Percent = Annotated[float, msgspec.Meta(ge=0, le=100)]
Positive = Annotated[float, msgspec.Meta(gt=0)]
Ph = Annotated[float, msgspec.Meta(ge=0, le=14)]

Family = Literal[
    "wool", "hair", "silk", "polyamide", "regenerated protein", "cellulose", "acrylic", "polyester"
]
Use = Literal["bath", "soak"]
"""Of a dose of acid."""
Takes = Literal["yes", "weak", "no"]
ClassId = Literal[
    "food",
    "levelling",
    "fast-acid",
    "milling",
    "super-milling",
    "1:1 premetallised",
    "1:2 premetallised",
    "unknown",
]
UNKNOWN: ClassId = "unknown"
"""An acid dye whose label and sheet do not say its class."""
MEMORY = "from memory"


class _Row(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What every row has."""

    source: Text
    """The publication, or the standing of the row."""


class Fibre(_Row, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One fibre by its plain name."""

    name: Text
    also: tuple[Text, ...] = ()
    family: Family
    takes_acid: Takes
    takes_food: Takes
    regain_percent: Percent
    """Commercial moisture regain, g of water on 100 g bone dry."""
    regain_source: Text
    set_min_min: Positive | None = None
    """Least minutes of steam the fibre itself asks for, whatever the dye."""
    set_max_min: Positive | None = None
    note: str = ""


class AcidRow(_Row, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One acid as it is bought."""

    name: Text
    also: tuple[Text, ...] = ()
    kind: Literal["acetic", "citric"]
    state: Literal["liquid", "powder"]
    strength_percent: Percent
    """Liquid: g in 100 mL; powder: purity, g in 100 g."""
    sold_percent: tuple[float, float] | None = None
    """Least and most of what is sold under that name: a powder's by the crystal water it may have or lack."""
    sold_source: str = ""
    molar_mass_g: Positive
    """g/mol of what is weighed or dissolved."""
    pkas: tuple[float, ...]
    """At 25 degC and no ionic strength."""
    pka_source: Text
    calcium_log_ks: tuple[float, ...] = ()
    """log10 of K of its anions with calcium, that of one charge first."""
    calcium_source: str = ""
    density_g_ml: Positive | None = None
    density_source: str = ""
    hazard: Text
    hazard_above_10: bool = False
    """True for a liquid above 10 %, which burns."""
    note: str = ""


class ThickenerRow(_Row, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One gum that thickens paint."""

    name: Text
    also: tuple[Text, ...] = ()
    low_percent: Positive
    high_percent: Positive
    """g in 100 mL of paint."""
    range_source: Text
    least_ph: Ph | None = None
    """Below it, it gels; None for one that stands acid."""
    least_ph_source: str = ""
    swell_min: Positive
    """Minutes until it has taken up its water."""
    swell_source: Text
    note: str = ""


class DyeClass(_Row, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One application class of dye."""

    id: ClassId
    name: Text
    also: tuple[Text, ...] = ()
    ph_low: Ph
    ph_high: Ph
    ph_source: Text
    takes_on: tuple[Family, ...]
    glauber: Literal["allowed", "forbidden", "unknown"]
    glauber_source: Text
    wash_fastness: Text
    light_fastness: Text
    fastness_source: Text
    strike_c: Positive | None = None
    strike_source: str = ""
    set_min_min: Positive
    """Least minutes of steam for a wrapped packet."""
    set_max_min: Positive
    set_source: Text
    bath_ramp_c_min: Positive
    """degC a minute a dye bath is warmed at."""
    bath_top_c: Positive
    """degC the bath is held at, for plain wool."""
    bath_hold_min: Positive
    """Minutes at the top for a pale shade."""
    bath_hold_max_min: Positive
    """Minutes at the top for a deep shade."""
    bath_source: Text
    """Of the top and the minutes there."""
    ramp_source: Text
    food: bool = False
    hazards: tuple[Text, ...] = ()
    """Ids of the hazards table, for a dye of which no more is known than its class."""
    note: str = ""


class DyeRow(_Row, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One dye a plan may name without a shelf."""

    name: Text
    also: tuple[Text, ...] = ()
    ci: str = ""
    """Colour Index generic name, `C.I. Acid Orange 7`; empty for a mixture."""
    ci_number: str | None = None
    dye_class: ClassId
    class_source: Text = MEMORY
    hue: str = ""
    """In words, of about 1 % on wool; from memory throughout."""
    charge: Annotated[int, msgspec.Meta(ge=1)] | None = None
    """Negative charges of one dye ion in the bath: sulphonates and carboxylates, less one for a cationic centre."""
    charge_source: Text = MEMORY
    food: bool = False
    """True for a food-grade colour only: the same dye sold for textiles is another row."""
    mixture: bool = False
    parts: tuple[Text, ...] = ()
    """Names of the dyes a mixture is made of."""
    absorptivity_l_g_cm: Positive | None = None
    """Of the pure dye at its peak, decadic, L/(g cm)."""
    peak_nm: Positive | None = None
    eps_l_mol_cm: Positive | None = None
    """Molar, L/(mol cm)."""
    medium: str = ""
    """What the spectrum was measured in."""
    spectrum_source: str = ""
    formula: str = ""
    molar_mass_g: Positive | None = None
    molar_mass_source: str = ""
    dye_content_percent: Percent | None = None
    """Least share of dye in the powder as sold for food."""
    hazards: tuple[Text, ...] = ()
    """Ids of the hazards table."""
    note: str = ""


class PracticeDose(_Row, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A published dose of acid: of a bath on 100 g of fibre, of a soak to 1 L of its water."""

    id: Text
    acid: Text
    """A name `find_acid` knows."""
    label: Text
    use: Use
    """A soak is squeezed out again, and so is stronger by far."""
    low: Positive
    high: Positive
    unit: Literal["mL", "g"]
    for_class: ClassId | Literal[""] = ""
    standing: Literal["published", "published, converted", "second hand", "common practice"]


class HoldRow(_Row, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A published time at heat: minutes of steam for a packet, or minutes in the kettle."""

    id: Text
    label: Text
    method: Literal["steam", "kettle"]
    low_min: Positive
    high_min: Positive
    low_c: Positive | None = None
    high_c: Positive | None = None
    """Of steam or bath, degC, where it is published with the minutes."""
    for_fibre: Literal["", "silk"] = ""
    """The family of fibre it is told of; empty for wool and all that is dyed with it."""
    standing: Literal["published", "second hand", "hobby page", "house rule"]


class HazardRow(_Row, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A safety sentence, in words of our own."""

    id: Text
    level: Literal["stop", "warn", "note"]
    matters_to: Literal["", "weighing", "acid", "rinse", "leftovers"] = ""
    """Of a dye: when it has to be known; empty for the whole plan."""
    text: Text


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
