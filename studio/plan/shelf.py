"""The shelf: what sessions share. Dyes, acids, bases, kit, leftover jars, and facts of the studio.

Each entry is one TOML table. A bad entry is left out and named in `remarks`; the rest still loads.
"""

from __future__ import annotations

from typing import Literal

import msgspec

DyeForm = Literal["powder", "liquid"]


class Price(msgspec.Struct, frozen=True):
    """What a pack costs: money in the studio's currency for so many g, mL or pieces."""

    money: float
    amount: float
    unit: str
    """`g`, `mL` or `1`."""

    @property
    def per_unit(self) -> float:
        """Money for one g, mL or piece."""
        return self.money / self.amount


class ShelfDye(msgspec.Struct, frozen=True, kw_only=True):
    """A dye the studio owns, by the studio's own name."""

    name: str
    dye: str = ""
    """The table row it is, `food red` or `C.I. Acid Orange 7`; empty where it is no single known dye."""
    dye_class: str = ""
    """Id of the dye class; from the table row where empty."""
    form: DyeForm = "powder"
    strength_percent: float | None = None
    """g per 100 mL, for a ready liquid; None where its label does not say, and then it is used by drops."""
    mixture: bool | None = None
    """Whether the maker mixed it of several dyes; from the table row where None."""
    swatch_hex: str = ""
    """Colour of the studio's own dry swatch, `#rrggbb`."""
    swatch_depth_percent: float | None = None
    price: Price | None = None


class ShelfAcid(msgspec.Struct, frozen=True, kw_only=True):
    name: str
    acid: str
    """The table row it is, `white vinegar`."""
    strength_percent: float | None = None
    """Where the label says another strength than the table row."""
    price: Price | None = None


class ShelfBase(msgspec.Struct, frozen=True, kw_only=True):
    name: str
    blend: tuple[tuple[str, float], ...]
    form: str = ""
    dry_weight_g: float | None = None
    yarn_length_m: float | None = None
    strands: int | None = None
    rows: int | None = None
    stitches: int | None = None
    white_hex: str = ""
    """Colour of the undyed yarn, `#rrggbb`."""
    price: Price | None = None


class KitItem(msgspec.Struct, frozen=True, kw_only=True):
    name: str
    kept_for: Literal["dye only", "kitchen"]
    resolution_g: float | None = None
    """Of a scale: its smallest step."""


class Jar(msgspec.Struct, frozen=True, kw_only=True):
    """Leftover stock."""

    name: str
    dye: str
    strength_percent: float
    volume_ml: float
    made: str = ""
    """Date on the label."""


class StudioFacts(msgspec.Struct, frozen=True, kw_only=True):
    """What is always so in this studio; None where nobody measured it."""

    name: str = ""
    currency: str = ""
    scale_resolution_g: float | None = None
    drops_per_ml: float = 20.0
    hob_w: float | None = None
    altitude_m: float | None = None
    alkalinity_mg_l: float | None = None
    water_ph: float | None = None
    room_c: float | None = None


class Shelf(msgspec.Struct, frozen=True, kw_only=True):
    dyes: tuple[ShelfDye, ...] = ()
    acids: tuple[ShelfAcid, ...] = ()
    bases: tuple[ShelfBase, ...] = ()
    kit: tuple[KitItem, ...] = ()
    jars: tuple[Jar, ...] = ()
    studio: StudioFacts = StudioFacts()
    remarks: tuple[str, ...] = ()
    """One sentence for each entry that could not be used."""


EMPTY_SHELF = Shelf()
