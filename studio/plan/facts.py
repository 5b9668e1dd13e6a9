"""What the procedure needs to know of a plan, resolved and free of quantities-as-text."""

from __future__ import annotations

from typing import Literal

import msgspec


class StockFacts(msgspec.Struct, frozen=True, kw_only=True):
    """One jar that goes into a colour."""

    slug: str
    """`rust`, or `moss.acid-blue-9` where a colour is mixed of several."""
    dye: str
    form: Literal["powder", "liquid", "drops", "jar"]
    """How it comes: powder to dissolve, a ready liquid, drops of a food colour, a jar from the shelf."""
    food: bool
    strength_percent: float | None
    """g per 100 mL; None for drops of unknown strength."""
    dye_g: float | None
    """Powder to weigh; None where nothing is weighed."""
    volume_ml: float
    """Stock to make up, or to have ready."""
    share: float = 1.0
    """Of the dye of its colour, 0 to 1."""
    drops: float | None = None


class ColourFacts(msgspec.Struct, frozen=True, kw_only=True):
    """One colour as it is painted."""

    name: str
    slug: str
    stocks: tuple[StockFacts, ...]
    fibre_g: float
    liquid_ml: float
    stock_ml: float
    """All stocks together."""
    water_ml: float
    depth_percent: float | None = None
    """On the fibre it covers; None where the plan does not say."""


class HabitUsed(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A habit that a plan was worked out with, for the worksheet and the session file."""

    id: str
    label: str
    value: float
    unit: str
    default: float
    standing: Literal["yours", "pinned"]
    n: int = 0
    low: float | None = None
    high: float | None = None


class BathFacts(msgspec.Struct, frozen=True, kw_only=True):
    """A dye bath as it is made, heated and held."""

    fill_ml: float
    """Water to pour: the bath without its dye."""
    dye_ml: float
    parts: int
    """The dye goes in at once, or in so many parts."""
    acid_first: float
    acid_rest: float
    """mL or g; the rest goes in later, 0 where all goes in at the start."""
    acid_after_min: float
    ph: float
    salt_g: float
    start_c: float
    top_c: float
    boil_c: float
    rate_c_min: float
    """As the hob can do it."""
    ramp_min: float
    hold_min: float


class BurstFacts(msgspec.Struct, frozen=True, kw_only=True):
    """Bursts and rests of a wrapped packet."""

    power_w: float
    burst_min: float
    rest_min: float
    count: int
    stand_min: float


class ProcedureFacts(msgspec.Struct, frozen=True, kw_only=True):
    """The plan as the procedure sees it."""

    method: str
    form: Literal["blank", "skein", "loose", "cloth"]
    dry_weight_g: float
    colours: tuple[ColourFacts, ...]
    bands: str
    """The layout in words: `6 rust, 5 bare, 6 kelp, 5 bare, to fill`; empty where there are no bands."""
    acid_name: str
    acid_state: Literal["liquid", "powder", ""]
    acid_amount: float
    """mL for a liquid, g for a powder; 0 where the plan uses none."""
    acid_strong: bool
    presoak_water_ml: float
    presoak_ph: float | None
    """None where the soak is plain water."""
    presoak_min: float
    presoak_c: float
    squeezed_g: float = 0.0
    """Expected weight after squeezing; 0 where there is none, as the next four."""
    shape: Literal["roll", "flat packet", ""] = ""
    hold_min: float = 0.0
    """Of the set; 0 where it goes in bursts."""
    pot_water_ml: float = 0.0
    pot_check_min: float = 0.0
    """Minutes between two looks at the pot water."""
    cool_min: float
    unwrap_c: float
    rinse_c: float
    food_only: bool
    any_powder: bool
    has_warnings: bool
    pieces: int = 1
    """Alike, each wrapped as a packet of its own; weights and volumes here are of all together."""
    habits: tuple[HabitUsed, ...] = ()
    """The studio's own values that stand in for a default."""
    bath: BathFacts | None = None
    """Where the fibre lies in a bath that is heated."""
    bursts: BurstFacts | None = None
    """Where it is heated in bursts."""
