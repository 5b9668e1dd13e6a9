"""Bessel functions J0 and J1, and their roots, for heat flow in a cylinder."""

from __future__ import annotations

import math
from functools import lru_cache

from studio.craft.limits import within
from studio.craft.solve import bisect


def _points(x: float) -> int:
    # The midpoint rule is wrong by about J_2N(x), which is below 1e-16 from 2N = 1.2 x + 48 on.
    return int(0.6 * x) + 24


def j0(x: float) -> float:
    """Bessel function of the first kind, order 0.

    J0(x) = (1 / pi) integral from 0 to pi of cos(x sin t) dt, by the midpoint rule

    `x`: 0 to 10 000, no unit. Returns the value, to about 1e-15. Refused (ValueError): outside that range.

    >>> j0(1.0)
    0.76519768655796

    **Source:** M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, NBS 1964, 9.1.18; J0(1) in
    table 9.1 (from memory).
    The midpoint rule converges faster than any power here because the integrand is periodic; nothing breaks
    it.
    """
    within("argument of J0", x, 0, 10_000)
    points = _points(x)
    return sum(math.cos(x * math.sin(math.pi * (k + 0.5) / points)) for k in range(points)) / points


def j1(x: float) -> float:
    """Bessel function of the first kind, order 1.

    J1(x) = (1 / pi) integral from 0 to pi of cos(t - x sin t) dt, by the midpoint rule

    `x`: 0 to 10 000, no unit. Returns the value, to about 1e-15. Refused (ValueError): outside that range.

    >>> j1(1.0)
    0.44005058574493

    **Source:** Abramowitz and Stegun 1964, 9.1.21; J1(1) in table 9.1 (from memory).
    As for `j0`.
    """
    within("argument of J1", x, 0, 10_000)
    points = _points(x)
    angles = (math.pi * (k + 0.5) / points for k in range(points))
    return sum(math.cos(angle - x * math.sin(angle)) for angle in angles) / points


@lru_cache(maxsize=1024)
def j0_root(number: int) -> float:
    """The n-th positive root of J0, 2.404826 for n = 1.

    J0 changes sign once between (n - 1/2) pi and n pi

    `number`: 1 to 1000. Returns the root. Refused (ValueError): outside that range.

    >>> j0_root(1)
    2.40482555769577

    **Source:** Abramowitz and Stegun 1964, 9.5 and table 9.5 (from memory).
    Breaks never in that range: each bracket holds exactly one root.
    """
    within("number of the root", number, 1, 1000)
    return bisect(j0, (number - 0.5) * math.pi, number * math.pi)


@lru_cache(maxsize=1024)
def j1_root(number: int) -> float:
    """The n-th root of J1 counted from 0: 0 for n = 0, 3.831706 for n = 1.

    J1 changes sign once between n pi and (n + 1/2) pi

    `number`: 0 to 1000. Returns the root. Refused (ValueError): outside that range.

    >>> j1_root(1)
    3.83170597020751

    **Source:** as `j0_root`. Breaks never in that range.
    """
    within("number of the root", number, 0, 1000)
    return 0.0 if number == 0 else bisect(j1, number * math.pi, (number + 0.5) * math.pi)
