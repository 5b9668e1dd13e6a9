"""The shelf: what sessions share. Dyes, acids, bases, kit, leftover jars, and facts of the studio.

Each entry is one TOML table. A bad entry is left out and named in `remarks`; the rest still loads.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

import msgspec

from studio.plan.dye_looks import Looks
from studio.plan.habits import Habit
from studio.plan.model import Form
from studio.quantity import Quantity
from studio.quantity.preferred import UnitSystem

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
    components: tuple[str, ...] = ()
    """The dyes the maker says are in it."""
    looks: Looks | None = None
    """Of the studio's own dry swatch, or of a dye that stands in."""
    price: Price | None = None
    on_hand: Quantity | None = None
    """g of a powder, mL of a liquid; None where nobody wrote it down."""
    sheet: str = ""
    """Where the maker's safety data sheet is; text to show, never opened by the program."""


class ShelfAcid(msgspec.Struct, frozen=True, kw_only=True):
    name: str
    acid: str
    """The table row it is, `white vinegar`."""
    strength_percent: float | None = None
    """Where the label says another strength than the table row."""
    price: Price | None = None
    on_hand: Quantity | None = None
    """mL of a liquid, g of a powder."""
    sheet: str = ""


class ShelfBase(msgspec.Struct, frozen=True, kw_only=True):
    name: str
    blend: tuple[tuple[str, float], ...]
    form: Form | Literal[""] = ""
    """Empty where the shelf does not say."""
    dry_weight_g: float | None = None
    yarn_length_m: float | None = None
    strands: int | None = None
    rows: int | None = None
    stitches: int | None = None
    white_hex: str = ""
    """Colour of the undyed yarn, `#rrggbb`."""
    price: Price | None = None
    on_hand: int | None = None
    """Pieces."""


class KitItem(msgspec.Struct, frozen=True, kw_only=True):
    name: str
    kept_for: Literal["dye only", "kitchen"]
    kind: str = ""
    """What it is, where that matters: `microwave`."""
    resolution_g: float | None = None
    """Of a scale: its smallest step."""
    volume_ml: float | None = None
    """What a pot, basin or jar holds to the brim."""
    power_w: float | None = None
    """Of a hob, of a pot that heats itself, or of an oven."""
    steam_time_min: float | None = None
    """How long this studio steams in it, found by trying."""

    @property
    def oven(self) -> bool:
        """Whether it is a microwave oven."""
        return self.kind == "microwave"


class Jar(msgspec.Struct, frozen=True, kw_only=True):
    """Leftover stock."""

    name: str
    dye: str
    strength_percent: float
    volume_ml: float
    made: str = ""
    """Date on the label."""
    use_by: str = ""
    """Day as `2026-12-24`; empty where the label has none."""
    kind: str = ""
    """A key of `craft.leftover.AGE_LIMITS`; empty is taken for `stock`."""
    session: str = ""
    """The session it was left over from, by the name of its file."""


class StudioFacts(msgspec.Struct, frozen=True, kw_only=True):
    """What is always so in this studio; None where nobody measured it."""

    name: str = ""
    units: UnitSystem = "metric"
    """What typed quantities are echoed in."""
    currency: str = ""
    energy_price: float | None = None
    """Money for one kWh."""
    hourly_rate: float | None = None
    """Money for an hour of hands-on work."""
    margin_percent: float | None = None
    """Gross margin wanted, per cent of the price."""
    scale_resolution_g: float | None = None
    drops_per_ml: float = 20.0
    hob_w: float | None = None
    altitude_m: float | None = None
    alkalinity_mg_l: float | None = None
    water_ph: float | None = None
    room_c: float | None = None


class LeftOut(msgspec.Struct, frozen=True):
    """An entry that could not be used, or a whole file: then table and name are empty."""

    file: str
    table: str
    name: str
    sentence: str
    """What is wrong there."""


class Shelf(msgspec.Struct, frozen=True, kw_only=True):
    dyes: tuple[ShelfDye, ...] = ()
    acids: tuple[ShelfAcid, ...] = ()
    bases: tuple[ShelfBase, ...] = ()
    kit: tuple[KitItem, ...] = ()
    jars: tuple[Jar, ...] = ()
    studio: StudioFacts = StudioFacts()
    habits: tuple[Habit, ...] = ()
    """What the studio's sessions taught; empty where nobody asked them."""
    left_out: tuple[LeftOut, ...] = ()
    """What could not be used."""
    drawn: Mapping[str, tuple[str, ...]] = {}
    """What finished sessions have taken off the shelf already: ids of what was taken, by session."""
    read_on: str = ""
    """The day it was read, `2026-11-25`, by which jars are old or not; empty where nobody said."""

    @property
    def remarks(self) -> tuple[str, ...]:
        """One sentence for each entry or file that could not be used."""
        return tuple(one.sentence for one in self.left_out)

    def hidden(self, name: str, *tables: str) -> str:
        """Why an entry of that name may be missing: it was left out, or the file of its kind was; else empty."""
        for one in self.left_out:
            whole_file = not one.table and FILES.get(one.file, tables[0]) in tables
            if whole_file or (one.table in tables and one.name.strip().casefold() == name.strip().casefold()):
                return one.sentence
        return ""


FILES = {
    "dyes.toml": "dye",
    "acids.toml": "acid",
    "bases.toml": "base",
    "kit.toml": "kit",
    "jars.toml": "jar",
    "studio.toml": "studio",
}
"""Which entries a shelf file of that name holds; one of another name may hold any."""

EMPTY_SHELF = Shelf()
