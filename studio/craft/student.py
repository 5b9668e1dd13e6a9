"""Quantiles of Student's t, for intervals from few measurements."""

from __future__ import annotations

import math
from functools import lru_cache

from studio.craft.limits import within

STEPS = 60
"""Halvings of a quarter turn: more than the digits of a float."""


def between(t: float, freedom: int) -> float:
    """Probability that Student's t lies between -t and t.

    with theta = atan(t / sqrt(nu)): for odd nu (2/pi) (theta + sin theta (cos theta + 2/3 cos^3 theta + ...)),
    for even nu sin theta (1 + 1/2 cos^2 theta + (1 3)/(2 4) cos^4 theta + ...), the last power being nu - 2

    `t`: 0 or more. `freedom`: degrees of freedom nu, 1 to 10 000.
    Returns a probability, 0 to 1.
    Refused (ValueError): outside those ranges.

    >>> between(12.706, 1)
    0.9500

    **Source:** M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, NBS 1964, 26.7.3 and 26.7.4.
    Nothing breaks it; the sum is finite and of positive terms.
    """
    within("value of t", t, 0, math.inf)
    within("degrees of freedom", freedom, 1, 10_000)
    return _between(math.atan(t / math.sqrt(freedom)), freedom)


@lru_cache(maxsize=512)
def two_sided(probability: float, freedom: int) -> float:
    """The t between whose negative and itself that probability lies.

    `between` solved for t by bisection of the angle

    `probability`: 0 up to, not including, 1. `freedom`: degrees of freedom, 1 to 10 000.
    Returns t, 0 or more.
    Refused (ValueError): outside those ranges.

    >>> two_sided(0.95, 10)
    2.228

    **Source:** as `between`; tables of t in any handbook, 2.228 for 95 % and 10 degrees of freedom.
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
