"""Heating of a slab and of a long cylinder from outside: the full series, with its roots and Bessel functions."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

from studio.craft.limits import Range, within
from studio.craft.solve import bisect

ROOT = Range("number of the root", 1, 1000)

# Bessel functions J0 and J1, and their roots, for heat flow in a cylinder.


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
    ROOT(number)
    return bisect(j0, (number - 0.5) * math.pi, number * math.pi)


# Heating of a slab and of a long cylinder from outside, the surface at once at the temperature outside: the full
# series. theta = (T - T outside) / (T at the start - T outside), 1 at the start and 0 in the end. Fo = alpha t / L^2
# with L the half thickness of the slab or the radius of the cylinder. **Source of both series:** H. S. Carslaw and
# J. C. Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, chs. 3 and 7 (from memory); Y. A. Cengel, Heat and Mass
# Transfer, ch. 4 and table 4-2.

FASTEST_CENTRE_FO = 0.005
"""Below it the centre has not moved in sixteen digits: erfc(1 / (2 sqrt(Fo))) is under 1e-22."""


def centre_theta_slab(fo: float) -> float:
    """Theta in the middle of a slab heated from both sides.

    theta = sum(2 (-1)^(n-1) / z_n exp(-z_n^2 Fo)), z_n = (n - 1/2) pi

    `fo`: 0 to 1e6. Returns theta, 0 to 1. Refused (ValueError): outside that range.

    >>> centre_theta_slab(0.2)
    0.77231

    **Source:** see the head of this page. Breaks where steam moves through the packet: that is faster.
    """
    return _series(fo, _slab_term)


def centre_theta_cylinder(fo: float) -> float:
    """Theta on the axis of a long cylinder.

    theta = sum(2 / (z_n J1(z_n)) exp(-z_n^2 Fo)), z_n the n-th root of J0

    `fo`: 0 to 1e6. Returns theta, 0 to 1. Refused (ValueError): outside that range.

    >>> centre_theta_cylinder(0.2)
    0.50149

    **Source:** see the head of this page. Breaks where steam moves through the packet: that is faster.
    """
    return _series(fo, _cylinder_term)


def _slab_term(number: int) -> tuple[float, float]:
    """Root and coefficient."""
    root = (number - 0.5) * math.pi
    return root, 2.0 * (-1) ** (number - 1) / root


@lru_cache(maxsize=1024)
def _cylinder_term(number: int) -> tuple[float, float]:
    root = j0_root(number)
    return root, 2.0 / (root * j1(root))


def _series(fo: float, term: Callable[[int], tuple[float, float]]) -> float:
    within("Fourier number", fo, 0, 1e6)
    if fo < FASTEST_CENTRE_FO:
        return 1.0
    total = 0.0
    for number in range(1, 1001):
        root, coefficient = term(number)
        if root**2 * fo > 45.0 and number > 1:  # exp(-45) is 3e-20
            break
        total += coefficient * math.exp(-(root**2) * fo)
    return min(1.0, total)
