"""Quantiles of Student's t, for intervals from few measurements."""

from __future__ import annotations

import math
from functools import lru_cache

from studio.craft.limits import within

STEPS = 60
"""Halvings of a quarter turn: more than the digits of a float."""


@lru_cache(maxsize=512)
def two_sided(probability: float, freedom: int) -> float:
    """The t between whose negative and itself that probability lies.

    the finite sum of P(-t < T < t) over the angle arctan(t / sqrt(freedom)), solved by bisection of the angle

    `probability`: 0 up to, not including, 1. `freedom`: degrees of freedom, 1 to 10 000.
    Returns t, 0 or more.
    Refused (ValueError): outside those ranges.

    >>> two_sided(0.95, 10)
    2.228

    **Source:** M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, NBS 1964, 26.7.3 and 26.7.4;
    tables of t in any handbook, 2.228 for 95 % and 10 degrees of freedom.
    """
    within("probability", probability, 0, math.nextafter(1.0, 0.0))
    within("degrees of freedom", freedom, 1, 10_000)
    low, high = 0.0, math.pi / 2
    for _ in range(STEPS):
        middle = (low + high) / 2
        low, high = (middle, high) if _between(middle, freedom) < probability else (low, middle)
    return math.sqrt(freedom) * math.tan(low)


def _between(theta: float, freedom: int) -> float:
    sine, square = math.sin(theta), math.cos(theta) ** 2
    odd = freedom % 2
    if freedom == 1:
        return 2 * theta / math.pi
    term = math.cos(theta) if odd else 1.0
    total = term
    for k in range(2 if odd else 1, freedom - 2, 2):
        term *= square * k / (k + 1)
        total += term
    return 2 / math.pi * (theta + sine * total) if odd else sine * total
