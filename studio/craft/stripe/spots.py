"""Stray drips of many paintings, and the share of every round they take from the bands."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from studio.craft.stripe.blank import Band, Blank
from studio.craft.stripe.edges import Draws, Edges, Floats, fibre_beyond
from studio.craft.stripe.gauge import MUNDEN
from studio.craft.stripe.painting import Painting

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
