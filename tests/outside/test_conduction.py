"""Heating and cooling through against a printed table, an exact series by another road, and a finite-difference solver.

Nothing of `studio.craft` takes part in the other road: Bessel functions here are power series in exact decimals, the
roots are McMahon's expansion polished by secant steps, and the finite-difference solver knows no series at all.
"""

from __future__ import annotations

import math
from decimal import Decimal, getcontext
from functools import cache

import numpy as np
import pytest
import scipy

from studio.craft import conduction, steam

getcontext().prec = 60
CENGEL = "Y. A. Cengel, Heat and Mass Transfer, table 4-2, p. 263"


@pytest.mark.parametrize(
    ("bi", "slab_z", "slab_c", "cylinder_z", "cylinder_c"),
    [
        (0.01, 0.0998, 1.0017, 0.1412, 1.0025),
        (0.1, 0.3111, 1.0161, 0.4417, 1.0246),
        (0.5, 0.6533, 1.0701, 0.9408, 1.1143),
        (1, 0.8603, 1.1191, 1.2558, 1.2071),
        (2, 1.0769, 1.1785, 1.5995, 1.3384),
        (5, 1.3138, 1.2403, 1.9898, 1.5029),
        (10, 1.4289, 1.2620, 2.1795, 1.5677),
        (math.inf, 1.5708, 1.2732, 2.4048, 1.6021),
    ],
)
def test_first_root_and_coefficient(bi, slab_z, slab_c, cylinder_z, cylinder_c):
    """First root and coefficient at eight Biot numbers, printed to four figures in Cengel, Heat and Mass Transfer."""
    assert conduction.slab_term(1, bi) == pytest.approx((slab_z, slab_c), abs=2e-4), CENGEL
    assert conduction.cylinder_term(1, bi) == pytest.approx((cylinder_z, cylinder_c), abs=2e-4), CENGEL


def bessel_by_power_series(order: int, x: float) -> float:
    """sum((-1)^k (x/2)^(2k+order) / (k! (k+order)!)), exact decimals: Abramowitz and Stegun 9.1.10."""
    half = Decimal(x) / 2
    term = half if order else Decimal(1)
    total, k = term, 0
    while abs(term) > Decimal("1e-40"):
        k += 1
        term *= -half * half / (k * (k + order))
        total += term
    return float(total)


@cache
def j0_roots(count: int) -> tuple[float, ...]:
    """McMahon's expansion (Abramowitz and Stegun 9.5.12); the first twelve polished by secant steps."""
    roots = []
    for n in range(1, count + 1):
        b = (n - 0.25) * math.pi
        root = b + 1 / (8 * b) - 124 / (3 * (8 * b) ** 3) + 120928 / (15 * (8 * b) ** 5)
        if n <= 12:
            before, after = root - 1e-3, root
            for _ in range(6):
                f_before, f_after = bessel_by_power_series(0, before), bessel_by_power_series(0, after)
                if f_after == f_before:
                    break
                before, after = after, after - f_after * (after - before) / (f_after - f_before)
            root = after
        roots.append(root)
    return tuple(roots)


@cache
def j1_at_root(n: int) -> float:
    """J1 at the n-th root of J0: power series to n = 12, then the asymptotic size with alternating sign."""
    root = j0_roots(200)[n - 1]
    if n <= 12:
        return bessel_by_power_series(1, root)
    return (-1) ** (n - 1) * math.sqrt(2 / (math.pi * root))


def exact_cylinder(fo: float) -> float:
    """200 terms of 2 exp(-z^2 Fo) / (z J1(z)): Carslaw and Jaeger 1959, 7.6."""
    return sum(2 * math.exp(-z * z * fo) / (z * j1_at_root(n)) for n, z in enumerate(j0_roots(200), 1))


def exact_slab(fo: float) -> float:
    """200 images, after Carslaw and Jaeger 1959, 3.3: 1 - 2 sum((-1)^k erfc((2k+1) / (2 sqrt(Fo)))), the series for
    short times, good for all."""
    return 1 - 2 * sum((-1) ** k * math.erfc((2 * k + 1) / (2 * math.sqrt(fo))) for k in range(200))


@pytest.mark.parametrize("fo", [0.05, 0.1, 0.2, 0.3, 0.4, 0.6, 1.0])
def test_the_series_with_the_bessel_functions_of_a_library(fo):
    """Sixty terms of Carslaw and Jaeger 1959, 7.6, with the roots and J1 of scipy."""
    roots = scipy.special.jn_zeros(0, 60)
    theirs = float(sum(2 * np.exp(-roots * roots * fo) / (roots * scipy.special.j1(roots))))
    assert conduction.centre_theta_cylinder(fo) == pytest.approx(theirs, abs=1e-9)


@pytest.mark.parametrize("fo", [0.01, 0.02, 0.04, 0.08, 0.15, 0.2, 0.3, 0.5, 1.0, 2.0])
def test_centre_against_the_other_road(fo):
    """The middle of a slab and of a cylinder, by 200 images and by 200 terms with roots found here: Carslaw
    and Jaeger 1959."""
    assert conduction.centre_theta_slab(fo) == pytest.approx(exact_slab(fo), abs=1e-10)
    assert conduction.centre_theta_cylinder(fo) == pytest.approx(exact_cylinder(fo), abs=1e-8)


@pytest.mark.parametrize("thickness_m", [0.03, 0.04, 0.05, 0.08])
@pytest.mark.parametrize("length_m", [0.08, 0.12, 0.25, math.inf])
@pytest.mark.parametrize("shape", ["roll", "flat packet"])
def test_heat_through_by_the_other_road(shape, thickness_m, length_m):
    """At the minutes we name, the exact 200-term solution has the middle at 85 degC, at both ends:
    Carslaw and Jaeger 1959."""
    heating = steam.heat_through(shape, thickness_m, length_m, start_c=20, steam_c=98)
    for minutes, alpha in ((heating.fast_min, 1.6e-7), (heating.slow_min, 1.0e-7)):
        alpha_t = alpha * minutes * 60
        theta = (exact_cylinder if shape == "roll" else exact_slab)(alpha_t / (thickness_m / 2) ** 2)
        if shape == "roll" and math.isfinite(length_m):
            theta *= exact_slab(alpha_t / (length_m / 2) ** 2)
        assert 98 - 78 * theta == pytest.approx(85, abs=1e-5)


def explicit_roll(radius_m, half_length_m, alpha, seconds, cells):
    """Middle of a finite cylinder by an explicit finite-volume march in r and z, surface held at 0, start at 1."""
    dr, dz = radius_m / cells, half_length_m / cells
    steps = math.ceil(seconds / (0.24 / (alpha * (1 / dr**2 + 1 / dz**2))))
    dt = seconds / steps
    field = [[1.0] * cells for _ in range(cells)]
    for _ in range(steps):
        old = [row[:] for row in field]
        for i in range(cells):
            inner, outer, middle = i * dr, (i + 1) * dr, (i + 0.5) * dr
            for j in range(cells):
                here = old[i][j]
                from_inside = old[i - 1][j] - here if i else 0.0
                from_outside = old[i + 1][j] - here if i < cells - 1 else -2.0 * here
                from_below = old[i][j - 1] - here if j else 0.0
                from_above = old[i][j + 1] - here if j < cells - 1 else -2.0 * here
                radial = (inner * from_inside + outer * from_outside) / (middle * dr * dr)
                field[i][j] = here + alpha * dt * (radial + (from_below + from_above) / dz**2)
    # The nearest cell centre is half a cell from the middle both ways: carry the parabola in to the middle.
    along = [(9 * field[i][0] - field[i][1]) / 8 for i in (0, 1)]
    return (9 * along[0] - along[1]) / 8


def explicit_slab(half_m, alpha, seconds, cells, bi=math.inf):
    """Middle of a slab the same way; a finite Bi puts the film's resistance behind half a cell."""
    dx = half_m / cells
    steps = math.ceil(seconds / (0.4 * dx * dx / alpha))
    dt = seconds / steps
    surface = 1.0 / (0.5 + (0.0 if math.isinf(bi) else cells / bi))
    field = [1.0] * cells
    for _ in range(steps):
        old = field[:]
        for i, here in enumerate(old):
            inside = old[i - 1] - here if i else 0.0
            outside = old[i + 1] - here if i < cells - 1 else -surface * here
            field[i] = here + alpha * dt / dx**2 * (inside + outside)
    return (9 * field[0] - field[1]) / 8


@pytest.mark.parametrize(
    ("radius_m", "half_length_m", "minutes"), [(0.025, 0.06, 25), (0.02, 0.03, 12), (0.04, 0.04, 50)]
)
def test_roll_by_finite_differences(radius_m, half_length_m, minutes):
    """An explicit march at the minutes we name for its own temperature has that temperature within 0.3 K."""
    reached_c = 98 - 78 * explicit_roll(radius_m, half_length_m, 1.6e-7, minutes * 60, cells=16)
    roll = 2 * radius_m, 2 * half_length_m
    early, late = (
        steam.heat_through("roll", *roll, start_c=20, steam_c=98, target_c=reached_c + by).fast_min
        for by in (-0.3, 0.3)
    )
    assert early < minutes < late


@pytest.mark.parametrize("bi", [0.25, 1.0, 10.0, math.inf])
def test_slab_by_finite_differences(bi):
    """The middle of a slab behind a film of that Biot number, by an explicit march."""
    for fo in (0.1, 0.4, 1.0):
        march = explicit_slab(0.02, 1.6e-7, fo * 0.02**2 / 1.6e-7, cells=40, bi=bi)
        assert conduction.centre_theta_slab(fo, bi) == pytest.approx(march, abs=0.002)


def test_fast_end_of_a_packet_by_finite_differences():
    """A 4 cm flat packet at the minutes we name: an explicit march has its middle at 85 degC within 0.1 K."""
    heating = steam.heat_through("flat packet", 0.04)
    march = explicit_slab(0.02, 1.6e-7, heating.fast_min * 60, cells=40)
    assert 98 - 78 * march == pytest.approx(85, abs=0.1)


def test_wet_wool_is_no_quicker_than_water(coolprop):
    """The fast end of the diffusivity we take, against that of water alone at 80 degC: CoolProp."""
    conductivity, density, heat = (
        coolprop.PropsSI(what, "T", 353.15, "P", 101_325, "Water") for what in "LDC"
    )
    assert max(steam.WET_WOOL_ALPHAS_M2_S) < conductivity / (density * heat)
