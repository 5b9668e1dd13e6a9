"""A plan as it was written: typed, checked for sense, nothing worked out yet.

Quantities stay measures: the value in the base unit of its kind beside the words that were typed.
A key that was left out is None (or empty); what stands in for it is chosen in `materials`, with its origin.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from studio.quantity import Measure

Form = Literal["blank", "skein", "loose", "cloth"]
Shape = Literal["roll", "flat packet"]
Salt = Literal["none", "Glauber's"]

FORMS: tuple[Form, ...] = ("blank", "skein", "loose", "cloth")
SHAPES: tuple[Shape, ...] = ("roll", "flat packet")
METHODS = ("paint and steam", "kettle", "microwave")
SALTS: tuple[Salt, ...] = ("none", "Glauber's")


class FibrePlan(msgspec.Struct, frozen=True, kw_only=True):
    base: str = ""
    """A base of the shelf; its blend, weight, form and rows stand in for keys left out."""
    blend: tuple[tuple[str, float], ...] = ()
    """Fibre name and per cent; sums to 100."""
    dry_weight: Measure | None = None
    """g, air-dry."""
    squeezed_weight: Measure | None = None
    """g, as weighed after the presoak."""
    pieces: int | None = None
    """Alike, one beside the other in the same session; all weights and lengths here are of one."""
    target_pickup: Measure | None = None
    """% of the dry weight the fibre shall hold when painted."""
    form: Form | None = None
    yarn_length: Measure | None = None
    """m, all strands together."""
    circumference: Measure | None = None
    """cm, once round a skein."""
    strands: int | None = None
    rows: int | None = None
    stitches: int | None = None


class WaterPlan(msgspec.Struct, frozen=True, kw_only=True):
    alkalinity: Measure | None = None
    """mg/L as CaCO3."""
    ph: Measure | None = None
    altitude: Measure | None = None
    """m."""
    open: bool = False
    """True where the soak stands or simmers long enough to lose its carbon dioxide."""


class PresoakPlan(msgspec.Struct, frozen=True, kw_only=True):
    acid: str = ""
    liquor_ratio: float | None = None
    target_ph: Measure | None = None
    acid_amount: Measure | None = None
    """mL or g; instead of a target pH."""
    practice: str = ""
    """Id or label of a published dose; instead of either."""
    time: Measure | None = None
    temperature: Measure | None = None


class MixPart(msgspec.Struct, frozen=True, kw_only=True):
    """One dye of a colour that is mixed of several."""

    dye: str
    share_percent: float
    """Of the dye in the colour; all parts sum to 100."""
    stock: Measure | None = None


class ColourPlan(msgspec.Struct, frozen=True, kw_only=True):
    name: str
    slug: str
    dye: str = ""
    mix: tuple[MixPart, ...] = ()
    depth: Measure | None = None
    """% on the weight of the fibre it covers."""
    stock: Measure | None = None
    """% (g per 100 mL)."""
    drops: float | None = None
    drops_in: Measure | None = None
    """mL the drops go into."""
    liquid: Measure | None = None
    """mL of paint the dyer means to mix; otherwise what the fibre can hold, with the reserve."""


class Band(msgspec.Struct, frozen=True, kw_only=True):
    """One band of the layout; `colour` is empty where the fibre stays bare."""

    colour: str
    rows: int | None = None
    share_percent: float | None = None


class LayoutPlan(msgspec.Struct, frozen=True, kw_only=True):
    order: tuple[Band, ...]
    times: int | None = 1
    """How often the order is laid; None = to fill."""


class SetPlan(msgspec.Struct, frozen=True, kw_only=True):
    shape: Shape
    thickness: Measure
    """cm; the diameter of a roll."""
    length: Measure | None = None
    width: Measure | None = None
    hob: Measure | None = None
    hob_efficiency: float | None = None
    pot_water: Measure | None = None
    hold: Measure | None = None
    practice: str = ""
    """Id or label of a published time at heat; instead of `hold`."""
    lid: bool = True
    places: int | None = None
    """Packets the steamer holds at once."""


class KnitPlan(msgspec.Struct, frozen=True, kw_only=True):
    stitches: int | None = None
    gauge: Measure | None = None


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
    set: SetPlan
    kit: tuple[str, ...] = ()
    knit: KnitPlan | None = None
    salt: Salt = "none"
    reserve_percent: float = 20.0
    reserve_typed: bool = False
