"""How far a value is off another: in per cent of it, or in its own unit where per cent would mean nothing."""

from __future__ import annotations

from studio.quantity import show
from studio.session.comparing import NO_PER_CENT

LEAST_PERCENT, MOST_PERCENT = 0.05, 99_999
"""Less would be written as 0.0; more has no room in a column, and nothing to say. House rule."""


def off_by(value: float | None, of: float | None, unit: str) -> str:
    """`+4.5 %`, `-2` for degrees, pH, rounds and ratings; empty where it is nothing, or one of the two is missing.

    Two values that read alike are not off by anything.

    >>> off_by(104.5, 100.0, "g"), off_by(38.0, 40.0, "degC"), off_by(3.0, 0.0, "mL"), off_by(0.39, 0.3927, "g")
    ('+4.5 %', '-2', '', '')
    """
    if value is None or of is None or show(value, unit) == show(of, unit):
        return ""
    if unit in NO_PER_CENT:
        by = round(value - of, 2)
        return f"{by:+g}" if by else ""
    percent = max(-MOST_PERCENT, min(100 * (value - of) / abs(of), MOST_PERCENT)) if of else 0.0
    if abs(percent) < LEAST_PERCENT:
        return ""
    return f"{percent:+.1f} %" if abs(percent) < 100 else f"{percent:+.0f} %"
