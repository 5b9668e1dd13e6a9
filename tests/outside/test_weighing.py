"""Weighing uncertainty against a published worked example, a draw of random numbers and hand sums."""

from __future__ import annotations

import random
import statistics

import pytest

from studio.craft import shade as weighing


@pytest.mark.parametrize(("step_g", "u_g"), [(0.01, 0.002887), (0.1, 0.028868), (1, 0.288675), (5, 1.443376)])
def test_display_step(step_g, u_g):
    """d / sqrt(12), by hand. JCGM 100:2008, F.2.2.1."""
    assert weighing.reading_uncertainty_g(step_g) == pytest.approx(u_g, abs=1e-6)


def test_half_a_gram_on_a_kitchen_scale():
    """0.5 g on a 0.1 g scale: 5.77 %, by hand, so over the limit of the house."""
    assert weighing.relative_uncertainty(0.5, 0.1) == pytest.approx(0.0577, abs=5e-5)
    assert weighing.relative_uncertainty(0.5, 0.1) > weighing.STOCK_ADVICE_LIMIT


def test_against_random_readings():
    """A display that rounds true weights to 0.1 g errs by the standard deviation we say."""
    draw = random.Random(20261125)
    weights = [draw.uniform(1, 9) for _ in range(40_000)]
    errors = [round(w, 1) - w for w in weights]
    assert statistics.pstdev(errors) == pytest.approx(weighing.reading_uncertainty_g(0.1), rel=0.02)
