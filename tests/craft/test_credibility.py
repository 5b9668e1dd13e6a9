"""Few measurements beside a default: tables of t, the two published formulas, and histories of known truth."""

from __future__ import annotations

import math
import statistics

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.craft.credibility import Prior, learn, two_sided

# Two-sided 90 % and 95 % points of t. Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2,
# critical values of Student's t, columns 0.95 and 0.975.
NIST = [
    (1, 6.314, 12.706),
    (2, 2.920, 4.303),
    (3, 2.353, 3.182),
    (4, 2.132, 2.776),
    (5, 2.015, 2.571),
    (10, 1.812, 2.228),
    (21, 1.721, 2.080),
    (30, 1.697, 2.042),
    (50, 1.676, 2.009),
    (100, 1.660, 1.984),
]


@pytest.mark.parametrize(("freedom", "ninety", "ninety_five"), NIST)
def test_t_is_that_of_the_tables(freedom: int, ninety: float, ninety_five: float) -> None:
    assert two_sided(0.90, freedom) == pytest.approx(ninety, abs=6e-4)
    assert two_sided(0.95, freedom) == pytest.approx(ninety_five, abs=6e-4)


@pytest.mark.parametrize("freedom", [1, 2, 3, 8, 25])
def test_the_sum_is_the_integral_of_the_density(freedom: int) -> None:
    """Student's density (Biometrika 6, 1908), integrated by numpy: nothing of the finite sums."""
    t = np.linspace(0.0, two_sided(0.9, freedom), 20_001)
    log_top = math.lgamma((freedom + 1) / 2) - math.lgamma(freedom / 2) - 0.5 * math.log(freedom * math.pi)
    density = np.exp(log_top) * (1 + t**2 / freedom) ** (-(freedom + 1) / 2)
    assert 2 * float(np.trapezoid(density, t)) == pytest.approx(0.9, abs=1e-7)


def test_with_much_freedom_t_is_normal() -> None:
    assert two_sided(0.9, 9_000) == pytest.approx(statistics.NormalDist().inv_cdf(0.95), abs=3e-4)


def test_the_estimate_is_that_of_two_normals() -> None:
    """Conjugate normal with known variances: precisions add (Gelman et al. 2013, section 2.5). A default weight of
    k measurements is a prior variance of sigma2 / k."""
    values, default, weight, sigma2 = [112.0, 108.0, 116.0, 97.5], 100.0, 2.5, 144.0
    tau2 = sigma2 / weight
    by_precision = (default / tau2 + sum(values) / sigma2) / (1 / tau2 + len(values) / sigma2)
    assert learn(values, Prior(default, weight, 12.0, 4)).estimate == pytest.approx(by_precision)


def test_the_interval_is_that_of_the_posterior_worked_out_on_a_grid() -> None:
    """Prior times likelihood over a grid of means and variances by numpy, and the next value's distribution from it:
    the definition of a posterior predictive, with none of the closed form. The prior is the scaled inverse chi
    square of Gelman et al. 2013, section 3.3."""
    values, prior = [7.0, 9.0, 8.5], Prior(6.0, 2.0, 1.0, 4)
    told = learn(values, prior, 0.9)
    mu = np.linspace(0.0, 16.0, 401)[:, None]
    v = np.exp(np.linspace(math.log(0.05), math.log(60.0), 401))[None, :]
    log_p = -(prior.spread_weight / 2 + 1) * np.log(v) - prior.spread_weight * prior.spread**2 / (2 * v)
    log_p = log_p - 0.5 * np.log(v) - prior.weight * (mu - prior.default) ** 2 / (2 * v)
    for value in values:
        log_p = log_p - 0.5 * np.log(v) - (value - mu) ** 2 / (2 * v)
    weight = np.exp(log_p - log_p.max()) * v  # the grid is even in log v
    weight /= weight.sum()
    assert float((weight * mu).sum()) == pytest.approx(told.estimate, abs=1e-3)
    erf = np.vectorize(math.erf)
    for end, share in ((told.low, 0.05), (told.high, 0.95)):
        below = 0.5 * (1 + erf((end - mu) / np.sqrt(2 * v)))
        assert float((weight * below).sum()) == pytest.approx(share, abs=2e-3)


def test_one_by_one_is_the_same_as_all_at_once() -> None:
    """A posterior is the next one's prior (Gelman et al. 2013, section 2.1), done here by the recursion alone."""
    values = [3.1, 2.4, 2.9, 3.6, 2.2]
    m, k, nu, ss = 2.0, 1.5, 4, 4 * 0.5**2
    for x in values:
        ss += k / (k + 1) * (x - m) ** 2
        m, k, nu = (k * m + x) / (k + 1), k + 1, nu + 1
    told = learn(values, Prior(2.0, 1.5, 0.5, 4), 0.9)
    half = two_sided(0.9, nu) * math.sqrt(ss / nu * (1 + 1 / k))
    assert (told.estimate, told.high - told.estimate) == pytest.approx((m, half))


measurements = st.lists(st.floats(-1e6, 1e6), max_size=50)
priors = st.builds(
    Prior, st.floats(-1e6, 1e6), st.floats(0.01, 100), st.floats(1e-3, 1e5), st.integers(1, 50)
)


@given(measurements, priors)
def test_it_never_leaves_what_default_and_measurements_span(values: list[float], prior: Prior) -> None:
    told = learn(values, prior)
    ends = [prior.default, *values]
    assert min(ends) <= told.estimate <= max(ends)
    assert told.low <= told.estimate <= told.high
    assert 0 <= told.credibility < 1
    assert (told.n, told.credibility == 0) == (len(values), not values)


@given(measurements, priors, st.randoms())
def test_the_order_does_not_matter(values: list[float], prior: Prior, chance) -> None:
    mixed = list(values)
    chance.shuffle(mixed)
    assert learn(mixed, prior).estimate == pytest.approx(learn(values, prior).estimate, rel=1e-9, abs=1e-6)


@given(st.lists(st.floats(50, 200), min_size=1, max_size=20), st.floats(0.1, 10))
def test_another_unit_gives_the_same_answer(values: list[float], factor: float) -> None:
    told = learn(values, Prior(100, 2, 10, 4))
    other = learn([factor * v for v in values], Prior(100 * factor, 2, 10 * factor, 4))
    assert (other.estimate, other.low, other.high) == pytest.approx(
        tuple(factor * x for x in (told.estimate, told.low, told.high))
    )


@given(st.floats(50, 200), st.integers(1, 30))
def test_more_of_the_same_lies_nearer_to_it(value: float, n: int) -> None:
    prior = Prior(100, 3, 10, 4)
    near, nearer = (abs(learn([value] * count, prior).estimate - value) for count in (n, n + 1))
    assert nearer <= near + 1e-9


def test_the_error_falls_as_sessions_grow_as_credibility_theory_says() -> None:
    """4000 studios whose truth is known. The quadratic error of the credibility estimator is (1 - Z) times the
    variance between the studios (Buehlmann and Gisler 2005, theorem 2.7 and its corollary); it is never larger than
    that of the default alone or of the studio's mean alone."""
    chance = np.random.default_rng(20260912)
    between_sd, within_sd, studios = 10.0, 15.0, 4000
    prior = Prior(100.0, (within_sd / between_sd) ** 2, within_sd, 4)
    truth = chance.normal(100.0, between_sd, studios)
    errors = []
    for n in (0, 1, 3, 10, 40):
        seen = truth[:, None] + chance.normal(0.0, within_sd, (studios, n))
        told = np.array([learn([float(x) for x in row], prior).estimate for row in seen])
        error = float(np.mean((told - truth) ** 2))
        share = n / (n + prior.weight)
        assert error == pytest.approx((1 - share) * between_sd**2, rel=0.1)
        assert error < 1.06 * between_sd**2 and (n == 0 or error < within_sd**2 / n)
        errors.append(error)
    assert errors == sorted(errors, reverse=True) and errors[-1] < errors[0] / 15


@pytest.mark.parametrize("n", [0, 2, 8, 30])
def test_nine_in_ten_next_measurements_lie_in_the_interval(n: int) -> None:
    """Where spread and distance are as the prior expects, by drawing truth and variance from that very prior."""
    chance = np.random.default_rng(7)
    prior, hits, studios = Prior(100.0, 2.0, 10.0, 6), 0, 3000
    for _ in range(studios):
        variance = prior.spread_weight * prior.spread**2 / chance.chisquare(prior.spread_weight)
        truth = chance.normal(prior.default, math.sqrt(variance / prior.weight))
        *seen, after = chance.normal(truth, math.sqrt(variance), n + 1)
        told = learn([float(x) for x in seen], prior, 0.9)
        hits += told.low <= after <= told.high
    # Three standard deviations of a count out of 3000.
    assert hits / studios == pytest.approx(0.9, abs=3 * math.sqrt(0.9 * 0.1 / studios))


@pytest.mark.parametrize(
    "refused",
    [
        lambda: learn([1.0], Prior(math.nan, 1, 1, 1)),
        lambda: learn([1.0], Prior(1, 0, 1, 1)),
        lambda: learn([1.0], Prior(1, 1, 0, 1)),
        lambda: learn([1.0], Prior(1, 1, 1, 0)),
        lambda: learn([math.inf], Prior(1, 1, 1, 1)),
        lambda: learn([1.0], Prior(1, 1, 1, 1), 1.0),
        lambda: two_sided(0.5, 0),
    ],
)
def test_what_makes_no_sense_is_refused(refused) -> None:
    with pytest.raises(ValueError, match="must be"):
        refused()
