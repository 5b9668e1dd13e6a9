"""How far a weighing can be trusted on the dyer's own scale, and when a stock is the better way."""

from __future__ import annotations

import math

from studio.craft.limits import MOST_FIBRE_G, above, within

STOCK_ADVICE_LIMIT = 0.05
"""Relative standard uncertainty above which a stock is advised instead of weighing powder (house rule)."""


def _resolution(value_g: float) -> float:
    return above("resolution of the scale", value_g, 0, 1000, "g")


def reading_uncertainty_g(resolution_g: float, readings: int = 1) -> float:
    """Standard uncertainty of a weight read on a digital display.

    u = d / sqrt(12) x sqrt(readings)

    `resolution_g`: last step of the display d, above 0 to 1000 g. `readings`: 1 where the tare is set to an
    exact zero, 2 where an empty weight is read and taken off; 1 to 100.
    Returns g.
    Refused (ValueError): outside those ranges.

    >>> reading_uncertainty_g(0.1)
    0.028868

    **Source:** rectangular distribution of full width d: Guide to the expression of uncertainty in
    measurement, JCGM 100:2008, F.2.2.1 (from memory).
    Breaks on a scale that drifts or sits unlevel: the display step is then the smaller error.
    """
    if readings != int(readings):
        raise ValueError(f"The number of readings must be a whole number, not {readings:g}.")
    within("number of readings", readings, 1, 100)
    return _resolution(resolution_g) / math.sqrt(12.0) * math.sqrt(readings)


def relative_uncertainty(weight_g: float, resolution_g: float, readings: int = 1) -> float:
    """Standard uncertainty of a weighing as a fraction of the weight.

    relative u = d / sqrt(12) x sqrt(readings) / weight

    `weight_g`: above 0 to 100 000 g. `resolution_g`, `readings`: as in `reading_uncertainty_g`.
    Returns a fraction; compare with `STOCK_ADVICE_LIMIT`.
    Refused (ValueError): outside those ranges.

    >>> relative_uncertainty(0.5, 0.1)
    0.0577

    **Source:** JCGM 100:2008, F.2.2.1 (from memory); the 5 % limit is a house rule.
    Breaks as `reading_uncertainty_g` does, and below the least load the scale's maker allows.
    """
    above("weight", weight_g, 0, MOST_FIBRE_G, "g")
    return reading_uncertainty_g(resolution_g, readings) / weight_g


def least_weight_g(resolution_g: float, limit: float = STOCK_ADVICE_LIMIT, readings: int = 1) -> float:
    """Least weight that stays within a relative uncertainty on this scale.

    weight = d / sqrt(12) x sqrt(readings) / limit

    `resolution_g`: above 0 to 1000 g. `limit`: above 0 to 1, as a fraction. `readings`: 1 to 100.
    Returns g.
    Refused (ValueError): outside those ranges.

    >>> least_weight_g(0.1)
    0.577

    **Source:** `relative_uncertainty` solved for the weight.
    Breaks as `relative_uncertainty` does.
    """
    above("limit", limit, 0, 1)
    return reading_uncertainty_g(resolution_g, readings) / limit
