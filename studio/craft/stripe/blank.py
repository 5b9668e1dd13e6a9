"""The blank and the bands painted on it, in order from its first row; and the new piece its yarn gives."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from studio.craft.limits import above, within
from studio.craft.stripe.gauge import MOST_LOOP_MM, round_m

# The blank and the bands painted on it, in order from its first row.

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


@dataclass(frozen=True)
class Blank:
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


@dataclass(frozen=True)
class Band:
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


@dataclass(frozen=True)
class Knitting:
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
