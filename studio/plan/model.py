"""A plan as it was written: typed, checked for sense, nothing worked out yet.

Quantities stay measures: the value in the base unit of its kind beside the words that were typed.
A key that was left out is None (or empty); what stands in for it is chosen in `materials`, with its origin.
"""

from __future__ import annotations

from typing import Any, Literal

import msgspec

from studio.plaintext import counted
from studio.plan.errors import KeyPath, PlanError, Term, refuse
from studio.quantity.kinds import Quantity

Form = Literal["blank", "skein", "loose", "cloth"]
Shape = Literal["roll", "flat packet"]
Salt = Literal["none", "Glauber's"]

FORMS: tuple[Form, ...] = ("blank", "skein", "loose", "cloth")
SHAPES: tuple[Shape, ...] = ("roll", "flat packet")
MOST_IN_PAINT = 50.0
"""mL or g of acid in 100 mL of paint. House rule."""
MOST_PIECES = 8
"""Alike in one session: as many packets as the bench keeps clocks for. House rule."""
MOST_ROWS, MOST_STITCHES = 100_000, 10_000
"""Of a blank, and of a piece that is knitted. House rule."""
MOST_STRANDS = 12
"""Knitted together in a blank. House rule; a forecast is drawn of 8 at most."""
LOWEST_M, HIGHEST_M = -430.0, 4000.0
"""Altitudes for which steam still reaches 85 degC with room to spare. House rule."""
SALTS: tuple[Salt, ...] = ("none", "Glauber's")


class FibrePlan(msgspec.Struct, frozen=True, kw_only=True):
    base: str = ""
    """A base of the shelf; its blend, weight, form and rows stand in for keys left out."""
    blend: tuple[tuple[str, float], ...] = ()
    """Fibre name and per cent; sums to 100."""
    dry_weight: Quantity | None = None
    """g, air-dry."""
    squeezed_weight: Quantity | None = None
    """g, as weighed after the presoak."""
    pieces: int | None = None
    """Alike, one beside the other in the same session; all weights and lengths here are of one."""
    target_pickup: Quantity | None = None
    """% of the dry weight the fibre shall hold when painted."""
    form: Form | None = None
    yarn_length: Quantity | None = None
    """m, all strands together."""
    circumference: Quantity | None = None
    """cm, once round a skein."""
    strands: int | None = None
    rows: int | None = None
    stitches: int | None = None


class WaterPlan(msgspec.Struct, frozen=True, kw_only=True):
    alkalinity: Quantity | None = None
    """mg/L as CaCO3."""
    ph: Quantity | None = None
    altitude: Quantity | None = None
    """m."""
    open: bool | None = None
    """Whether the bath loses its carbon dioxide; where not written, as its way of dyeing has it."""


class AcidPlan(msgspec.Struct, frozen=True, kw_only=True):
    """The acid, in whichever table it is written."""

    table: str = "presoak"
    """Of the plan; its figures are named by it."""
    acid: str = ""
    target_ph: Quantity | None = None
    acid_amount: Quantity | None = None
    """mL or g; instead of a target pH."""
    practice: str = ""
    """Id or label of a published dose; instead of either."""


class PresoakPlan(msgspec.Struct, frozen=True, kw_only=True):
    paint_acid: Quantity | None = None
    """mL or g of the plan's acid in 100 mL of every paint."""
    liquor_ratio: float | None = None
    time: Quantity | None = None
    temperature: Quantity | None = None


class Thicken(msgspec.Struct, frozen=True, kw_only=True):
    """A gum in paint."""

    gum: str
    strength: Quantity
    """g in 100 mL of paint."""
    key: KeyPath
    """Where it is written, of the colour or of all."""


class MixPart(msgspec.Struct, frozen=True, kw_only=True):
    """One dye of a colour that is mixed of several."""

    dye: str
    share_percent: float
    """Of the dye in the colour; all parts sum to 100."""
    stock: Quantity | None = None


class ColourPlan(msgspec.Struct, frozen=True, kw_only=True):
    name: str
    slug: str
    dye: str = ""
    mix: tuple[MixPart, ...] = ()
    depth: Quantity | None = None
    """% on the weight of the fibre under it that takes dye."""
    stock: Quantity | None = None
    """% (g per 100 mL)."""
    drops: float | None = None
    drops_in: Quantity | None = None
    """mL the drops go into."""
    liquid: Quantity | None = None
    """mL of paint the dyer means to mix; otherwise what the fibre can hold, with the reserve."""
    acid: Quantity | None = None
    """mL or g of the plan's acid in 100 mL of its paint; where it is left out, what is said for all paint."""
    thicken: Thicken | None = None
    """Its own, or that of all paint."""

    @property
    def kept_as(self) -> Literal["paint", "thickened paint"]:
        """How what is left of its paint keeps."""
        return "thickened paint" if self.thicken else "paint"


class PlannedBand(msgspec.Struct, frozen=True, kw_only=True):
    """One band of the layout; `colour` is empty where the fibre stays bare."""

    colour: str
    rows: int | None = None
    share_percent: float | None = None

    def __post_init__(self) -> None:
        if (self.rows is None) == (self.share_percent is None):
            raise ValueError("A band is so many rows or a share of the fibre, one of the two.")

    @property
    def size(self) -> float:
        """Rows, or per cent of the fibre where there are no rows."""
        return float(self.rows) if self.rows is not None else self.share_percent or 0.0

    @property
    def size_told(self) -> str:
        """`12 rows`, `1 row`, `25 %`."""
        return f"{self.size:g} %" if self.rows is None else counted(self.rows, "row")


class LayoutPlan(msgspec.Struct, frozen=True, kw_only=True):
    order: tuple[PlannedBand, ...]
    times: int | None = 1
    """How often the order is laid; None = to fill."""
    sides: int = 1
    """Faces that are painted, each with its share of the paint; of one it is pressed through to the other."""


class KnitPlan(msgspec.Struct, frozen=True, kw_only=True):
    stitches: int | None = None
    gauge: Quantity | None = None


class Plan(msgspec.Struct, frozen=True, kw_only=True):
    """What the dyer means to do."""

    file: str
    """Name of the file, for sentences."""
    title: str
    method: str
    fibre: FibrePlan
    water: WaterPlan
    presoak: PresoakPlan
    colours: tuple[ColourPlan, ...]
    layout: LayoutPlan
    """One band of the one colour where none are painted."""
    own: dict[str, Any] = {}
    """The table of its way of setting the colour, as that way has read it."""
    sour: AcidPlan = AcidPlan()
    hob: Quantity | None = None
    """W, as written."""
    hob_efficiency: float | None = None
    """Share of it that reaches the pot, as written."""
    kit: tuple[str, ...] = ()
    knit: KnitPlan | None = None
    salt: Salt = "none"
    reserve_percent: float = 20.0
    reserve_typed: bool = False

    def wrong(self, path: KeyPath, *what: str | Term, instead: str = "", toml: str = "") -> PlanError:
        """The refusal of a key."""
        return refuse(self.file, path, *what, instead=instead, toml=toml)
