"""How wide a band must be painted for so many solid rounds."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from studio.craft.limits import within
from studio.craft.stripe.blank import Band, Blank, whole
from studio.craft.stripe.forecast import PAINTINGS, SEED, counted
from studio.craft.stripe.knitting import Knitting, blank_stitches_per_round
from studio.craft.stripe.painting import Painting, band_penetration, band_spread


@dataclass(frozen=True)
class LeastWidth:
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
    halving. The band lies between rows of another colour; of `blank` the stitches and the loop matter, and
    its rows only for how many drips there are to a row.

    `solid_rounds`: 1 to 500. `odds`: above 0.01, to 0.99. Returns `LeastWidth`.
    Refused (ValueError): outside those ranges; a painting in which no width gives a solid round.

    >>> least_rows(4, 0.9, Blank(220, 60, 16.0), Painting(0, 0, 0), Knitting(60, 16.0)).rows
    5

    **Source:** arithmetic on the painting's estimates, as `forecast.forecast`.
    """
    whole("number of solid rounds", solid_rounds, 1, 500)
    within("odds", odds, 0.01, 0.99)
    depth = band_penetration(Band("any", 1), painting)
    if depth < knitting.solid_limit:
        raise ValueError(
            f"The paint colours {100 * depth:g} % of the yarn's depth, less than the "
            f"{100 * knitting.solid_limit:g} % of a solid round; paint a second coat, or work it in better."
        )
    per_round = blank_stitches_per_round(blank, knitting) / blank.stitches
    reach = band_spread(Band("any", 1), painting) + painting.tilt / 2.0 + 3.5 * painting.wander
    margin = math.ceil(reach + 3.0 * per_round) + 2
    most = math.ceil(2.0 * reach + (solid_rounds + 2) * per_round) + 2

    def odds_at(rows: int) -> float:
        field = Blank(most + 2 * margin, blank.stitches, blank.loop_mm, 1, blank.in_the_round)
        laid = (Band("other", margin), Band("any", rows), Band("other", most + margin - rows))
        hand = replace(painting, spots=min(50.0, painting.spots * field.rows / blank.rows))
        solid, _ = counted(
            field, laid, hand, _from_first(knitting), paintings=paintings, seed=seed, any_start=True
        )
        return float(np.mean(solid[:, 1] >= solid_rounds))

    reached = odds_at(most)
    if reached < odds:
        raise ValueError(
            f"Even a band of {most} rows gives {solid_rounds} solid rounds in only {100 * reached:.0f} % of the "
            "paintings; drip less, or ask for lower odds."
        )
    low, high = 0, most
    while high - low > 1:
        middle = (low + high) // 2
        found = odds_at(middle)
        low, high, reached = (low, middle, found) if found >= odds else (middle, high, reached)
    return LeastWidth(high, reached)


def _from_first(knitting: Knitting) -> Knitting:
    """The same piece without yarn lost before it: where the round begins is drawn."""
    return Knitting(
        knitting.stitches, knitting.loop_mm, knitting.in_the_round, "first", solid_limit=knitting.solid_limit
    )
