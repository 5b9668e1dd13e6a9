"""A plan with its painting, and all that the forecast makes of them. numpy is loaded when it is run."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from studio.craft.stripe.painting import Painting
from studio.plan.colour_looks import Look, looks
from studio.plan.colour_preview import ColourSeen, colours_seen, told_apart, undyed_hex
from studio.plan.foretelling import Foretelling, foretell, painting_of
from studio.plan.habits import Habit, in_use
from studio.plan.model import Plan
from studio.plan.shelf import Shelf

if TYPE_CHECKING:
    from studio.craft.stripe.forecast import Forecast
    from studio.craft.stripe.inverse import LeastWidth
    from studio.craft.stripe.picture import Picture


@dataclass(frozen=True, slots=True)
class Foreseen:
    """Geometry, painting and colours, ready to be forecast."""

    told: Foretelling
    painting: Painting
    colours: tuple[ColourSeen, ...]
    palette: dict[str, Look]
    notes: tuple[str, ...]
    """About colours that may be taken for one another or are not known."""
    spread_is: str = ""
    """`yours, 3 swatches` or `pinned by you`; empty where the spread is an estimate or was asked for."""

    def forecast(self, paintings: int) -> Forecast:
        """Rounds and odds over so many paintings; ValueError, one sentence, where it cannot be."""
        from studio.craft.stripe.forecast import forecast

        told = self.told
        return forecast(told.blank, told.bands, self.painting, told.knitting, paintings=paintings)

    def least_rows(self, solid_rounds: int, odds: float) -> LeastWidth:
        """The narrowest band that gives so many solid rounds at such odds (0 to 1); ValueError as above."""
        from studio.craft.stripe.inverse import least_rows

        return least_rows(solid_rounds, odds, self.told.blank, self.painting, self.told.knitting)

    def picture(self) -> Picture:
        """One painting, to look at; ValueError as above."""
        from studio.craft.stripe.picture import picture

        told = self.told
        return picture(told.blank, told.bands, self.painting, told.knitting)

    def painted_by(self) -> str:
        """The painting in words."""
        p = self.painting
        yours = f" ({self.spread_is})" if self.spread_is else ""
        return f"spread {p.spread:.2g}{yours}, tilt {p.tilt:g}, wander {p.wander:g} rows"


def foresee(
    plan: Plan,
    shelf: Shelf,
    spread: float | None = None,
    tilt: float | None = None,
    wander: float | None = None,
) -> Foreseen:
    """Everything the forecast needs; PlanError or ValueError, one sentence, where something lacks.

    A spread that is not asked for is the studio's own, where its swatches told it or it is pinned.
    """
    told = foretell(plan, shelf)
    own = in_use(shelf.habits, "spread") if spread is None else None
    painting = painting_of(own.value if own else spread, tilt, wander)
    seen = colours_seen(plan, shelf)
    unknown = tuple(f"{c.name} is drawn in a stand-in colour: {c.note}." for c in seen if not c.hex)
    palette = looks(told.colours, seen, undyed_hex(plan, shelf))
    return Foreseen(told, painting, seen, palette, (*told_apart(seen), *unknown), _spread_is(own))


def _spread_is(own: Habit | None) -> str:
    if own is None:
        return ""
    return f"yours, {own.counted}" if own.standing == "yours" else "pinned by you"
