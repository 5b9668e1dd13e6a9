"""How far a painting strays from the bands that were meant, and how two strands of a blank differ."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

from studio.craft.limits import within
from studio.craft.stripe.blank import Band, Blank, End, ends_differ, lay, whole

# How far a painting strays from the bands that were meant, in rows of the blank.

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


# Several strands in one blank: which ends make a pair, and how far two strands differ.

STRAND_GAP_ROWS = 0.2
"""Rows by which a strand lies further along than its neighbour in the same loop (estimate)."""


@dataclass(frozen=True)
class Pair:
    """Two strands started side by side: `matched` where both start from the same end.

    `offset_m` of yarn by which an edge on the one comes later than on the other, at most.
    `same_share`: share of the yarn, metre beside metre, that has the same colour (0 to 1).
    `ends_differ`: whether the ends of the blank can be told apart by their first band.

    **Source:** arithmetic on `STRAND_GAP_ROWS` (estimate); what matches is common practice.
    """

    matched: bool
    offset_m: float
    same_share: float
    ends_differ: bool


def pair_of(
    blank: Blank,
    bands: Sequence[Band],
    ends: tuple[End, End] = ("last", "last"),
    places: tuple[int, int] = (0, 1),
    gap_rows: float = STRAND_GAP_ROWS,
) -> Pair:
    """How well two strands of a blank match, for the end each is started from.

    Edges of the second strand lie (place2 - place1) x gap rows further along the blank.

    `places`: of the strands in the loop, 0 to strands - 1. `gap_rows`: 0 to 2 rows.
    Returns `Pair`. Refused (ValueError): outside those ranges, a blank of one strand, bands as in `lay`.

    >>> pair_of(Blank(20, 50, 16.0, strands=2), [Band("rust", 5), Band("kelp", 15)], gap_rows=0.0)
    Pair(matched=True, offset_m=0.0, same_share=1.0, ends_differ=True)

    **Source:** arithmetic; that strands match from the same end is common practice.
    Breaks where one strand slips along the other, or hides from the brush behind it.
    """
    within("distance of two strands", gap_rows, 0, 2, "rows")
    if blank.strands < 2:
        raise ValueError("The blank has one strand; a pair of strands needs a blank knitted of two.")
    for place in places:
        within("place of a strand", place, 0, blank.strands - 1)
    shift = (places[1] - places[0]) * gap_rows
    laid = lay(bands, blank.rows)
    matched = ends[0] == ends[1]
    return Pair(
        matched=matched,
        offset_m=abs(shift) * blank.row_m,
        same_share=_same_share(laid, blank.rows, shift, matched),
        ends_differ=ends_differ(laid, blank.rows),
    )


def _same_share(laid: Sequence[Band], rows: int, shift: float, matched: bool) -> float:
    """Share of the length on which the colours agree, the second strand turned round if not matched."""
    colours = [band.colour for band in laid]
    edges = list(accumulate(band.rows for band in laid))[:-1]
    moved = [min(max(edge + shift, 0.0), float(rows)) for edge in edges]
    if not matched:
        moved = [rows - edge for edge in reversed(moved)]
    others = colours if matched else colours[::-1]
    cuts = sorted({0.0, float(rows), *edges, *moved})
    same = 0.0
    for low, high in pairwise(cuts):
        middle = (low + high) / 2.0
        if colours[bisect_right(edges, middle)] == others[bisect_right(moved, middle)]:
            same += high - low
    return same / rows
