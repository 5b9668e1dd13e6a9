"""The edges between bands in many paintings, drawn from a seed, along the unravelled yarn."""

from __future__ import annotations

import msgspec
import numpy as np
from numpy.typing import NDArray

from studio.craft.stripe.blank import MOST_ROWS, MOST_STITCHES, Band, Blank, End, Painting, whole

# The order of the stitches along the unravelled yarn.


def order(rows: int, stitches: int, *, from_end: End = "first") -> NDArray[np.intp]:
    """Where on the blank each stitch of the yarn was, in the order it comes off.

    A blank is knitted flat, a serpentine: even rows run one way, odd rows back.
    From the last row the yarn is the same, turned round.

    `rows` 1 to 5000, `stitches` 1 to 1000. Returns indices row x stitches + stitch, shape (rows x stitches,).
    Refused (ValueError): outside those ranges.

    >>> order(2, 3).tolist(), order(2, 3, from_end="last").tolist()
    ([0, 1, 2, 5, 4, 3], [3, 4, 5, 2, 1, 0])

    **Source:** common practice (how a blank is knitted).
    """
    whole("rows of the blank", rows, 1, MOST_ROWS)
    whole("stitches of the blank", stitches, 1, MOST_STITCHES)
    places = np.arange(rows * stitches, dtype=np.intp).reshape(rows, stitches)
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


class Edges(msgspec.Struct, frozen=True):
    """Inner edges of the bands: `meant` rows, `spread` rows to either side, `reach` rows they may move.

    All of shape (edges,), one fewer than the bands. **Source:** the plan, and the painting's estimates.
    """

    meant: NDArray[np.float64]
    spread: Floats
    reach: float


class Draws:
    """Streams of random numbers of one seed. **Source:** numpy's PCG64, spawned from the seed."""

    def __init__(self, seed: int) -> None:
        tilt, wander, start = np.random.SeedSequence(seed).spawn(3)
        self.tilt = np.random.default_rng(tilt)
        self.wander = np.random.default_rng(wander)
        self.start = np.random.default_rng(start)


def edges_of(laid: tuple[Band, ...], blank: Blank, painting: Painting) -> Edges:
    """The edges between bands laid to fill a blank; an edge spreads unless both sides are bare.

    Each paint runs by its own spread, so that an edge spreads by the mean of its two; beside bare yarn by that of its
    one. About its middle, for then no colour gains fibre by it.

    Returns `Edges`. Refused (ValueError): a spread of more than half the blank.

    >>> edges_of((Band("rust", 6), Band("", 5)), Blank(11, 4, 16.0), Painting()).meant.tolist()
    [6.0]

    **Source:** estimate (`Painting`).
    """
    spreads = [painting.spread_of(band.colour) for band in laid]
    widest = max(spreads)
    if widest > blank.rows / 2.0:
        raise ValueError(
            f"The paint spreads {widest:g} rows to either side, more than half of the {blank.rows} rows; "
            "write a smaller spread."
        )
    meant = np.cumsum([band.rows for band in laid], dtype=np.float64)[:-1]
    sides = np.array([spreads[:-1], spreads[1:]])
    spread = (sides.sum(axis=0) / np.maximum(1, np.count_nonzero(sides, axis=0))).astype(np.float32)
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
    """
    shape = (paintings, len(edges.meant))
    lean = draws.tilt.random(shape, dtype=np.float32) * 2.0 - 1.0
    noise = draws.wander.standard_normal((*shape, KNOTS), dtype=np.float32)
    rows = np.broadcast_to(edges.meant.astype(np.float32)[:, None], (*shape, blank.stitches)).copy()
    place: Floats = (np.arange(blank.stitches, dtype=np.float32) + np.float32(0.5)) / np.float32(
        blank.stitches
    )
    if painting.tilt:
        rows += (painting.tilt * lean)[..., None] * (place - 0.5).astype(np.float32)
    if painting.wander:
        strayed: Floats = np.matmul(noise, _smooth(place))
        np.clip(strayed, -WIDEST, WIDEST, out=strayed)
        rows += np.float32(painting.wander) * strayed
    np.maximum.accumulate(rows, axis=1, out=rows)
    return np.clip(rows, 0.0, blank.rows, out=rows)


def _smooth(place: Floats) -> Floats:
    """Weights (knots, stitches) that spread the noise of the knots smoothly, of unit variance everywhere."""
    knots = (np.arange(KNOTS) + 0.5) / KNOTS
    apart = np.abs(place[None, :] - knots[:, None])
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
