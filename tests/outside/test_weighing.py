"""Weighing uncertainty against what two rounded readings do, as JCGM 101:2008 propagates distributions."""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy

from studio.craft import shade as weighing
from studio.craft.credibility import Prior, learn, two_sided
from studio.craft.solve import line_through


@pytest.mark.parametrize("step_g", [0.01, 0.1, 5])
def test_against_readings_drawn(step_g):
    """A million cups and nets, each shown by a scale that rounds: JCGM 101:2008, clause 7 (Monte Carlo)."""
    draw = np.random.default_rng(20261127)
    cups = draw.uniform(200, 900, 1_000_000) * step_g
    full = cups + draw.uniform(1, 90, cups.size) * step_g
    errors = (np.round(full / step_g) - np.round(cups / step_g)) * step_g - (full - cups)
    doubt = weighing.weighing_doubt(step_g)
    assert errors.std() == pytest.approx(doubt.standard_g, rel=0.005)
    assert np.quantile(np.abs(errors), 0.95) == pytest.approx(doubt.most_of_20_g, rel=0.005)


def test_against_a_convolution():
    """The densities of two roundings folded into each other on a grid, and its second moment and its middle 95 %:
    JCGM 101:2008, 5.2 (propagation of distributions), worked here by sums and by no formula of a triangle."""
    grid = 4001
    one = np.full(grid, 1 / grid)
    both = np.convolve(one, one)
    at = (np.arange(both.size) - (grid - 1)) / grid
    doubt = weighing.weighing_doubt(1)
    assert np.sqrt((both * at**2).sum()) == pytest.approx(doubt.standard_g, abs=1e-4)
    within = both[np.abs(at) <= doubt.most_of_20_g].sum()
    assert within == pytest.approx(0.95, abs=5e-4)


# What few measurements say: the same by another library.


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 7, 10, 31, 120, 2000])
@pytest.mark.parametrize("probability", [0.5, 0.9, 0.95, 0.99])
def test_students_t(probability, freedom):
    """The t that holds so much between its negative and itself: scipy's distribution, by another series."""
    assert two_sided(probability, freedom) == pytest.approx(
        scipy.stats.t.ppf((1 + probability) / 2, freedom), rel=1e-7
    )


def test_the_next_measurement_by_integration():
    """Where nine in ten of the next ones lie: the posterior of mean and spread integrated on its own by scipy, from
    the likelihood of three measurements and the belief before them, without the formula of Student's t."""
    values, believed = (112.0, 108.0, 116.0), Prior(100.0, 3.0, 10.0, 4)
    told = learn(values, believed)

    def weight(mean, log_s):
        s = math.exp(log_s)
        one = math.prod(math.exp(-((x - mean) ** 2) / (2 * s * s)) / s for x in values)
        of_mean = math.exp(-believed.weight * (mean - 100.0) ** 2 / (2 * s * s)) / s
        return one * of_mean * s**-4 * math.exp(-4 * 100.0 / (2 * s * s))

    def beyond(mean, log_s):
        return weight(mean, log_s) * scipy.stats.norm.sf(told.high, mean, math.exp(log_s))

    box = (math.log(1.5), math.log(80.0), 60.0, 150.0)
    whole, _ = scipy.integrate.dblquad(weight, *box, epsrel=1e-5)
    above, _ = scipy.integrate.dblquad(beyond, *box, epsrel=1e-5)
    assert above / whole == pytest.approx(0.05, abs=2e-4)


def test_a_weighted_line():
    """Slope, and height in the middle, of six points of unlike weight: numpy's polyfit."""
    points = [
        (0.0, 4.43, 9.0),
        (6.0, 4.21, 4.0),
        (11.0, 4.16, 7.0),
        (19.0, 3.8, 1.0),
        (24.0, 3.7, 2.0),
        (40.0, 3.1, 5.0),
    ]
    x, y, weights = np.array(points).T
    slope, base = np.polyfit(x, y, 1, w=np.sqrt(weights))
    line = line_through(points)
    assert line.slope == pytest.approx(slope, rel=1e-9)
    assert line.height == pytest.approx(base + slope * line.middle, rel=1e-9)
