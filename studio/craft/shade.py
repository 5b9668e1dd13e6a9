"""Everything about the amount of colour: one door to `depth`, `mixing` and `drops`."""

from __future__ import annotations

from studio.craft.depth import (
    MOST_DEPTH_PERCENT,
    depth_percent,
    dye_g,
    dye_in_stock_g,
    least_stock_percent,
    stock_ml,
)
from studio.craft.drops import dropper_drops_per_ml, drops_ml, scaled_drops
from studio.craft.mixing import dilution_ml

__all__ = [
    "MOST_DEPTH_PERCENT",
    "depth_percent",
    "dilution_ml",
    "dropper_drops_per_ml",
    "drops_ml",
    "dye_g",
    "dye_in_stock_g",
    "least_stock_percent",
    "scaled_drops",
    "stock_ml",
]
