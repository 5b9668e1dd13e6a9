"""Heating of a slab and of a long cylinder from outside: the full series, any Biot number.

theta = (T - T outside) / (T at the start - T outside), 1 at the start and 0 in the end. Fo = alpha t / L^2
with L the half thickness of the slab or the radius of the cylinder; Bi = h L / k, infinite where the surface
is at once at the temperature outside.
**Source of all series:** H. S. Carslaw and J. C. Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, chs. 3
and 7 (from memory); Y. A. Cengel, Heat and Mass Transfer, ch. 4 and table 4-2.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from studio.craft.eigenvalues import cylinder_coefficient, cylinder_root, slab_coefficient, slab_root
from studio.craft.limits import above, within

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
        above("Biot number", bi, 0, math.inf)
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
