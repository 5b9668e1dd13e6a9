"""The share of every band in every round of many paintings, and the public entry: what the bands become,
with odds.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import msgspec
import numpy as np
from numpy.typing import NDArray

from studio.craft.stripe.blank import (
    SOLID_LIMIT,
    Band,
    Blank,
    Knitting,
    Painting,
    band_rounds,
    blank_stitches_per_round,
    lay,
    rounds_given,
    whole,
)
from studio.craft.stripe.edges import Draws, Edges, Floats, beyond_along_yarn, drawn, edges_of

# The share of every band in every round of many paintings, and how many rounds come out solid or mixed.
# Along the yarn, an edge between two bands is a window of a few rows in which the yarn goes over from
# the one to the other; before it everything belongs to the bands before, after it to the bands after.
# Only these windows are worked out stitch by stitch. A band's share of a round is what lies beyond its
# first edge less what lies beyond its last one.

CHUNK = 1_000_000
"""Numbers held in one array at a time: 4 MB, about what stays in a processor's cache (house rule)."""
MOST_PAINTINGS = 100_000
ROUNDING = 1e-4
"""A share this close to the limit has reached it; float32 sums of a few hundred stitches (house rule)."""


class Shares(msgspec.Struct, frozen=True):
    """Paintings of one chunk: `bands` (paintings, bands, rounds) of each round, `valid` (paintings, rounds).

    Rounds are in the order of the blank's rows; where the yarn starts at the last row, read them backwards.

    **Source:** arithmetic on the painting's estimates.
    """

    bands: Floats
    valid: NDArray[np.bool_]


class Counts(msgspec.Struct, frozen=True):
    """Rounds of each band in each painting, shape (paintings, bands): `solid` and `mixed`.

    **Source:** `SOLID_LIMIT` (house rule) on `Shares`.
    """

    solid: NDArray[np.int32]
    mixed: NDArray[np.int32]


def round_shares(
    blank: Blank,
    laid: tuple[Band, ...],
    painting: Painting,
    knitting: Knitting,
    *,
    paintings: int,
    seed: int,
    any_start: bool = False,
) -> Iterator[Shares]:
    """Share of every band in every whole round, chunk by chunk.

    `laid`: bands that fill the blank (`blank.lay`). `any_start`: let the first round begin anywhere, even for an
    exact painting.
    Yields `Shares`. Refused (ValueError): less yarn than a round, a spread beyond half the blank, a number of
    paintings outside 1 to 100 000.

    >>> one = next(round_shares(Blank(4, 10, 8.0), (Band("rust", 3), Band("", 1)), Painting(0, 0, 0),
    ...                         Knitting(20, 8.0), paintings=1, seed=1))
    >>> one.bands[0].tolist()
    [[1.0, 0.5], [0.0, 0.5]]

    **Source:** arithmetic on the painting's estimates.
    Breaks where yarn stretches, is knotted, or is not knitted evenly.
    """
    whole("number of paintings", paintings, 1, MOST_PAINTINGS)
    rounds_given(blank, knitting)
    edges, draws = edges_of(laid, blank, painting), Draws(seed)
    per_round = blank_stitches_per_round(blank, knitting)
    varies = 0.0 if painting.exact and not any_start else 1.0
    window = _Window(edges, blank, per_round)
    step = window.chunk(len(laid))
    for done in range(0, paintings, step):
        some = min(step, paintings - done)
        begin = varies * draws.start.random(some) * per_round
        last = np.maximum(np.floor((window.yarn - begin) / per_round + 1e-9), 0).astype(np.intp)
        if knitting.from_end == "last":
            begin = window.yarn - begin - last * per_round
        rows = drawn(edges, blank, painting, draws, some)
        bands = window.shares(rows, begin)
        yield Shares(bands, np.arange(bands.shape[2]) < last[:, None])


def count(shares: Shares) -> Counts:
    """Solid and mixed rounds of each band.

    A round is solid where one band has `SOLID_LIMIT` of it or more. Any other round counts as mixed for each
    band that has more than 1 - `SOLID_LIMIT` of it.

    >>> one = Shares(np.float32([[[1.0, 0.5], [0.0, 0.5]]]), np.array([[True, True]]))
    >>> count(one).solid.tolist(), count(one).mixed.tolist()
    ([[1, 0]], [[1, 1]])

    **Source:** house rule.
    """
    solid = shares.bands >= SOLID_LIMIT - ROUNDING
    solid &= shares.valid[:, None, :]
    mixed = shares.bands > 1.0 - SOLID_LIMIT + ROUNDING
    mixed &= (shares.valid & ~solid.any(axis=1))[:, None, :]
    return Counts(solid.sum(axis=2, dtype=np.int32), mixed.sum(axis=2, dtype=np.int32))


class _Window:
    """The rows about each edge in which a painting may still change, and the rounds that touch them."""

    def __init__(self, edges: Edges, blank: Blank, per_round: float) -> None:
        self.edges, self.blank, self.per_round = edges, blank, per_round
        self.yarn = blank.rows * blank.stitches
        low = np.maximum(np.floor(edges.meant - edges.reach), 0).astype(np.intp)
        # An even first row, so that in every window the same rows run backwards.
        self.low = low - low % 2
        self.count = int(np.ceil(2.0 * edges.reach)) + 3
        self.length = self.count * blank.stitches
        self.touched = int(np.ceil(self.length / per_round)) + 2
        self.rounds = int(self.yarn / per_round + 1e-9)

    def chunk(self, bands: int) -> int:
        widest = max(len(self.low) * self.length, (bands + 1) * (self.rounds + self.touched), 1)
        return max(1, CHUNK // widest)

    def shares(self, rows: Floats, begin: NDArray[np.float64]) -> Floats:
        """Share of each band in each round, shape (paintings, bands, rounds)."""
        some, inner = rows.shape[:2]
        beyond = np.zeros((some, inner + 2, self.rounds + self.touched + 3), dtype=np.float32)
        beyond[:, 0, :] = 1.0
        if inner:
            first = np.floor((self.low * self.blank.stitches - begin[:, None]) / self.per_round).astype(
                np.intp
            )
            first = np.clip(first, -1, self.rounds)
            numbers = np.arange(beyond.shape[2])
            beyond[:, 1:-1, :] = numbers >= (first + 1 + self.touched)[..., None]
            places = first[..., None] + 1 + np.arange(self.touched)
            np.put_along_axis(beyond[:, 1:-1, :], places, self._touched(rows, first, begin), axis=2)
        kept = beyond[:, :, 1 : self.rounds + 1]
        return kept[:, :-1, :] - kept[:, 1:, :]

    def _touched(self, rows: Floats, first: NDArray[np.intp], begin: NDArray[np.float64]) -> Floats:
        """Share beyond the edge of each round that touches its window, shape (paintings, edges, rounds)."""
        summed = beyond_along_yarn(rows, self.edges.spread, self.low, self.count, self.blank)
        for stitch in range(1, len(summed)):
            summed[stitch] += summed[stitch - 1]
        cuts = begin[:, None] + first * self.per_round - self.low * self.blank.stitches
        paintings, edges = np.ogrid[: rows.shape[0], : rows.shape[1]]
        total = np.empty((*first.shape, self.touched + 1))
        for number in range(self.touched + 1):
            inside = np.clip(cuts, 0, self.length)
            at = np.minimum(inside.astype(np.intp), self.length - 1)
            upper = summed[at, paintings, edges]
            lower = np.where(at > 0, summed[np.maximum(at - 1, 0), paintings, edges], np.float32(0))
            total[:, :, number] = (
                lower + (upper - lower) * (inside - at) + np.maximum(cuts - self.length, 0.0)
            )
            cuts += self.per_round
        part: Floats = (np.diff(total, axis=2) / self.per_round).astype(np.float32)
        return part


# The public entry: what the bands of a painted blank become in the knitted piece, with odds.

PAINTINGS = 1000
PREVIEW_PAINTINGS = 50
"""Enough for odds to about 2 percentage points, and for a first look to about 7 (arithmetic: the standard
error of a share of one half)."""
SEED = 64
"""Any number; always the same one, so that a forecast can be repeated (house rule)."""

Range = tuple[int, int, int]
"""Rounds that 5, 50 and 95 % of the paintings stay at or under."""


class BandForecast(msgspec.Struct, frozen=True):
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


class Forecast(msgspec.Struct, frozen=True):
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

    As `round_shares` and `count`, which refuse (ValueError) what cannot be.

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
