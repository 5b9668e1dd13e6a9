"""How far a painting strays from the bands that were meant, and how two strands of a blank differ."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

from studio.craft.limits import within
from studio.craft.stripe.blank import Band, Blank, End, ends_differ, lay

# How far a painting strays from the bands that were meant, in rows of the blank.

SPREAD_ROWS, TILT_ROWS, WANDER_ROWS = 0.8, 1.0, 0.4
"""What a careful hand with a foam brush is taken to do, until a swatch says otherwise (estimate)."""


@dataclass(frozen=True)
class Painting:
    """A way of painting. Rows are rows of the blank.

    `spread` (0 to 50): so far to either side of an edge the two neighbours are mixed.
    `tilt` (0 to 50): at most so much higher an edge lies at one side of the blank than at the other.
    `wander` (0 to 20): standard deviation of an edge about its straight line, smooth along the width.
    Refused (ValueError): outside those ranges.

    **Source:** estimate, all of them, until fitted to a swatch (`inverse.fit`).
    """

    spread: float = SPREAD_ROWS
    tilt: float = TILT_ROWS
    wander: float = WANDER_ROWS

    def __post_init__(self) -> None:
        within("spread", self.spread, 0, 50, "rows")
        within("tilt", self.tilt, 0, 50, "rows")
        within("wander", self.wander, 0, 20, "rows")

    @property
    def exact(self) -> bool:
        """Whether nothing strays: no spread, tilt or wander, so that the geometry is exact."""
        return self.spread == self.tilt == self.wander == 0.0


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
) -> Pair:
    """How well two strands of a blank match, for the end each is started from.

    Edges of the second strand lie `STRAND_GAP_ROWS` further along the blank.

    Returns `Pair`. Refused (ValueError): a blank of one strand, bands as in `lay`.

    >>> pair_of(Blank(20, 50, 16.0, strands=2), [Band("rust", 5), Band("kelp", 15)]).same_share
    0.99

    **Source:** arithmetic; that strands match from the same end is common practice.
    Breaks where one strand slips along the other, or hides from the brush behind it.
    """
    if blank.strands < 2:
        raise ValueError("The blank has one strand; a pair of strands needs a blank knitted of two.")
    laid = lay(bands, blank.rows)
    matched = ends[0] == ends[1]
    return Pair(
        matched=matched,
        offset_m=STRAND_GAP_ROWS * blank.row_m,
        same_share=_same_share(laid, blank.rows, STRAND_GAP_ROWS, matched),
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
