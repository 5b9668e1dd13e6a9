"""The blank, its bands and their yarn, the new piece; how far a painting strays, and which strands make a
pair.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import accumulate, pairwise
from typing import Literal

import msgspec
from msgspec.structs import replace

from studio.craft.limits import Range, above, within

# Loop length of plain knit from its gauge or its yarn, and the yarn a round takes.

KW = 4.1
"""Munden's constant for wales: of plain-knit worsted wool that was soaked and dried flat, with the loop in the same
unit. **Source:** D. J. Spencer, Knitting Technology, p. 281 (attributed to Munden 1959), read second-hand."""
MOST_PER_10CM = 200.0
"""Stitches or rows per 10 cm; five times the finest hand knit (house rule, catches a slipped unit)."""
MOST_LOOP_MM = 200.0
"""mm of yarn in a stitch; ten times that of thick hand knit (house rule, catches a slipped unit)."""
LOOP_MM = Range("loop length", 0, MOST_LOOP_MM, "mm", positive=True)
YARN_M = Range("length of the yarn", 0, 100_000, "m")


def loop_mm_from_gauge(stitches_per_10cm: float) -> float:
    """Yarn in one stitch, from the gauge across.

    l = Kw / w

    `stitches_per_10cm`: above 0, to 200, of a swatch that was soaked and dried flat.
    Returns mm. Refused (ValueError): outside that range.

    >>> round(loop_mm_from_gauge(32 / 1.016), 3)
    13.017

    **Source:** D. J. Spencer, Knitting Technology, p. 281 (attributed to Munden 1959), read second-hand.
    Breaks for rib, cables, garter stitch, felted fabric, and for needles far from what the yarn wants.
    """
    above("gauge", stitches_per_10cm, 0, MOST_PER_10CM, "stitches per 10 cm")
    return KW * 100.0 / stitches_per_10cm


def loop_mm_from_yarn(yarn_length_m: float, stitches: int, rows: int, strands: int = 1) -> float:
    """Yarn in one stitch of one strand, from the yarn of the whole blank.

    l = length / (strands x rows x stitches)

    `yarn_length_m`: of all strands together, above 0, to 100 000 m. `stitches`, `rows`, `strands`: 1 or more.
    Returns mm. Refused (ValueError): outside those ranges.

    >>> round(loop_mm_from_yarn(420, 60, 220, strands=2), 2)
    15.91

    **Source:** arithmetic. Breaks where much of the yarn is not in the blank: waste rows, hems, tails.
    """
    replace(YARN_M, positive=True)(yarn_length_m)
    for what, count in (("stitches", stitches), ("rows", rows), ("strands", strands)):
        within(f"{what} of the blank", count, 1, 100_000)
    return yarn_length_m * 1000.0 / (strands * rows * stitches)


def round_m(stitches: int, loop_mm: float) -> float:
    """Yarn one round, or one row, takes.

    `stitches`: 1 to 100 000. `loop_mm`: above 0, to 200. Returns m. Refused (ValueError): outside those ranges.

    >>> round_m(64, 12.5)
    0.8

    **Source:** arithmetic. Breaks for rib, heels, and stitches slipped or crossed.
    """
    within("stitches of a round", stitches, 1, 100_000)
    LOOP_MM(loop_mm)
    return stitches * loop_mm / 1000.0


# The blank and the bands painted on it, in order from its first row; and the new piece its yarn gives.

MOST_ROWS = 5_000
MOST_STITCHES = 1_000
MOST_STRANDS = 8
"""Far beyond what a knitting machine and a dyer's table hold (house rule, catches a slipped figure)."""


def whole(what: str, value: float, low: int, high: int) -> int:
    """A whole number in a range, given back as one; refused (ValueError) otherwise. **Source:** house rule.

    >>> whole("rows of the blank", 220, 1, 5000)
    220
    """
    if within(what, value, low, high) != int(value):
        raise ValueError(f"The {what} must be a whole number, not {value:g}.")
    return int(value)


class Blank(msgspec.Struct, frozen=True):
    """A fabric knitted to be painted and unravelled.

    `rows` 1 to 5000, `stitches` 1 to 1000, `loop_mm` of yarn in one stitch of one strand (above 0, to 200),
    `strands` 1 to 8 knitted side by side; knitted flat. Refused (ValueError): outside those.

    **Source:** the dyer's own counts; limits are house rules.
    """

    rows: int
    stitches: int
    loop_mm: float
    strands: int = 1

    def __post_init__(self) -> None:
        whole("rows of the blank", self.rows, 1, MOST_ROWS)
        whole("stitches of the blank", self.stitches, 1, MOST_STITCHES)
        whole("strands of the blank", self.strands, 1, MOST_STRANDS)
        above("loop length of the blank", self.loop_mm, 0, MOST_LOOP_MM, "mm")

    @property
    def row_m(self) -> float:
        """Yarn of one strand in one row, m."""
        return round_m(self.stitches, self.loop_mm)

    @property
    def yarn_m(self) -> float:
        """Yarn of one strand, m."""
        return self.rows * self.row_m

    @property
    def yarn_all_m(self) -> float:
        """Yarn of all strands together, m."""
        return self.strands * self.yarn_m


class Band(msgspec.Struct, frozen=True):
    """One band: `colour` (any name, or "" for bare), `rows` wide (above 0, parts of a row allowed).

    Refused (ValueError): outside that range.

    **Source:** the dyer's plan; limits are house rules.
    """

    colour: str
    rows: float

    def __post_init__(self) -> None:
        above("rows of a band", self.rows, 0, MOST_ROWS)


def lay(bands: Sequence[Band], rows: int) -> tuple[Band, ...]:
    """The bands as they lie on the blank: neighbours of the same kind joined, the rest of the rows bare.

    `bands`: in order from the first row. `rows`: of the blank.
    Returns bands that fill the rows exactly.
    Refused (ValueError): bands wider together than the blank, no bands at all.

    >>> [(b.colour, b.rows) for b in lay([Band("rust", 3), Band("rust", 3), Band("kelp", 4)], 15)]
    [('rust', 6), ('kelp', 4), ('', 5)]

    **Source:** arithmetic.
    """
    whole("rows of the blank", rows, 1, MOST_ROWS)
    if not bands:
        raise ValueError("There are no bands; paint one at least, for example 6 rows of a colour.")
    needed = sum(band.rows for band in bands)
    if needed > rows + 1e-9:
        raise ValueError(
            f"The bands need {needed:g} rows, but the blank has {rows}; paint narrower bands, or fewer."
        )
    laid: list[Band] = []
    rest = [Band("", rows - needed)] if rows - needed > 1e-9 else []
    for band in (*bands, *rest):
        if laid and laid[-1].colour == band.colour:
            band = Band(band.colour, laid.pop().rows + band.rows)
        laid.append(band)
    return tuple(laid)


def ends_differ(bands: Sequence[Band], rows: int) -> bool:
    """Whether the two ends of the blank can be told apart by their first band, in colour or in width.

    Strands that start from the same end make a matched pair, so the ends are made different on purpose.
    Refused (ValueError): as `lay`.

    >>> ends_differ([Band("rust", 6), Band("", 5), Band("rust", 6)], 17)
    False

    **Source:** common practice.
    """
    laid = lay(bands, rows)
    return len(laid) > 1 and (laid[0].colour, laid[0].rows) != (laid[-1].colour, laid[-1].rows)


# The new piece: yarn of a round, rounds the blank gives, and the closed formula for a band.
End = Literal["first", "last"]
"""The end of the blank that the yarn is taken from: its first row or its last."""

SOLID_LIMIT = 0.95
"""A round is solid where one band has at least this share of it (house rule: 3 stitches in 64 go unseen)."""


class Knitting(msgspec.Struct, frozen=True):
    """A piece knitted in the round from the unravelled yarn.

    `stitches` of a round, 1 to 1000. `loop_mm` of yarn in a stitch, above 0, to 200. `from_end`: which row of
    the blank the yarn starts at. Refused (ValueError): outside those ranges.

    **Source:** the knitter's counts.
    """

    stitches: int
    loop_mm: float
    from_end: End = "last"

    def __post_init__(self) -> None:
        whole("stitches of the new piece", self.stitches, 1, MOST_STITCHES)
        above("loop length of the new piece", self.loop_mm, 0, MOST_LOOP_MM, "mm")
        if self.from_end not in ("first", "last"):
            raise ValueError(f"The yarn starts at the first or the last row, not {self.from_end!r:.20}.")

    @property
    def round_m(self) -> float:
        """Yarn of one round, m."""
        return round_m(self.stitches, self.loop_mm)


def blank_stitches_per_round(blank: Blank, knitting: Knitting) -> float:
    """How many stitches of the blank one new round uses up.

    stitches2 x loop2 / loop1

    >>> blank_stitches_per_round(Blank(220, 60, 16.0), Knitting(64, 12.0))
    48.0

    **Source:** arithmetic: yarn is neither stretched nor lost.
    """
    return knitting.stitches * knitting.loop_mm / blank.loop_mm


def rounds_given(blank: Blank, knitting: Knitting) -> float:
    """Rounds one strand of the blank gives.

    rows x stitches x loop1 / (stitches2 x loop2)

    Refused (ValueError): yarn for less than one round.

    >>> rounds_given(Blank(220, 60, 16.0), Knitting(64, 12.0))
    275.0

    **Source:** arithmetic. Breaks with knots, tails, and a heel or toe (ignored here).
    """
    rounds = blank.rows * blank.stitches / blank_stitches_per_round(blank, knitting)
    if rounds < 1.0:
        raise ValueError(
            f"One strand of the blank has {blank.yarn_m:.3g} m, too little for a round of "
            f"{knitting.round_m:.3g} m; knit fewer stitches, or take a larger blank."
        )
    return rounds


def band_rounds(band: Band, blank: Blank, knitting: Knitting) -> float:
    """Rounds of yarn in a band: the closed formula, without anything that strays.

    rows x stitches x loop1 / (stitches2 x loop2)

    >>> band_rounds(Band("rust", 6), Blank(220, 60, 16.0), Knitting(64, 12.0))
    7.5

    **Source:** arithmetic.
    """
    return band.rows * blank.stitches / blank_stitches_per_round(blank, knitting)


# How far a painting strays from the bands that were meant, and how two strands of a blank differ.

SPREAD_ROWS, TILT_ROWS, WANDER_ROWS = 0.8, 1.0, 0.4
"""What a careful hand with a foam brush is taken to do, until a swatch says otherwise (estimate)."""


THICKENED_SPREAD = 0.5
"""Share of its spread that a thickened paint keeps (estimate: no measurement of one was found)."""


class Painting(msgspec.Struct, frozen=True):
    """A way of painting. Rows are rows of the blank.

    `spread` (0 to 50): so far to either side of an edge the two neighbours are mixed.
    `tilt` (0 to 50): at most so much higher an edge lies at one side of the blank than at the other.
    `wander` (0 to 20): standard deviation of an edge about its straight line, smooth along the width.
    `thickened`: colours whose paint runs less.
    Refused (ValueError): outside those ranges.

    **Source:** estimate, all of them, until fitted to a swatch (`inverse.fit`).
    """

    spread: float = SPREAD_ROWS
    tilt: float = TILT_ROWS
    wander: float = WANDER_ROWS
    thickened: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        within("spread", self.spread, 0, 50, "rows")
        within("tilt", self.tilt, 0, 50, "rows")
        within("wander", self.wander, 0, 20, "rows")

    def spread_of(self, colour: str) -> float:
        """Rows that a colour's paint spreads over an edge; 0 for bare yarn.

        >>> Painting(0.8, thickened=frozenset({"rust"})).spread_of("rust")
        0.4
        """
        return self.spread * (THICKENED_SPREAD if colour in self.thickened else 1.0) if colour else 0.0

    @property
    def exact(self) -> bool:
        """Whether nothing strays: no spread, tilt or wander, so that the geometry is exact."""
        return self.spread == self.tilt == self.wander == 0.0


# Several strands in one blank: which ends make a pair, and how far two strands differ.
STRAND_GAP_ROWS = 0.2
"""Rows by which a strand lies further along than its neighbour in the same loop (estimate)."""


class Pair(msgspec.Struct, frozen=True):
    """Two strands started side by side.

    `offset_m` of yarn by which an edge on the one comes later than on the other, at most.
    `same_share`: share of the yarn, metre beside metre, that has the same colour (0 to 1).
    `ends_differ`: whether the ends of the blank can be told apart by their first band.

    **Source:** arithmetic on `STRAND_GAP_ROWS` (estimate); what matches is common practice.
    """

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
    return Pair(
        offset_m=STRAND_GAP_ROWS * blank.row_m,
        same_share=_same_share(laid, blank.rows, STRAND_GAP_ROWS, matched=ends[0] == ends[1]),
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
