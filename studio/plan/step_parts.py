"""What the stages of a procedure are put together from."""

from __future__ import annotations

from typing import TypedDict

MOST_ITEMS = 9
"""More items than this are skimmed instead of read. **Source:** Degani & Wiener, Human Factors 35(2), 1993."""
WEIGHT_SLACK = 0.1
"""A weighing or pouring off by more than a tenth is asked about once. House rule."""


class Expected(TypedDict):
    """What a measured step expects, in its unit."""

    expected: float
    low: float
    high: float


def near(expected: float) -> Expected:
    """Expected value and the range outside which the bench asks once."""
    return {
        "expected": expected,
        "low": expected * (1 - WEIGHT_SLACK),
        "high": expected * (1 + WEIGHT_SLACK),
    }
