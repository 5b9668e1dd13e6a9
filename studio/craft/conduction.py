"""Heating of a slab and of a long cylinder from outside: the full series, any Biot number, with its roots
and Bessel functions.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

from studio.craft.limits import Range, within
from studio.craft.solve import bisect

ROOT = Range("number of the root", 1, 1000)
BIOT = Range("Biot number", 0, math.inf, positive=True)

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


# Heating of a slab and of a long cylinder from outside: the full series, any Biot number. theta = (T - T
# outside) / (T at the start - T outside), 1 at the start and 0 in the end. Fo = alpha t / L^2 with L the
# half thickness of the slab or the radius of the cylinder; Bi = h L / k, infinite where the surface is
# at once at the temperature outside. **Source of all series:** H. S. Carslaw and J. C. Jaeger,
# Conduction of Heat in Solids, 2nd ed. 1959, chs. 3 and 7 (from memory); Y. A. Cengel, Heat and Mass
# Transfer, ch. 4 and table 4-2.


@lru_cache(maxsize=1024)
def slab_root(number: int, bi: float = math.inf) -> float:
    """The n-th eigenvalue of a slab.

    z tan z = Bi, one root in each ((n - 1) pi, (n - 1/2) pi]; (n - 1/2) pi for infinite Bi

    `number`: n, 1 to 1000. `bi`: above 0, may be infinite. Returns z. Refused (ValueError): outside those
    ranges.

    >>> slab_root(1, 10.0)
    1.4289

    **Source:** Cengel, Heat and Mass Transfer, table 4-2. Breaks never in that range.
    """
    _checked(number, bi)
    if math.isinf(bi):
        return (number - 0.5) * math.pi
    return bisect(
        lambda z: z * math.sin(z) - bi * math.cos(z), (number - 1) * math.pi, (number - 0.5) * math.pi
    )


@lru_cache(maxsize=1024)
def cylinder_root(number: int, bi: float = math.inf) -> float:
    """The n-th eigenvalue of a long cylinder.

    z J1(z) = Bi J0(z), one root between the (n - 1)-th root of J1 and the n-th of J0; the latter for
    infinite Bi

    `number`: n, 1 to 1000. `bi`: above 0, may be infinite. Returns z. Refused (ValueError): outside those
    ranges.

    >>> cylinder_root(1, 1.0)
    1.2558

    **Source:** Cengel, Heat and Mass Transfer, table 4-2. Breaks never in that range.
    """
    _checked(number, bi)
    if math.isinf(bi):
        return j0_root(number)
    return bisect(lambda z: z * j1(z) - bi * j0(z), j1_root(number - 1), j0_root(number))


@lru_cache(maxsize=1024)
def slab_coefficient(number: int, bi: float = math.inf) -> float:
    """The n-th coefficient of the slab series for the centre.

    C = 4 sin z / (2 z + sin 2z)

    Parameters and refusals as in `slab_root`. Returns C, its sign alternating.

    >>> slab_coefficient(1, 10.0)
    1.2620

    **Source:** Cengel, Heat and Mass Transfer, table 4-2. Breaks never in that range.
    """
    z = slab_root(number, bi)
    return 4.0 * math.sin(z) / (2.0 * z + math.sin(2.0 * z))


@lru_cache(maxsize=1024)
def cylinder_coefficient(number: int, bi: float = math.inf) -> float:
    """The n-th coefficient of the cylinder series for the centre.

    C = 2 J1(z) / (z (J0(z)^2 + J1(z)^2))

    Parameters and refusals as in `cylinder_root`. Returns C, its sign alternating.

    >>> cylinder_coefficient(1, 1.0)
    1.2071

    **Source:** Cengel, Heat and Mass Transfer, table 4-2. Breaks never in that range.
    """
    z = cylinder_root(number, bi)
    at_0, at_1 = j0(z), j1(z)
    return 2.0 * at_1 / (z * (at_0 * at_0 + at_1 * at_1))


def _checked(number: int, bi: float) -> None:
    ROOT(number)
    BIOT(bi)


Root = Callable[[int, float], float]

FASTEST_CENTRE_FO = 0.005
"""Below it the centre has not moved in sixteen digits: erfc(1 / (2 sqrt(Fo))) is under 1e-22."""


def centre_theta_slab(fo: float, bi: float = math.inf) -> float:
    """Theta in the middle of a slab heated from both sides.

    theta = sum(C_n exp(-z_n^2 Fo))

    `fo`: 0 to 1e6. `bi`: above 0, may be infinite. Returns theta, 0 to 1. Refused (ValueError): outside
    those.

    >>> centre_theta_slab(0.2)
    0.77231

    **Source:** see the head of this page. Breaks where steam moves through the packet: that is faster.
    """
    return _centre(fo, bi, slab_root, slab_coefficient)


def centre_theta_cylinder(fo: float, bi: float = math.inf) -> float:
    """Theta on the axis of a long cylinder.

    theta = sum(C_n exp(-z_n^2 Fo))

    `fo`: 0 to 1e6. `bi`: above 0, may be infinite. Returns theta, 0 to 1. Refused (ValueError): outside
    those.

    >>> centre_theta_cylinder(0.2)
    0.50149

    **Source:** see the head of this page. Breaks where steam moves through the packet: that is faster.
    """
    return _centre(fo, bi, cylinder_root, cylinder_coefficient)


def _centre(fo: float, bi: float, root: Root, coefficient: Root) -> float:
    within("Fourier number", fo, 0, 1e6)
    if fo < FASTEST_CENTRE_FO:
        BIOT(bi)
        return 1.0
    return min(1.0, _series(fo, bi, root, lambda n: coefficient(n, bi)))


def _series(fo: float, bi: float, root: Root, factor: Callable[[int], float]) -> float:
    total = 0.0
    for number in range(1, 1001):
        exponent = root(number, bi) ** 2 * fo
        if exponent > 45.0 and number > 1:  # exp(-45) is 3e-20
            break
        total += factor(number) * math.exp(-exponent)
    return total
