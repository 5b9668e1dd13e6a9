"""What a repeat starts from: what was really done, free of the session it was done in."""

from __future__ import annotations

import msgspec


class ColourDone(msgspec.Struct, frozen=True, kw_only=True):
    """One colour as it was really made."""

    slug: str
    planned_percent: tuple[float | None, ...]
    """Strength of each stock as planned, g per 100 mL, in the order of the plan."""
    real_percent: tuple[float | None, ...]
    """As made: dye weighed over volume poured; None where it was not both measured, or comes ready."""
    mixed_ml: float | None
    """Paint in the jar, as read."""
    stock_ml: float
    """Stock that was poured into it: the plan's, which the bench does not change."""
    drops: float | None = None
    """As counted; None where the colour is no drop recipe."""


class BandDone(msgspec.Struct, frozen=True, kw_only=True):
    """One band that was painted otherwise than laid out."""

    number: int
    planned: str
    """Name of a colour."""
    painted: tuple[str, ...]
    """Name of the colour of each coat."""


class Done(msgspec.Struct, frozen=True, kw_only=True):
    """A session in numbers; None for whatever was not measured."""

    dry_g: float | None = None
    planned_dry_g: float | None = None
    squeezed_g: float | None = None
    soak_ml: float | None = None
    soak_ph: float | None = None
    soak_min: float | None = None
    acid_amount: float | None = None
    acid_unit: str = "mL"
    hold_min: float | None = None
    """Minutes of steam, or at the top of a bath; time without steam is not in it."""
    lost_min: float = 0.0
    pot_ml: float | None = None
    bath_ml: float | None = None
    """Of a kettle, dye and all."""
    filled_up_ml: float = 0.0
    sets: int = 1
    bands: tuple[BandDone, ...] = ()
    """Those of more coats than one, or from another jar."""
    colours: tuple[ColourDone, ...] = ()

    def colour(self, slug: str) -> ColourDone | None:
        """The colour of that slug."""
        return next((c for c in self.colours if c.slug == slug), None)

    @property
    def fibre_g(self) -> float | None:
        """Dry weight as weighed, else as planned."""
        return self.dry_g or self.planned_dry_g
