"""Several strands in one blank: which ends make a pair, and how far two strands differ."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

from studio.craft.limits import within
from studio.craft.stripe.blank import Band, Blank, ends_differ, lay
from studio.craft.stripe.knitting import End

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
