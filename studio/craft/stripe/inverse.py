"""Backwards: how wide a band must be painted, and the spread of a hand from the rounds that a swatch
really gave.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import msgspec
import numpy as np
from msgspec.structs import replace

from studio.craft.limits import within
from studio.craft.stripe.blank import Band, Blank, Knitting, Painting, blank_stitches_per_round, whole
from studio.craft.stripe.forecast import PAINTINGS, SEED, counted

# How wide a band must be painted for so many solid rounds.


class LeastWidth(msgspec.Struct, frozen=True):
    """The least whole number of `rows` that gives the rounds, and the `odds` it really gives (0 to 1).

    **Source:** as `forecast.forecast`.
    """

    rows: int
    odds: float


def least_rows(
    solid_rounds: int,
    odds: float,
    blank: Blank,
    painting: Painting,
    knitting: Knitting,
    *,
    paintings: int = PAINTINGS,
    seed: int = SEED,
) -> LeastWidth:
    """The narrowest band, in whole rows, that gives N solid rounds with such odds, wherever a round begins.

    The same paintings are tried at every width, so that a wider band never does worse, and the width is found by
    halving. The band lies between rows of another colour; of `blank` the stitches and the loop matter.

    `solid_rounds`: 1 to 500. `odds`: above 0.01, to 0.99. Returns `LeastWidth`.
    Refused (ValueError): outside those ranges.

    >>> least_rows(4, 0.9, Blank(220, 60, 16.0), Painting(0, 0, 0), Knitting(60, 16.0)).rows
    5

    **Source:** arithmetic on the painting's estimates, as `forecast.forecast`.
    """
    whole("number of solid rounds", solid_rounds, 1, 500)
    within("odds", odds, 0.01, 0.99)
    per_round = blank_stitches_per_round(blank, knitting) / blank.stitches
    reach = painting.spread + painting.tilt / 2.0 + 3.5 * painting.wander
    margin = math.ceil(reach + 3.0 * per_round) + 2
    most = math.ceil(2.0 * reach + (solid_rounds + 2) * per_round) + 2  # holds them wherever a round begins
    piece = replace(knitting, from_end="first")

    def odds_at(rows: int) -> float:
        field = Blank(most + 2 * margin, blank.stitches, blank.loop_mm)
        laid = (Band("other", margin), Band("any", rows), Band("other", most + margin - rows))
        solid, _ = counted(field, laid, painting, piece, paintings=paintings, seed=seed, any_start=True)
        return float(np.mean(solid[:, 1] >= solid_rounds))

    low, high, reached = 0, most, odds_at(most)
    while high - low > 1:
        middle = (low + high) // 2
        found = odds_at(middle)
        low, high, reached = (low, middle, found) if found >= odds else (middle, high, reached)
    return LeastWidth(high, reached)


# Spread and wander of a hand, from the rounds that a knitted swatch really gave.

FIT_PAINTINGS = 300
"""Enough for a mean of rounds to about 0.05 (estimate: a standard deviation of 0.7 over the root of 300)."""
WANDERS = (0.0, 0.2, 0.4, 0.7, 1.0, 1.5)
"""Rows of wander that are tried (house rule)."""
AS_GOOD = 0.1
"""Rounds; wanders that fit within this of the best are as good, and the painting's own is kept (house rule)."""
NO_SOLID = 0.5
"""Mean solid rounds that count as none seen (house rule)."""


class Measured(msgspec.Struct, frozen=True):
    """A band as it came out: painted `rows` wide, `solid` rounds, and `mixed_each_side` where counted.

    `rows` above 0, to 200; rounds 0 to 1000, an average of several bands allowed.
    Refused (ValueError): outside those ranges. **Source:** the dyer's own counts.
    """

    rows: float
    solid: float
    mixed_each_side: float | None = None

    def __post_init__(self) -> None:
        Band("any", within("rows of a band", self.rows, 0, 200))
        within("solid rounds counted", self.solid, 0, 1000)
        if self.mixed_each_side is not None:
            within("mixed rounds counted on each side", self.mixed_each_side, 0, 1000)


class Fit(msgspec.Struct, frozen=True):
    """The painting that fits: `painting`, with the spread (and wander) found.

    `solid`: mean rounds it gives, in order of the measured bands.
    `misfit_rounds`: root mean square distance from what was counted; beyond about 1 the counts do not agree with
    each other, or the spread is a bound only.

    **Source:** least distance to the dyer's counts.
    """

    painting: Painting
    solid: tuple[float, ...]
    misfit_rounds: float


def fit(
    measured: Sequence[Measured], blank: Blank, knitting: Knitting, painting: Painting | None = None
) -> Fit:
    """The spread at which the bands give the solid rounds that were counted; the wander too, from mixed rounds.

    For every wander tried the spread is found by halving, so that the mean solid rounds agree; the wander is kept
    that comes nearest to the mixed rounds. Without mixed rounds the painting's own wander stays.

    `measured`: 1 to 100 bands of one hand and paint. `blank`: of the swatch. `painting`: what is not fitted.
    Returns `Fit`. Refused (ValueError): no bands or too many, and what `Blank` and `Knitting` refuse.

    >>> found = fit([Measured(6, 4)], Blank(60, 40, 16.0), Knitting(40, 16.0), Painting(0.8, 0, 0))
    >>> round(found.painting.spread, 1), round(found.solid[0], 1)
    (0.4, 4.0)

    **Source:** bisection; what counts as solid is a house rule.
    Spread and wander do much the same to a mean: most counts fit any wander, and then the painting's stays.
    """
    painting = painting or Painting()
    within("number of bands measured", len(measured), 1, 100)
    own = _at_wander(measured, blank, knitting, painting)
    if all(m.mixed_each_side is None for m in measured):
        return own
    others = [_at_wander(measured, blank, knitting, replace(painting, wander=wander)) for wander in WANDERS]
    best = min(others, key=lambda found: found.misfit_rounds)
    return own if best.misfit_rounds >= own.misfit_rounds - AS_GOOD else best


def _at_wander(measured: Sequence[Measured], blank: Blank, knitting: Knitting, painting: Painting) -> Fit:
    """The spread that gives as many solid rounds as were counted, all bands together."""
    wanted = sum(m.solid for m in measured) or NO_SOLID * len(measured)
    low, high = 0.0, min(50.0, max(m.rows for m in measured))
    sharpest = _means(measured, blank, knitting, replace(painting, spread=0.0))
    bound = sum(solid for solid, _ in sharpest) <= wanted
    if not bound:
        for _ in range(9):
            middle = (low + high) / 2.0
            means = _means(measured, blank, knitting, replace(painting, spread=middle))
            low, high = (middle, high) if sum(s for s, _ in means) > wanted else (low, middle)
    spread = 0.0 if bound else round((low + high) / 2.0, 2)
    fitted = replace(painting, spread=spread)
    means = _means(measured, blank, knitting, fitted)
    misses = [s - m.solid for m, (s, _) in zip(measured, means, strict=True)]
    misses += [
        (mixed - 2.0 * m.mixed_each_side) / 2.0
        for m, (_, mixed) in zip(measured, means, strict=True)
        if m.mixed_each_side is not None
    ]
    return Fit(
        painting=fitted,
        solid=tuple(s for s, _ in means),
        misfit_rounds=math.sqrt(sum(miss**2 for miss in misses) / len(misses)),
    )


def _means(
    measured: Sequence[Measured], blank: Blank, knitting: Knitting, painting: Painting
) -> list[tuple[float, float]]:
    """Mean solid and mixed rounds of each measured band, between rows of another colour, wherever a round begins."""
    per_round = blank_stitches_per_round(blank, knitting) / blank.stitches
    found: dict[float, tuple[float, float]] = {}
    piece = replace(knitting, from_end="first")
    for rows in {m.rows for m in measured}:
        widest = painting.spread * 3.0 + painting.tilt + 4.0 * painting.wander
        margin = math.ceil(widest + rows + 3.0 * per_round) + 2
        laid = (Band("other", margin), Band("any", rows), Band("other", margin))
        total = math.ceil(2 * margin + rows)
        if total > 2 * margin + rows:
            laid = (*laid[:2], Band("other", total - margin - rows))
        field = Blank(total, blank.stitches, blank.loop_mm)
        solid, mixed = counted(
            field, laid, painting, piece, paintings=FIT_PAINTINGS, seed=SEED, any_start=True
        )
        found[rows] = (float(solid[:, 1].mean()), float(mixed[:, 1].mean()))
    return [found[m.rows] for m in measured]
