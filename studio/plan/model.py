"""A plan as it was written: typed, checked for sense, nothing worked out yet.

Quantities stay measures: the value in the base unit of its kind beside the words that were typed.
A key that was left out is None (or empty); what stands in for it is chosen in `materials`, with its origin.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from studio.quantity import Quantity

Form = Literal["blank", "skein", "loose", "cloth"]
Shape = Literal["roll", "flat packet"]
Salt = Literal["none", "Glauber's"]
AcidAdded = Literal["staged", "at the start"]

FORMS: tuple[Form, ...] = ("blank", "skein", "loose", "cloth")
SHAPES: tuple[Shape, ...] = ("roll", "flat packet")
STEAM, KETTLE, MICROWAVE = METHODS = ("paint and steam", "kettle", "microwave")
ACID_ADDED: tuple[AcidAdded, ...] = ("staged", "at the start")
MOST_PARTS = 3
MOST_BURSTS = 4
"""More would need more than nine items in a stage. House rule."""
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
    open: bool = False
    """True where the soak stands or simmers long enough to lose its carbon dioxide."""


class PresoakPlan(msgspec.Struct, frozen=True, kw_only=True):
    acid: str = ""
    liquor_ratio: float | None = None
    target_ph: Quantity | None = None
    acid_amount: Quantity | None = None
    """mL or g; instead of a target pH."""
    practice: str = ""
    """Id or label of a published dose; instead of either."""
    time: Quantity | None = None
    temperature: Quantity | None = None


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
    """% on the weight of the fibre it covers."""
    stock: Quantity | None = None
    """% (g per 100 mL)."""
    drops: float | None = None
    drops_in: Quantity | None = None
    """mL the drops go into."""
    liquid: Quantity | None = None
    """mL of paint the dyer means to mix; otherwise what the fibre can hold, with the reserve."""


class PlannedBand(msgspec.Struct, frozen=True, kw_only=True):
    """One band of the layout; `colour` is empty where the fibre stays bare."""

    colour: str
    rows: int | None = None
    share_percent: float | None = None


class LayoutPlan(msgspec.Struct, frozen=True, kw_only=True):
    order: tuple[PlannedBand, ...]
    times: int | None = 1
    """How often the order is laid; None = to fill."""


class SetPlan(msgspec.Struct, frozen=True, kw_only=True):
    shape: Shape
    thickness: Quantity
    """cm; the diameter of a roll."""
    length: Quantity | None = None
    width: Quantity | None = None
    hob: Quantity | None = None
    hob_efficiency: float | None = None
    pot_water: Quantity | None = None
    hold: Quantity | None = None
    practice: str = ""
    """Id or label of a published time at heat; instead of `hold`."""
    lid: bool = True
    places: int | None = None
    """Packets the steamer holds at once."""


class KettlePlan(msgspec.Struct, frozen=True, kw_only=True):
    """A dye bath: one colour over all of the fibre."""

    acid: str = ""
    target_ph: Quantity | None = None
    acid_amount: Quantity | None = None
    """mL or g; instead of a target pH."""
    acid_added: AcidAdded | None = None
    """Half of it a quarter of an hour later, or all at the start."""
    liquor_ratio: float | None = None
    start: Quantity | None = None
    """degC of the bath when the fibre goes in."""
    ramp: float | None = None
    """degC a minute."""
    top: Quantity | None = None
    """degC that is held."""
    hold: Quantity | None = None
    parts: int = 1
    """The dye goes in at once, or in so many parts on the way up: a semi-solid."""
    hob: Quantity | None = None
    hob_efficiency: float | None = None
    pot: Quantity | None = None
    """g, the empty pot."""
    lid: bool = True


class MicrowavePlan(msgspec.Struct, frozen=True, kw_only=True):
    """A painted, wrapped packet set in bursts."""

    power: Quantity
    """W, the oven's output at the setting used."""
    burst: Quantity | None = None
    rest: Quantity | None = None
    rounds: int | None = None
    """Bursts."""
    stand: Quantity | None = None
    """Minutes it stands before it is opened."""
    thickness: Quantity | None = None
    """cm, of the packet as it lies in its dish."""


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
    """One band of the one colour in a kettle."""
    set: SetPlan | None = None
    """Of a packet that is steamed."""
    kettle: KettlePlan | None = None
    microwave: MicrowavePlan | None = None
    """One of the three is there, by the method."""
    kit: tuple[str, ...] = ()
    knit: KnitPlan | None = None
    salt: Salt = "none"
    reserve_percent: float = 20.0
    reserve_typed: bool = False

    @property
    def acid_bath(self) -> PresoakPlan | KettlePlan:
        """The table with the acid: the presoak's, or the kettle's, whose fibre is wetted out in plain water."""
        return self.presoak if self.kettle is None else self.kettle

    @property
    def acid_table(self) -> str:
        """Name of that table."""
        return "presoak" if self.kettle is None else "kettle"

    @property
    def hob(self) -> Quantity | None:
        """W, as written."""
        made = self.set or self.kettle
        return made.hob if made is not None else None

    @property
    def hob_efficiency(self) -> float:
        """Share of the hob's power that reaches the pot; 1 where nothing is written, an upper bound."""
        made = self.set or self.kettle
        return (made.hob_efficiency if made is not None else None) or 1.0
