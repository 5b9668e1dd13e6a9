"""Eigenvalues and coefficients of the heating series of a slab and of a long cylinder, any Biot number.

Bi = h L / k with L the half thickness of the slab or the radius of the cylinder; infinite where the surface
is at once at the temperature outside.
"""

from __future__ import annotations

import math
from functools import lru_cache

from studio.craft.bessel import bisect, j0, j0_root, j1, j1_root
from studio.craft.limits import above, within


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
    within("number of the root", number, 1, 1000)
    above("Biot number", bi, 0, math.inf)
