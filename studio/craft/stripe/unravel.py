"""The order of the stitches along the unravelled yarn."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from studio.craft.stripe.blank import MOST_ROWS, MOST_STITCHES, whole
from studio.craft.stripe.knitting import End


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
