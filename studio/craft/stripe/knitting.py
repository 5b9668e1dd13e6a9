"""The new piece: yarn of a round, rounds the blank gives, and the closed formula for a band."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from studio.craft.limits import above, within
from studio.craft.stripe.blank import MOST_STITCHES, Band, Blank, whole
from studio.craft.stripe.gauge import MOST_LOOP_MM, round_m

End = Literal["first", "last"]
"""The end of the blank that the yarn is taken from: its first row or its last."""

SOLID_LIMIT = 0.95
"""A round is solid where one band has at least this share of it (house rule: 3 stitches in 64 go unseen)."""


@dataclass(frozen=True)
class Knitting:
    """A piece knitted from the unravelled yarn.

    `stitches` of a round or row, 1 to 1000. `loop_mm` of yarn in a stitch, above 0, to 200.
    `in_the_round`: else flat, to and fro. `from_end`: which row of the blank the yarn starts at.
    `offset_rounds` (0 to 10 000): yarn, in rounds, used before the first round that counts: cast-on, cuff.
    `start_varies` (0 to 10): by how many rounds that start may be off; left out for an exact painting.
    `solid_limit` (0.5 to 1): the share that makes a round solid.
    Refused (ValueError): outside those ranges.

    **Source:** the knitter's counts; `solid_limit` is a house rule, `start_varies` an estimate.
    """

    stitches: int
    loop_mm: float
    in_the_round: bool = True
    from_end: End = "last"
    offset_rounds: float = 0.0
    start_varies: float = 1.0
    solid_limit: float = SOLID_LIMIT

    def __post_init__(self) -> None:
        whole("stitches of the new piece", self.stitches, 1, MOST_STITCHES)
        above("loop length of the new piece", self.loop_mm, 0, MOST_LOOP_MM, "mm")
        within("yarn used before the first round", self.offset_rounds, 0, 10_000, "rounds")
        within("uncertainty of the start", self.start_varies, 0, 10, "rounds")
        within("share that makes a round solid", self.solid_limit, 0.5, 1.0)
        if self.from_end not in ("first", "last"):
            raise ValueError(f"The yarn starts at the first or the last row, not {self.from_end!r:.20}.")

    @property
    def round_m(self) -> float:
        """Yarn of one round or row, m."""
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
    """Rounds one strand of the blank gives, after the yarn used before the first.

    rows x stitches x loop1 / (stitches2 x loop2) - offset

    Refused (ValueError): yarn for less than one round.

    >>> rounds_given(Blank(220, 60, 16.0), Knitting(64, 12.0))
    275.0

    **Source:** arithmetic. Breaks with knots, tails, and a heel or toe (ignored here).
    """
    rounds = blank.rows * blank.stitches / blank_stitches_per_round(blank, knitting) - knitting.offset_rounds
    if rounds < 1.0:
        raise ValueError(
            f"One strand of the blank has {blank.yarn_m:.3g} m, too little for a round of "
            f"{knitting.round_m:.3g} m after the {knitting.offset_rounds:g} rounds before it; "
            "knit fewer stitches, or take a larger blank."
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
