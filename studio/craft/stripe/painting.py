"""How far a painting strays from the bands that were meant, in rows of the blank."""

from __future__ import annotations

from dataclasses import dataclass

from studio.craft.limits import within
from studio.craft.stripe.blank import Band, whole

SPREAD_ROWS, TILT_ROWS, WANDER_ROWS = 0.8, 1.0, 0.4
"""What a careful hand with a foam brush is taken to do, until a swatch says otherwise (estimate)."""
COAT_SPREAD = 0.5
"""Each further coat adds half of the first one's spread (estimate)."""


@dataclass(frozen=True)
class Painting:
    """A way of painting. Rows are rows of the blank.

    `spread` (0 to 50): so far to either side of an edge the two neighbours are mixed.
    `tilt` (0 to 50): at most so much higher an edge lies at one side of the blank than at the other.
    `wander` (0 to 20): standard deviation of an edge about its straight line, smooth along the width.
    `spots` (0 to 50): stray drips on the whole blank, on average; `spot_rows` (0.5 to 10) is their diameter.
    `penetration` (0 to 1): share of the yarn's depth one coat reaches; the rest stays bare and so is mixed.
    `coats` (1 to 5): coats of every band, multiplied with a band's own.
    Refused (ValueError): outside those ranges.

    **Source:** estimate, all of them, until fitted to a swatch (`fitting.fit`).
    """

    spread: float = SPREAD_ROWS
    tilt: float = TILT_ROWS
    wander: float = WANDER_ROWS
    spots: float = 0.0
    spot_rows: float = 1.5
    penetration: float = 1.0
    coats: int = 1

    def __post_init__(self) -> None:
        within("spread", self.spread, 0, 50, "rows")
        within("tilt", self.tilt, 0, 50, "rows")
        within("wander", self.wander, 0, 20, "rows")
        within("number of spots", self.spots, 0, 50)
        within("diameter of a spot", self.spot_rows, 0.5, 10, "rows")
        within("penetration", self.penetration, 0, 1)
        whole("coats", self.coats, 1, 5)

    @property
    def exact(self) -> bool:
        """Whether nothing strays: no spread, tilt, wander or spots, so that the geometry is exact."""
        return self.spread == self.tilt == self.wander == self.spots == 0.0


def band_spread(band: Band, painting: Painting) -> float:
    """Rows to either side of an edge into which this band's paint mixes; 0 for a bare band.

    spread x (1 + 0.5 x (coats - 1))

    >>> band_spread(Band("rust", 6, coats=2), Painting(spread=0.8))
    1.2000000000000002

    **Source:** estimate.
    """
    if not band.colour:
        return 0.0
    own = painting.spread if band.spread is None else band.spread
    return own * (1.0 + COAT_SPREAD * (band.coats * painting.coats - 1))


def band_penetration(band: Band, painting: Painting) -> float:
    """Share of the yarn's depth that is coloured after all coats, 0 to 1; 1 for a bare band.

    1 - (1 - p)^coats: each coat reaches the same share of what is still bare

    >>> round(band_penetration(Band("rust", 6, coats=2), Painting(penetration=0.8)), 2)
    0.96

    **Source:** estimate.
    """
    if not band.colour:
        return 1.0
    return float(1.0 - (1.0 - painting.penetration) ** (band.coats * painting.coats))
