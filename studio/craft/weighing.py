"""How far a weighing can be trusted on the dyer's own scale, and when a stock is the better way."""

from __future__ import annotations

import math

from studio.craft.limits import MOST_FIBRE_G, above

STOCK_ADVICE_LIMIT = 0.05
"""Relative standard uncertainty above which a stock is advised instead of weighing powder (house rule)."""


def reading_uncertainty_g(resolution_g: float) -> float:
    """Standard uncertainty of a weight read on a digital display whose tare was set to an exact zero.

    u = d / sqrt(12)

    `resolution_g`: last step of the display d, above 0 to 1000 g. Returns g. Refused (ValueError): outside that
    range.

    >>> reading_uncertainty_g(0.1)
    0.028868

    **Source:** rectangular distribution of full width d: Guide to the expression of uncertainty in
    measurement, JCGM 100:2008, F.2.2.1 (from memory).
    Breaks on a scale that drifts or sits unlevel: the display step is then the smaller error.
    """
    return above("resolution of the scale", resolution_g, 0, 1000, "g") / math.sqrt(12.0)


def relative_uncertainty(weight_g: float, resolution_g: float) -> float:
    """Standard uncertainty of a weighing as a fraction of the weight.

    relative u = d / sqrt(12) / weight

    `weight_g`: above 0 to 100 000 g. `resolution_g`: as in `reading_uncertainty_g`.
    Returns a fraction; compare with `STOCK_ADVICE_LIMIT`.
    Refused (ValueError): outside those ranges.

    >>> relative_uncertainty(0.5, 0.1)
    0.0577

    **Source:** JCGM 100:2008, F.2.2.1 (from memory); the 5 % limit is a house rule.
    Breaks as `reading_uncertainty_g` does, and below the least load the scale's maker allows.
    """
    above("weight", weight_g, 0, MOST_FIBRE_G, "g")
    return reading_uncertainty_g(resolution_g) / weight_g


def least_weight_g(resolution_g: float, limit: float = STOCK_ADVICE_LIMIT) -> float:
    """Least weight that stays within a relative uncertainty on this scale.

    weight = d / sqrt(12) / limit

    `resolution_g`: above 0 to 1000 g. `limit`: above 0 to 1, as a fraction.
    Returns g.
    Refused (ValueError): outside those ranges.

    >>> least_weight_g(0.1)
    0.577

    **Source:** `relative_uncertainty` solved for the weight.
    Breaks as `relative_uncertainty` does.
    """
    above("limit", limit, 0, 1)
    return reading_uncertainty_g(resolution_g) / limit
