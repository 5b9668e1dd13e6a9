"""What few measurements of one's own say beside a default that others have found: shrinkage, and Student's
t.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

import msgspec

from studio.craft.limits import above, within
from studio.craft.solve import root_between

# What few measurements of one's own say beside a default that others have found: a mean with shrinkage.


@lru_cache(maxsize=512)
def two_sided(probability: float, freedom: int) -> float:
    """The t between whose negative and itself that probability lies.

    the finite sum of P(-t < T < t) over the angle arctan(t / sqrt(freedom)), solved for the angle

    `probability`: 0 up to, not including, 1. `freedom`: degrees of freedom, 1 to 10 000.
    Returns t, 0 or more.
    Refused (ValueError): outside those ranges.

    >>> two_sided(0.95, 10)
    2.228

    **Source:** M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, NBS 1964, 26.7.3 and 26.7.4;
    tables of t in any handbook, 2.228 for 95 % and 10 degrees of freedom.
    """
    within("probability", probability, 0, math.nextafter(1.0, 0.0))
    within("degrees of freedom", freedom, 1, 10_000)
    theta = root_between(lambda turned: _between(turned, freedom) - probability, 0.0, math.pi / 2)
    return math.sqrt(freedom) * math.tan(theta)


def _between(theta: float, freedom: int) -> float:
    sine, square = math.sin(theta), math.cos(theta) ** 2
    odd = freedom % 2
    if freedom == 1:
        return 2 * theta / math.pi
    term = math.cos(theta) if odd else 1.0
    total = term
    for k in range(2 if odd else 1, freedom - 2, 2):
        term *= square * k / (k + 1)
        total += term
    return 2 / math.pi * (theta + sine * total) if odd else sine * total


MOST_VALUES = 9_000
"""More than a studio ever measures of one thing (house rule; keeps the degrees of freedom in their range)."""


class Prior(msgspec.Struct, frozen=True):
    """What is believed before anything was measured.

    `default`: the value. `weight`: it counts as much as so many measurements, above 0 to 1000.
    `spread`: standard deviation from one measurement to the next that is expected, above 0.
    `spread_weight`: that expectation counts as much as so many measurements, 1 to 1000, whole.

    >>> Prior(100.0, 2.0, 15.0, 4).default
    100.0

    **Source:** the parameters mu0, kappa0, sigma0 and nu0 of the conjugate prior in A. Gelman et al., Bayesian
    Data Analysis, 3rd ed. 2013, section 3.3 (from memory).
    """

    default: float
    weight: float
    spread: float
    spread_weight: int


class Learned(msgspec.Struct, frozen=True):
    """A mean with shrinkage.

    `estimate`: between the default and the measurements' mean. `low`, `high`: the next measurement lies there
    with the probability that was asked for. `n`: measurements. `mean`: of the measurements, the default where
    there are none. `credibility`: share of the estimate that is their own, 0 to below 1.

    **Source:** see `learn`.
    """

    estimate: float
    low: float
    high: float
    n: int
    mean: float
    credibility: float


def learn(values: Sequence[float], prior: Prior, probability: float = 0.9) -> Learned:
    """The mean of one's own measurements, drawn towards a default while they are few.

    Z = n / (n + k0), estimate = Z mean + (1 - Z) default; the next measurement lies within
    estimate -+ t(nu0 + n) s sqrt(1 + 1 / (k0 + n)), where
    s^2 = (nu0 s0^2 + sum (x - mean)^2 + k0 n / (k0 + n) (mean - default)^2) / (nu0 + n)

    `values`: up to 9000 measurements, finite. `prior`: default, its weight k0, expected spread s0 and its weight
    nu0. `probability`: of the interval, 0 up to, not including, 1.
    Returns `Learned`, in the unit of the values; without values the default and what it makes expect. The
    estimate never leaves the range that the default and the values span.
    Refused (ValueError): outside those ranges.

    >>> told = learn([112.0, 108.0, 116.0], Prior(100.0, 3.0, 10.0, 4))
    >>> told.estimate, round(told.low, 1), round(told.high, 1), told.credibility
    (106.0, 86.3, 125.7, 0.5)

    **Source:** estimate: Buehlmann credibility, H. Buehlmann and A. Gisler, A Course in Credibility Theory,
    Springer 2005, theorem 3.2 (from memory), k0 being the ratio of the variance within to that between; the same
    mean and the interval: conjugate normal with unknown variance, Gelman et al. 2013, section 3.3 (from memory).
    Breaks where the measurements drift (a new pot) or come in clumps: old ones then count as much as new ones.
    """
    within("default", prior.default, -1e12, 1e12)
    above("weight of the default", prior.weight, 0, 1000)
    above("expected spread", prior.spread, 0, 1e12)
    within("weight of the expected spread", prior.spread_weight, 1, 1000)
    n = len(values)
    within("number of measurements", n, 0, MOST_VALUES)
    for value in values:
        within("measurement", value, -1e12, 1e12)
    mean = math.fsum(values) / n if n else prior.default
    credibility = n / (n + prior.weight)
    ends = (prior.default, *values)
    estimate = min(max(prior.default + credibility * (mean - prior.default), min(ends)), max(ends))
    freedom = prior.spread_weight + n
    within_them = math.fsum((value - mean) ** 2 for value in values)
    to_default = prior.weight * credibility * (mean - prior.default) ** 2
    variance = (prior.spread_weight * prior.spread**2 + within_them + to_default) / freedom
    half = two_sided(probability, freedom) * math.sqrt(variance * (1 + 1 / (prior.weight + n)))
    return Learned(estimate, estimate - half, estimate + half, n, mean, credibility)
