"""Weighing uncertainty against what two rounded readings do, as JCGM 101:2008 propagates distributions."""

from __future__ import annotations

import numpy as np
import pytest

from studio.craft import shade as weighing


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
