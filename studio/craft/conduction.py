"""Heating and cooling of a slab and of a long cylinder from outside: the full series, any Biot number, with its roots
and Bessel functions.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

from studio.craft.limits import Range, within
from studio.craft.solve import falling_root

ROOT = Range("number of the root", 1, 1000)
BIOT = Range("Biot number", 0, math.inf, positive=True)

# Bessel functions J0 and J1, and their roots, for heat flow in a cylinder.


def _points(x: float) -> int:
    # The midpoint rule is wrong by about J_2N(x), which is below 1e-16 from 2N = x + 10 (x^(1/3) + 1) on.
    return int(0.5 * x + 5.0 * (x ** (1.0 / 3.0) + 1.0))


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

    J0 changes sign once between (n - 1) pi and n pi, and falls by J1

    `number`: 1 to 1000. Returns the root. Refused (ValueError): outside that range.

    >>> j0_root(1)
    2.40482555769577

    **Source:** Abramowitz and Stegun 1964, 9.5 and table 9.5 (from memory).
    Breaks never in that range: each bracket holds exactly one root.
    """
    ROOT(number)
    return _root(lambda z: (j0(z), j1(z)), number, number * math.pi)


# Heating or cooling of a slab and of a long cylinder from outside: the full series, any Biot number. theta = (T - T
# outside) / (T at the start - T outside), 1 at the start and 0 in the end. Fo = alpha t / L^2 with L the half
# thickness of the slab or the radius of the cylinder; Bi = h L / k, infinite where the surface is at once at the
# temperature outside. **Source of both series:** H. S. Carslaw and J. C. Jaeger, Conduction of Heat in Solids, 2nd
# ed. 1959, chs. 3 and 7 (from memory); Y. A. Cengel, Heat and Mass Transfer, ch. 4 and table 4-2.

FASTEST_CENTRE_FO = 0.005
"""Below it the centre has not moved in sixteen digits: erfc(1 / (2 sqrt(Fo))) is under 1e-22."""


def centre_theta_slab(fo: float, bi: float = math.inf) -> float:
    """Theta in the middle of a slab heated or cooled from both sides.

    theta = sum(4 sin z_n / (2 z_n + sin 2 z_n) exp(-z_n^2 Fo)), z_n tan z_n = Bi

    `fo`: 0 to 1e6. `bi`: above 0, may be infinite. Returns theta, 0 to 1. Refused (ValueError): outside those.

    >>> centre_theta_slab(0.2), centre_theta_slab(1.0, 1.0)
    (0.77231, 0.53386)

    **Source:** see the head of this page. Breaks where steam moves through the packet: that is faster.
    """
    return _series(fo, bi, slab_term)


def centre_theta_cylinder(fo: float, bi: float = math.inf) -> float:
    """Theta on the axis of a long cylinder.

    theta = sum(2 J1(z_n) / (z_n (J0(z_n)^2 + J1(z_n)^2)) exp(-z_n^2 Fo)), z_n J1(z_n) = Bi J0(z_n)

    `fo`: 0 to 1e6. `bi`: above 0, may be infinite. Returns theta, 0 to 1. Refused (ValueError): outside those.

    >>> centre_theta_cylinder(0.2), centre_theta_cylinder(1.0, 1.0)
    (0.50149, 0.24938)

    **Source:** see the head of this page. Breaks where steam moves through the packet: that is faster.
    """
    return _series(fo, bi, cylinder_term)


@lru_cache(maxsize=1024)
def slab_term(number: int, bi: float = math.inf) -> tuple[float, float]:
    """The n-th root of the slab's series, and the coefficient of its term.

    z tan z = Bi, one root in each ((n - 1) pi, (n - 1/2) pi], the latter for infinite Bi

    `number`: n, 1 to 1000. `bi`: above 0, may be infinite. Refused (ValueError): outside those.

    >>> slab_term(1, 10.0)
    (1.4289, 1.2620)

    **Source:** Cengel, Heat and Mass Transfer, table 4-2. Breaks never in that range.
    """
    BIOT(bi)
    high = (ROOT(number) - 0.5) * math.pi
    z = high if math.isinf(bi) else _root(_slab_balance(bi), number, high)
    return z, 4.0 * math.sin(z) / (2.0 * z + math.sin(2.0 * z))


@lru_cache(maxsize=1024)
def cylinder_term(number: int, bi: float = math.inf) -> tuple[float, float]:
    """The n-th root of the cylinder's series, and the coefficient of its term.

    z J1(z) = Bi J0(z), one root from (n - 1) pi to the n-th root of J0, the latter for infinite Bi

    `number`: n, 1 to 1000. `bi`: above 0, may be infinite. Refused (ValueError): outside those.

    >>> cylinder_term(1, 1.0)
    (1.2558, 1.2071)

    **Source:** Cengel, Heat and Mass Transfer, table 4-2. Breaks never in that range.
    """
    BIOT(bi)
    high = j0_root(number)
    z = high if math.isinf(bi) else _root(_cylinder_balance(bi), number, high)
    at_0, at_1 = j0(z), j1(z)
    return z, 2.0 * at_1 / (z * (at_0 * at_0 + at_1 * at_1))


Balance = Callable[[float], tuple[float, float]]
"""Heat that the film takes less heat that comes to the surface, and how steeply that falls."""


def _slab_balance(bi: float) -> Balance:
    def at(z: float) -> tuple[float, float]:
        sine, cosine = math.sin(z), math.cos(z)
        return bi * cosine - z * sine, (bi + 1.0) * sine + z * cosine

    return at


def _cylinder_balance(bi: float) -> Balance:
    def at(z: float) -> tuple[float, float]:
        at_0, at_1 = j0(z), j1(z)
        return bi * at_0 - z * at_1, bi * at_1 + z * at_0

    return at


def _root(balance: Balance, number: int, high: float) -> float:
    """The root below `high`; every other one is crossed on the way up, so its sign is turned."""
    sign = 1.0 if number % 2 else -1.0

    def falling(z: float) -> tuple[float, float]:
        value, fall = balance(z)
        return sign * value, sign * fall

    low = (number - 1) * math.pi
    return falling_root(falling, (low + high) / 2.0, low, high)


def _series(fo: float, bi: float, term: Callable[[int, float], tuple[float, float]]) -> float:
    within("Fourier number", fo, 0, 1e6)
    BIOT(bi)
    if fo < FASTEST_CENTRE_FO:
        return 1.0
    total = 0.0
    for number in range(1, 1001):
        root, coefficient = term(number, bi)
        if root**2 * fo > 45.0 and number > 1:  # exp(-45) is 3e-20
            break
        total += coefficient * math.exp(-(root**2) * fo)
    return min(1.0, total)
