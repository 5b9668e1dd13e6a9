"""The public entry: what the bands of a painted blank become in the knitted piece, with odds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from studio.craft.stripe.blank import Band, Blank, Knitting, band_rounds, lay, rounds_given
from studio.craft.stripe.painting import Painting
from studio.craft.stripe.rounds import count, round_shares

PAINTINGS = 1000
PREVIEW_PAINTINGS = 50
"""Enough for odds to about 2 percentage points, and for a first look to about 7 (arithmetic: the standard
error of a share of one half)."""
SEED = 64
"""Any number; always the same one, so that a forecast can be repeated (house rule)."""

Range = tuple[int, int, int]
"""Rounds that 5, 50 and 95 % of the paintings stay at or under."""


@dataclass(frozen=True)
class BandForecast:
    """One band, or several alike (`times`): `colour` ("" is bare), `rows` on the blank.

    `rounds`: yarn in one band, in rounds, by the closed formula. `solid`, `mixed`: rounds in one band, 5-50-95 %.
    `odds_solid`: share of the paintings in which the band has one solid round at least.

    **Source:** arithmetic on the painting's estimates; what counts as solid is a house rule.
    """

    colour: str
    rows: float
    rounds: float
    solid: Range
    mixed: Range
    odds_solid: float
    times: int = 1


@dataclass(frozen=True)
class Forecast:
    """What a blank becomes.

    `yarn_m` of one strand, `yarn_all_m` of all; `round_m` of yarn in a round; `rounds` one strand gives (with the
    part of a last round). `bands` in order of the blank, `kinds`: bands alike in colour and rows, taken together.
    `exact`: nothing was drawn, there is one outcome.

    **Source:** as `BandForecast`.
    """

    yarn_m: float
    yarn_all_m: float
    round_m: float
    rounds: float
    bands: tuple[BandForecast, ...]
    kinds: tuple[BandForecast, ...]
    exact: bool
    paintings: int

    def fields(self) -> dict[str, object]:
        """The forecast as plain values for JSON, `potside-forecast/1`; a bare band has the colour ""."""
        return {
            "format": "potside-forecast/1",
            "yarn_m": self.yarn_m,
            "rounds": self.rounds,
            "bands": [
                {
                    "colour": band.colour,
                    "rows": band.rows,
                    "solid": list(band.solid),
                    "mixed": list(band.mixed),
                    "odds_solid": band.odds_solid,
                }
                for band in self.bands
            ],
        }


def forecast(
    blank: Blank,
    bands: Sequence[Band],
    painting: Painting,
    knitting: Knitting,
    *,
    paintings: int = PAINTINGS,
    seed: int = SEED,
) -> Forecast:
    """Solid and mixed rounds of every band over many simulated paintings.

    `bands`: in order from the first row; neighbours of the same kind are one band, the rest of the blank is bare.
    `paintings`: 1 to 100 000; an exact painting (no spread, tilt, wander) is worked out once.
    Returns `Forecast`.
    Refused (ValueError): bands wider than the blank, yarn for less than one round, a spread beyond half the
    blank, and what `Blank`, `Band`, `Painting` and `Knitting` refuse.

    >>> found = forecast(Blank(11, 60, 16.0), [Band("rust", 6), Band("", 5)], Painting(0, 0, 0),
    ...                  Knitting(64, 12.0, from_end="first"))
    >>> [(b.colour, b.rounds, b.solid[1], b.mixed[1]) for b in found.bands]
    [('rust', 7.5, 7, 1), ('', 6.25, 5, 1)]

    **Source:** arithmetic; spread, tilt and wander are estimates until fitted; solid is a house rule.
    Heel and toe are left out, and so is yarn lost in knots.
    """
    laid = lay(bands, blank.rows)
    made = 1 if painting.exact else paintings
    solid, mixed = counted(blank, laid, painting, knitting, paintings=made, seed=seed)
    kinds: dict[Band, list[int]] = {}
    for number, band in enumerate(laid):
        kinds.setdefault(band, []).append(number)
    return Forecast(
        yarn_m=blank.yarn_m,
        yarn_all_m=blank.yarn_all_m,
        round_m=knitting.round_m,
        rounds=rounds_given(blank, knitting),
        bands=_each(laid, [[number] for number in range(len(laid))], solid, mixed, blank, knitting),
        kinds=_each(tuple(kinds), list(kinds.values()), solid, mixed, blank, knitting),
        exact=painting.exact,
        paintings=made,
    )


def counted(
    blank: Blank,
    laid: tuple[Band, ...],
    painting: Painting,
    knitting: Knitting,
    *,
    paintings: int,
    seed: int,
    any_start: bool = False,
) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """Solid and mixed rounds of bands that fill a blank, each of shape (paintings, bands).

    As `rounds.round_shares` and `rounds.count`, which refuse (ValueError) what cannot be.

    >>> counted(Blank(4, 10, 8.0), (Band("rust", 3), Band("", 1)), Painting(0, 0, 0), Knitting(20, 8.0),
    ...         paintings=1, seed=1)[0].tolist()
    [[1, 0]]

    **Source:** as `forecast`.
    """
    chunks = [
        count(shares)
        for shares in round_shares(
            blank, laid, painting, knitting, paintings=paintings, seed=seed, any_start=any_start
        )
    ]
    return np.concatenate([c.solid for c in chunks]), np.concatenate([c.mixed for c in chunks])


def _each(
    bands: Sequence[Band],
    numbers: list[list[int]],
    solid: NDArray[np.int32],
    mixed: NDArray[np.int32],
    blank: Blank,
    knitting: Knitting,
) -> tuple[BandForecast, ...]:
    """A forecast for each band, over the columns of the counts that are bands like it."""
    found = []
    for band, which in zip(bands, numbers, strict=True):
        rounds_solid, rounds_mixed = solid[:, which].ravel(), mixed[:, which].ravel()
        found.append(
            BandForecast(
                colour=band.colour,
                rows=band.rows,
                rounds=band_rounds(band, blank, knitting),
                solid=_range(rounds_solid),
                mixed=_range(rounds_mixed),
                odds_solid=float(np.count_nonzero(rounds_solid) / rounds_solid.size),
                times=len(which),
            )
        )
    return tuple(found)


def _range(counts: NDArray[np.int32]) -> Range:
    """Least counts that 5, 50 and 95 % of the paintings do not exceed; always counts that occur."""
    below = np.bincount(counts).cumsum() / counts.size
    low, middle, high = np.searchsorted(below, (0.05 - 1e-9, 0.5 - 1e-9, 0.95 - 1e-9))
    return int(low), int(middle), int(high)
