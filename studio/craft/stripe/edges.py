"""The edges between bands in many paintings, drawn from a seed, along the unravelled yarn, and the stray
drips.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from studio.craft.stripe.blank import MOST_ROWS, MOST_STITCHES, Band, Blank, End, whole
from studio.craft.stripe.gauge import MUNDEN
from studio.craft.stripe.painting import Painting, band_spread

# The order of the stitches along the unravelled yarn.


def order(
    rows: int, stitches: int, *, in_the_round: bool = False, from_end: End = "first"
) -> NDArray[np.intp]:
    """Where on the blank each stitch of the yarn was, in the order it comes off.

    A flat blank is a serpentine: even rows run one way, odd rows back. In a tube all rows run the same way.
    From the last row the yarn is the same, turned round.

    `rows` 1 to 5000, `stitches` 1 to 1000. Returns indices row x stitches + stitch, shape (rows x stitches,).
    Refused (ValueError): outside those ranges.

    >>> order(2, 3).tolist(), order(2, 3, in_the_round=True, from_end="last").tolist()
    ([0, 1, 2, 5, 4, 3], [5, 4, 3, 2, 1, 0])

    **Source:** common practice (how a blank is knitted). The jog of one row where a tube's round begins is
    left out.
    """
    whole("rows of the blank", rows, 1, MOST_ROWS)
    whole("stitches of the blank", stitches, 1, MOST_STITCHES)
    places = np.arange(rows * stitches, dtype=np.intp).reshape(rows, stitches)
    if not in_the_round:
        places[1::2] = places[1::2, ::-1].copy()
    yarn = places.ravel()
    return yarn if from_end == "first" else yarn[::-1]


# The edges between bands in many paintings, drawn from a seed, and how they mix the rows beside them.
# Every quantity that is drawn has a stream of its own and is drawn painting by painting, so that the
# first 50 of 1,000 paintings are the same 50, and two forecasts of one seed differ only by what was
# changed.

Floats = NDArray[np.float32]

KNOTS = 8
"""Places across the blank between which an edge wanders by itself (estimate: about the reach of a brush)."""
WIDEST = 3.5
"""An edge wanders at most so many standard deviations (one in two thousand would go further; house rule)."""

SHARP_ROWS = np.float32(1e-3)
"""A spread under a thousandth of a row is none (house rule, keeps the sums finite)."""


@dataclass(frozen=True)
class Edges:
    """Inner edges of the bands: `meant` rows, `spread` rows to either side, `reach` rows they may move.

    All of shape (edges,), one fewer than the bands. **Source:** the plan, and the painting's estimates.
    """

    meant: NDArray[np.float64]
    spread: Floats
    reach: float


class Draws:
    """Streams of random numbers of one seed. **Source:** numpy's PCG64, spawned from the seed."""

    def __init__(self, seed: int) -> None:
        tilt, wander, start, spots, throws = np.random.SeedSequence(seed).spawn(5)
        self.tilt = np.random.default_rng(tilt)
        self.wander = np.random.default_rng(wander)
        self.start = np.random.default_rng(start)
        self.spots = np.random.default_rng(spots)
        self.throws = np.random.default_rng(throws)


def edges_of(laid: tuple[Band, ...], blank: Blank, painting: Painting, shift: float = 0.0) -> Edges:
    """The edges between bands laid to fill a blank; an edge spreads as the wetter of its two bands does.

    `shift`: rows by which every edge lies further along, for another strand.
    Returns `Edges`. Refused (ValueError): a spread of more than half the blank.

    >>> edges_of((Band("rust", 6), Band("", 5)), Blank(11, 4, 16.0), Painting()).meant.tolist()
    [6.0]

    **Source:** estimate (`Painting`).
    """
    spreads = [band_spread(band, painting) for band in laid]
    widest = max(spreads)
    if widest > blank.rows / 2.0:
        raise ValueError(
            f"The paint spreads {widest:g} rows to either side, more than half of the {blank.rows} rows; "
            "write a smaller spread, or fewer coats."
        )
    meant = np.cumsum([band.rows for band in laid], dtype=np.float64)[:-1] + shift
    spread = np.maximum(spreads[:-1], spreads[1:]).astype(np.float32)
    reach = float(widest + painting.tilt / 2.0 + WIDEST * painting.wander)
    return Edges(meant, spread, reach)


def drawn(edges: Edges, blank: Blank, painting: Painting, draws: Draws, paintings: int) -> Floats:
    """Where each edge lies over each stitch, in so many further paintings.

    edge + tilt x u x place across + wander x smooth noise; u from -1 to 1, the place from -1/2 to 1/2; no edge
    before the one before it, none beyond the blank

    Returns rows, shape (paintings, edges, stitches).

    >>> edge = edges_of((Band("rust", 6), Band("", 5)), Blank(11, 4, 16.0), Painting(0, 0, 0))
    >>> drawn(edge, Blank(11, 4, 16.0), Painting(0, 0, 0), Draws(1), 2).tolist()
    [[[6.0, 6.0, 6.0, 6.0]], [[6.0, 6.0, 6.0, 6.0]]]

    **Source:** estimate; no measurement of painted edges was found.
    A tube is painted lying flat, so an edge that tilts rises across its front and falls across its back.
    """
    shape = (paintings, len(edges.meant))
    lean = draws.tilt.random(shape, dtype=np.float32) * 2.0 - 1.0
    noise = draws.wander.standard_normal((*shape, KNOTS), dtype=np.float32)
    rows = np.broadcast_to(edges.meant.astype(np.float32)[:, None], (*shape, blank.stitches)).copy()
    place: Floats = (np.arange(blank.stitches, dtype=np.float32) + np.float32(0.5)) / np.float32(
        blank.stitches
    )
    if painting.tilt:
        across = (1.0 - np.abs(2.0 * place - 1.0) if blank.in_the_round else place) - 0.5
        rows += (painting.tilt * lean)[..., None] * across.astype(np.float32)
    if painting.wander:
        strayed: Floats = np.matmul(noise, _smooth(place, blank.in_the_round))
        np.clip(strayed, -WIDEST, WIDEST, out=strayed)
        rows += np.float32(painting.wander) * strayed
    np.maximum.accumulate(rows, axis=1, out=rows)
    return np.clip(rows, 0.0, blank.rows, out=rows)


def _smooth(place: Floats, closed: bool) -> Floats:
    """Weights (knots, stitches) that spread the noise of the knots smoothly, of unit variance everywhere."""
    knots = (np.arange(KNOTS) + 0.5) / KNOTS
    apart = np.abs(place[None, :] - knots[:, None])
    if closed:
        apart = np.minimum(apart, 1.0 - apart)
    weights = np.exp(-0.5 * (apart * KNOTS) ** 2)
    unit: Floats = (weights / np.sqrt((weights**2).sum(axis=0))).astype(np.float32)
    return unit


def fibre_beyond(rows: Floats, spread: Floats) -> Floats:
    """Rows of fibre beyond an edge and up to `rows` past it, where the mix rises evenly over the spread.

    0 up to -s; (r + s)^2 / 4s within the spread; r from s on (0 and r where s is under 0.001)

    `rows`: past the edge (any shape), `spread` s of shape that broadcasts. Returns rows.

    >>> fibre_beyond(np.float32([-2, 0, 2]), np.float32([1, 1, 1])).tolist()
    [0.0, 0.25, 2.0]

    **Source:** estimate (an even mix); it keeps the amount of dye exactly, whatever the spread.
    """
    sharp = np.asarray(spread < SHARP_ROWS)
    wide: Floats = np.where(sharp, np.float32(0), spread)
    slope = np.where(sharp, np.float32(0), np.float32(0.25) / np.maximum(spread, SHARP_ROWS))
    within_spread = np.clip(rows, -wide, wide)
    beyond = rows - wide
    np.maximum(beyond, 0.0, out=beyond)
    within_spread += wide
    within_spread *= within_spread
    within_spread *= slope
    within_spread += beyond
    return within_spread


def beyond_along_yarn(
    edge_rows: Floats, spread: Floats, low: NDArray[np.intp], count: int, blank: Blank
) -> Floats:
    """Share beyond each edge of every stitch in a window of rows: 0 before the edge, 1 after it.

    What would spread past an end of the blank stays in it, as if the end were a mirror.

    `edge_rows` (paintings, edges, stitches), `spread` (edges,), `low` first row of each window (edges,), even
    numbers, `count` rows in a window.
    Returns shape (count x stitches, paintings, edges), the stitches in the order of the yarn; those past the
    blank's end hold no meaning.

    >>> beyond_along_yarn(np.float32([[[1.5]]]), np.float32([0]), np.array([0]), 3, Blank(3, 1, 16.0)).ravel().tolist()
    [0.0, 0.5, 1.0]

    **Source:** estimate, as `fibre_beyond`.
    """
    # Stitches first and edges last: every step below runs over whole planes, none from stitch to stitch.
    lines = np.ascontiguousarray(edge_rows.transpose(2, 0, 1))
    width = len(lines)
    shares = np.empty((count, *lines.shape), dtype=np.float32)
    past = low.astype(np.float32) - lines
    plane = np.tile(spread, (lines.shape[1], 1))
    before = fibre_beyond(past, plane)
    for row in range(count):
        past += 1.0
        after = fibre_beyond(past, plane)
        np.subtract(after, before, out=shares[row])
        before = after
    _mirror(shares, lines, spread, low, blank.rows)
    if not blank.in_the_round:
        shares[1::2] = shares[1::2, ::-1].copy()
    return shares.reshape(count * width, *lines.shape[1:])


def _mirror(shares: Floats, lines: Floats, spread: Floats, low: NDArray[np.intp], rows: int) -> None:
    """Give back to the blank what `beyond_along_yarn` let spread past its ends."""
    near_start = lines.min(axis=(0, 1)) < spread
    near_end = lines.max(axis=(0, 1)) > rows - spread
    for edge in np.flatnonzero(near_start | near_end):
        line, wide = lines[:, :, edge], spread[edge]
        far = 2 * rows - line
        for row in range(len(shares)):
            top = np.float32(low[edge] + row)
            if near_start[edge]:
                shares[row, :, :, edge] += fibre_beyond(-top - line, wide) - fibre_beyond(
                    -top - 1 - line, wide
                )
            if near_end[edge]:
                shares[row, :, :, edge] -= fibre_beyond(top + 1 - far, wide) - fibre_beyond(top - far, wide)


# Stray drips of many paintings, and the share of every round they take from the bands.

STITCH_ROWS = MUNDEN["wet"].kc / MUNDEN["wet"].kw
"""Width of a stitch in heights of a row, 1.29 (D. J. Spencer, Knitting Technology, p. 281, read second-hand)."""
SPOT_DEPTH = 0.5
"""Share of the stitch that takes the drip's colour (estimate: half and half, a mixed stitch)."""


@dataclass(frozen=True)
class Spots:
    """Stitches under drips, one entry a stitch: `painting`, `row`, `stitch`, and `colour` (index of a band).

    **Source:** drawn; see `drawn_spots`.
    """

    painting: NDArray[np.intp]
    row: NDArray[np.intp]
    stitch: NDArray[np.intp]
    colour: NDArray[np.intp]


def drawn_spots(
    laid: tuple[Band, ...], blank: Blank, painting: Painting, draws: Draws, paintings: int
) -> Spots:
    """Drips of so many further paintings: their number Poisson, their place anywhere, round, of a painted band.

    Returns `Spots`, no entry where nothing drips or nothing is painted; each stitch at most once.

    >>> drawn_spots((Band("rust", 6),), Blank(6, 9, 16.0), Painting(), Draws(1), 3).row.size
    0

    **Source:** estimate.
    """
    painted = np.array([i for i, band in enumerate(laid) if band.colour], dtype=np.intp)
    if not painting.spots or not painted.size:
        none = np.zeros(0, dtype=np.intp)
        return Spots(none, none, none, none)
    number = draws.spots.poisson(painting.spots, paintings)
    which = np.repeat(np.arange(paintings), number)
    throw = draws.throws.random((which.size, 3))
    radius = painting.spot_rows / 2.0
    side = int(radius) + 1
    steps = np.arange(-side, side + 1)
    row_c, stitch_c = throw[:, 0] * blank.rows, throw[:, 1] * blank.stitches
    rows = np.floor(row_c)[:, None, None] + steps[None, :, None]
    across = np.floor(stitch_c)[:, None, None] + steps[None, None, :]
    apart = (rows + 0.5 - row_c[:, None, None]) ** 2 + (
        STITCH_ROWS * (across + 0.5 - stitch_c[:, None, None])
    ) ** 2
    hit = (apart <= radius**2) & (rows >= 0) & (rows < blank.rows) & (across >= 0) & (across < blank.stitches)
    spot, i, j = np.nonzero(hit)
    row, stitch = rows[spot, i, 0].astype(np.intp), across[spot, 0, j].astype(np.intp)
    place = (which[spot] * blank.rows + row) * blank.stitches + stitch
    _, once = np.unique(place, return_index=True)
    colour = painted[np.minimum((throw[:, 2] * painted.size).astype(np.intp), painted.size - 1)]
    return Spots(which[spot][once], row[once], stitch[once], colour[spot][once])


def bands_at(spots: Spots, edge_rows: Floats, edges: Edges, rows: int) -> Floats:
    """Share of each band in each spotted stitch, before the drip.

    Returns shape (stitches under drips, bands).

    >>> none = np.zeros(0, dtype=np.intp)
    >>> one = Edges(np.array([6.0]), np.float32([0]), 0.0)
    >>> bands_at(Spots(none, none, none, none), np.float32([[[6.0]]]), one, 11).shape
    (0, 2)

    **Source:** estimate, as `edges.beyond_along_yarn`.
    """
    lines = edge_rows[spots.painting, :, spots.stitch]
    top, wide = spots.row.astype(np.float32)[:, None], edges.spread[None, :]
    beyond = fibre_beyond(top + 1 - lines, wide) - fibre_beyond(top - lines, wide)
    beyond += fibre_beyond(-top - lines, wide) - fibre_beyond(-top - 1 - lines, wide)
    far = 2 * rows - lines
    beyond -= fibre_beyond(top + 1 - far, wide) - fibre_beyond(top - far, wide)
    ends = np.ones((len(beyond), 1), dtype=np.float32)
    shares: Floats = -np.diff(np.concatenate([ends, beyond, 0 * ends], axis=1), axis=1)
    return shares


def moved_shares(spots: Spots, at: Floats) -> Floats:
    """What a drip takes from each band (negative) and gives to the band of its colour, per stitch.

    Half of the stitch becomes the drip's colour. Rows sum to 0.

    >>> one = np.zeros(1, dtype=np.intp)
    >>> moved_shares(Spots(one, one, one, one), np.float32([[0.0, 1.0]])).tolist()
    [[0.5, -0.5]]

    **Source:** estimate (`SPOT_DEPTH`).
    """
    moved = -SPOT_DEPTH * at
    moved[np.arange(len(moved)), spots.colour] += SPOT_DEPTH
    return moved.astype(np.float32)
