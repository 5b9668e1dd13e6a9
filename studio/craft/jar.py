"""What really stands in a jar: its strength, and when two jars are two lots."""

from __future__ import annotations

from studio.craft.limits import above, within

__all__ = [
    "LOT_LIMIT_PERCENT",
    "is_another_lot",
    "lot_difference_percent",
]

LOT_LIMIT_PERCENT = 5.0
"""% by which two jars of one colour may differ in strength and still be one lot (house rule)."""
_ROUNDING = 1e-9
"""Relative; a last-bit error is not a weak jar and not another lot."""


def lot_difference_percent(strength_a: float, strength_b: float) -> float:
    """How much stronger (or, below 0, weaker) the second jar of a colour is than the first.

    difference = 100 x (b - a) / a

    `strength_a`: of the first jar, above 0 to 100 g per 100 mL. `strength_b`: of the second, 0 to 100.
    Returns % of the first strength.
    Refused (ValueError): outside those ranges.

    >>> lot_difference_percent(2.0, 2.1)
    5.0

    **Source:** house rule (the first jar is the lot the second has to match).
    Breaks as a forecast of colour: how far a difference shows depends on the depth and the hue.
    """
    above("strength of the first jar", strength_a, 0, 100, "%")
    within("strength of the second jar", strength_b, 0, 100, "%")
    return 100.0 * (strength_b - strength_a) / strength_a


def is_another_lot(strength_a: float, strength_b: float, limit_percent: float = LOT_LIMIT_PERCENT) -> bool:
    """Whether two jars differ so much that what they dye should be kept apart.

    |difference| > limit

    `strength_a`, `strength_b`: as in `lot_difference_percent`. `limit_percent`: 0 to 100 %.
    Returns true above the limit; exactly at it the jars are one lot.
    Refused (ValueError): outside those ranges.

    >>> is_another_lot(2.0, 2.1), is_another_lot(2.0, 2.2)
    (False, True)

    **Source:** house rule, `LOT_LIMIT_PERCENT`.
    Breaks as `lot_difference_percent` does.
    """
    within("lot limit", limit_percent, 0, 100, "%")
    return abs(lot_difference_percent(strength_a, strength_b)) > limit_percent + 100.0 * _ROUNDING
