"""Prices as they were when a plan was worked out, kept with it: what a session is counted with afterwards."""

from __future__ import annotations

import msgspec


class DyePrice(msgspec.Struct, frozen=True, kw_only=True):
    """What one stock takes of a dye that has a price."""

    slug: str
    """Of the stock, `rust` or `moss.gorse`."""
    colour: str
    """Slug of the colour."""
    per_unit: float
    """Money for one g or mL of the dye as it is bought."""
    unit: str
    """`g` or `mL`."""
    planned: float
    """g or mL for the stock as planned, reserve included."""


class CostFacts(msgspec.Struct, frozen=True, kw_only=True):
    """Everything a cost is made of; None where the shelf has no price for it."""

    currency: str
    pieces: float | None = None
    """Skeins or blanks of the base; None where its weight is not known."""
    base_money: float | None = None
    acid_per_unit: float | None = None
    """Money for one mL or g."""
    dyes: tuple[DyePrice, ...] = ()
    dyes_known: bool = True
    """False where a dye that is used has no price."""
    energy_price: float | None = None
    """Money for one kWh."""
    heat_up_kwh: float = 0.0
    """To bring pot and goods to the boil."""
    heater_w: float = 0.0
    """Drawn while the heat is held."""
    efficiency: float = 1.0
    """Share of it that reaches the water, for water that is filled up."""
    hold_min: float = 0.0
    hourly_rate: float | None = None
    hands_on_min: float = 0.0
    """As planned."""
    missing: tuple[str, ...] = ()
    """Parts the planned cost leaves out, in words."""
