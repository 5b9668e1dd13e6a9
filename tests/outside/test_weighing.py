"""Weighing uncertainty against a published worked example, a draw of random numbers and hand sums."""

from __future__ import annotations

import random
import statistics

import pytest

from studio.craft import weighing


def test_tartu_balance_example():
    """Repeatability 0.00017 g, drift within 0.0002, readability within 0.00005: u = 0.000207525 g on 0.3240 g.
    University of Tartu, GUM Workbench example of a weighing."""
    parts = [
        0.00017,
        weighing.half_width_uncertainty(0.0002),
        weighing.half_width_uncertainty(0.00005),
    ]
    assert weighing.combined_uncertainty(parts) == pytest.approx(0.000207525, abs=1e-9)


def test_readability_as_a_full_width():
    """The same readability read as a display step of 0.0001 g: half width and full width agree (GUM F.2.2.1)."""
    half, full = weighing.half_width_uncertainty(0.00005), weighing.reading_uncertainty_g(0.0001)
    assert half == pytest.approx(full)


@pytest.mark.parametrize(("step_g", "u_g"), [(0.01, 0.002887), (0.1, 0.028868), (1, 0.288675), (5, 1.443376)])
def test_display_step(step_g, u_g):
    """d / sqrt(12), by hand. JCGM 100:2008, F.2.2.1."""
    assert weighing.reading_uncertainty_g(step_g) == pytest.approx(u_g, abs=1e-6)


def test_tare_and_load():
    """Difference of two readings, d = 0.1 g: d / sqrt(6) = 0.040825 g, by hand."""
    assert weighing.reading_uncertainty_g(0.1, readings=2) == pytest.approx(0.040825, abs=1e-6)


def test_half_a_gram_on_a_kitchen_scale():
    """0.5 g on a 0.1 g scale: 5.77 %, by hand, so over the limit of the house."""
    assert weighing.relative_uncertainty(0.5, 0.1) == pytest.approx(0.0577, abs=5e-5)
    assert weighing.relative_uncertainty(0.5, 0.1) > weighing.STOCK_ADVICE_LIMIT


def test_stock_of_a_gram():
    """1.0 g (d 0.1) in 100 mL (within 1 mL): relative u 2.944 %, by hand and by 200 000 random draws elsewhere."""
    by_weight = weighing.relative_uncertainty(1.0, 0.1)
    by_volume = weighing.half_width_uncertainty(1.0) / 100
    assert weighing.combined_uncertainty([by_weight, by_volume]) == pytest.approx(0.02944, abs=5e-6)


def test_against_random_readings():
    """A display that rounds true weights to 0.1 g errs by the standard deviation we say, tare read or not."""
    draw = random.Random(20261125)
    weights = [draw.uniform(1, 9) for _ in range(40_000)]
    tares = [draw.uniform(1, 9) for _ in range(40_000)]
    errors = [round(w, 1) - w for w in weights]
    net_errors = [error - (round(t, 1) - t) for error, t in zip(errors, tares, strict=True)]
    assert statistics.pstdev(errors) == pytest.approx(weighing.reading_uncertainty_g(0.1), rel=0.02)
    assert statistics.pstdev(net_errors) == pytest.approx(weighing.reading_uncertainty_g(0.1, 2), rel=0.02)
