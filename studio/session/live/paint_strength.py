"""What really is in a jar of paint, later batches included: the dye that went in over all that was mixed."""

from __future__ import annotations

from dataclasses import dataclass

from studio.plan.facts import ColourFacts
from studio.session.live.given import measured
from studio.session.live.jars import strength_of
from studio.session.state import State


@dataclass(frozen=True, slots=True)
class Paint:
    """Paint of one colour: what was mixed, and the stock in it."""

    ml: float
    stock_ml: float
    dye_g: float

    @property
    def strength_percent(self) -> float:
        """g of dye in 100 mL of paint."""
        return 100.0 * self.dye_g / self.ml


def stock_made_ml(state: State, colour: ColourFacts) -> float:
    """All stock of a colour as it was made up, else as planned."""
    return sum(measured(state, f"stocks.{s.slug}.volume") or s.volume_ml for s in colour.stocks)


def stock_percent(state: State, colour: ColourFacts) -> float | None:
    """Strength of a colour's stocks together, by volume, as they were made; None where one is not known."""
    known = [(strength_of(state, s.slug), s.volume_ml) for s in colour.stocks]
    volume = sum(ml for _, ml in known)
    if volume <= 0 or any(strength is None for strength, _ in known):
        return None
    return sum((strength or 0.0) * ml for strength, ml in known) / volume


def paint_now(state: State, colour: ColourFacts) -> Paint | None:
    """The paint that was mixed of a colour, later batches included; None before, and where no strength is known."""
    first_ml, strength = measured(state, f"paint.{colour.slug}.mix"), stock_percent(state, colour)
    if not first_ml or strength is None:
        return None
    stock = min(colour.stock_ml, stock_made_ml(state, colour), first_ml)
    batches = [b for b in state.batches if b.colour == colour.slug]
    dye_g = stock * strength / 100 + sum(
        b.stock_ml * (strength if b.strength_percent is None else b.strength_percent) / 100 for b in batches
    )
    return Paint(first_ml + sum(b.ml for b in batches), stock + sum(b.stock_ml for b in batches), dye_g)
