"""One painting, to look at: the blank, the yarn as a strip, the fabric."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import msgspec
import numpy as np
from numpy.typing import NDArray

from studio.craft.stripe.blank import (
    Band,
    Blank,
    Knitting,
    Painting,
    blank_stitches_per_round,
    lay,
    rounds_given,
)
from studio.craft.stripe.edges import (
    Draws,
    Edges,
    Floats,
    drawn,
    edges_of,
    fibre_beyond,
    order,
)
from studio.craft.stripe.forecast import SEED


class Cloth(msgspec.Struct, frozen=True):
    """A field of stitches: `lead` and `second`, the bands with the largest shares, and the lead's `share`.

    Numbers of bands, into `Picture.bands`. A stitch of one band has the same band twice. Arrays of one shape.

    **Source:** see `picture`.
    """

    lead: NDArray[np.int16]
    second: NDArray[np.int16]
    share: Floats


class Picture(msgspec.Struct, frozen=True):
    """One painting: `bands` as they were laid; `blank` (rows, stitches), `yarn` (stitches of the blank, in
    order), `fabric` (rounds, stitches of the new piece; the first round knitted is row 0).

    **Source:** see `picture`.
    """

    bands: tuple[Band, ...]
    blank: Cloth
    yarn: Cloth
    fabric: Cloth


def picture(
    blank: Blank, bands: Sequence[Band], painting: Painting, knitting: Knitting, *, seed: int = SEED
) -> Picture:
    """The first of the paintings of a seed, as the blank, the yarn and the fabric.

    The first painting of `forecast` with the same seed. Returns `Picture`. Refused (ValueError): as `forecast`.

    >>> seen = picture(Blank(4, 2, 16.0), [Band("rust", 2), Band("", 2)], Painting(0, 0, 0),
    ...                Knitting(4, 16.0, from_end="first"))
    >>> seen.blank.lead.tolist(), seen.fabric.lead.tolist()
    ([[0, 0], [0, 0], [1, 1], [1, 1]], [[0, 0, 0, 0], [1, 1, 1, 1]])

    **Source:** as `forecast.forecast`.
    """
    laid = lay(bands, blank.rows)
    rounds_given(blank, knitting)
    draws = Draws(seed)
    varies = 0.0 if painting.exact else 1.0
    begin = varies * float(draws.start.random()) * blank_stitches_per_round(blank, knitting)
    seen = _two_largest(band_shares(blank, laid, painting, draws))
    path = order(blank.rows, blank.stitches, from_end=knitting.from_end)
    yarn = _taken(seen, path)
    return Picture(laid, seen, yarn, _taken(yarn, _knitted(blank, knitting, begin)))


def band_shares(blank: Blank, laid: tuple[Band, ...], painting: Painting, draws: Draws) -> Iterator[Floats]:
    """The share of one band after another in every stitch of the next painting, each (rows, stitches).

    They sum to 1 in every stitch.

    >>> [s.ravel().tolist() for s in
    ...     band_shares(Blank(2, 1, 16.0), (Band("a", 1), Band("b", 1)), Painting(0, 0, 0), Draws(1))]
    [[1.0, 0.0], [0.0, 1.0]]

    **Source:** estimate, as `edges`.
    """
    edges = edges_of(laid, blank, painting)
    lines = drawn(edges, blank, painting, draws, 1)
    before = np.ones((blank.rows, blank.stitches), dtype=np.float32)
    for number in range(len(laid)):
        after = _beyond(edges, number, lines[0], blank.rows) if number < len(laid) - 1 else 0 * before
        yield before - after
        before = after


def _beyond(edges: Edges, number: int, lines: Floats, rows: int) -> Floats:
    """Share of every stitch of the blank beyond one edge, (rows, stitches)."""
    line, wide = lines[number], edges.spread[number]
    low = max(0, int(line.min() - wide) - 1)
    high = min(rows, int(line.max() + wide) + 2)
    shares = np.zeros((rows, len(line)), dtype=np.float32)
    shares[high:] = 1.0
    tops = np.arange(low, high + 1, dtype=np.float32)[:, None]
    near = np.diff(fibre_beyond(tops - line, wide), axis=0)
    near -= np.diff(fibre_beyond(-tops - line, wide), axis=0)
    near -= np.diff(fibre_beyond(tops - (2 * rows - line), wide), axis=0)
    shares[low:high] = near
    return shares


def _two_largest(shares: Iterator[Floats]) -> Cloth:
    """The two bands with most of each stitch."""
    share = next(shares)
    lead = np.zeros(share.shape, dtype=np.int16)
    second, next_share = lead.copy(), np.zeros_like(share)
    for number, mine in enumerate(shares, start=1):
        over, under = mine > share, mine > next_share
        second = np.where(over, lead, np.where(under, number, second)).astype(np.int16)
        next_share = np.where(over, share, np.where(under, mine, next_share))
        lead[over] = number
        share = np.where(over, mine, share)
    return Cloth(lead, np.where(next_share > 1e-6, second, lead), share)


def _taken(cloth: Cloth, places: NDArray[np.intp]) -> Cloth:
    return Cloth(cloth.lead.ravel()[places], cloth.second.ravel()[places], cloth.share.ravel()[places])


def _knitted(blank: Blank, knitting: Knitting, begin: float) -> NDArray[np.intp]:
    """Which stitch of the yarn the middle of each new stitch comes from, (rounds, stitches)."""
    per_round = blank_stitches_per_round(blank, knitting)
    yarn = blank.rows * blank.stitches
    rounds = max(0, int((yarn - begin) / per_round + 1e-9))
    middles = (np.arange(rounds * knitting.stitches) + 0.5) * (per_round / knitting.stitches) + begin
    return np.minimum(middles.astype(np.intp), yarn - 1).reshape(rounds, knitting.stitches)
