"""Writing a number with its unit, so that `parse` reads the same value back."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_EVEN, Context, Decimal

SMALLEST = 1e-12
"""Nearer to nothing than this is shown as 0. House rule."""
_EXACT = Context(prec=400, rounding=ROUND_HALF_EVEN)


def show(value: float, unit: str, digits: int = 3) -> str:
    """The number to `digits` significant digits with its unit, thousands set off by a space.

    value: finite, in `unit`; digits: 1 to 17 (17 gives every float back exactly).
    ValueError for a value that is not finite or digits out of range.

    >>> show(1500.0, "mL"), show(26.594, "mL/min"), show(98.312, "degC"), show(4.5, "pH"), show(12.0, "1")
    ('1 500 mL', '26.6 mL/min', '98.3 degC', 'pH 4.5', '12')

    **Source:** house rule; the space between thousands and before the unit by the SI Brochure, 9th ed., 5.4.
    """
    if not math.isfinite(value):
        raise ValueError("Only a finite number can be shown.")
    if not 1 <= digits <= 17:
        raise ValueError("A number is shown with 1 to 17 digits.")
    number = _number(value, digits)
    if unit == "pH":
        return f"pH {number}"
    return number if unit in ("1", "") else f"{number} {unit}"


def _number(value: float, digits: int) -> str:
    if abs(value) < SMALLEST:
        return "0"
    # Rounded from the shortest text of the float, so that 0.125 and 2.675 round as the eye expects.
    exact = Decimal(value) if digits == 17 else Decimal(repr(value))
    rounded = exact.quantize(Decimal(1).scaleb(exact.adjusted() - digits + 1), context=_EXACT)
    text = f"{rounded:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    whole, dot, part = text.partition(".")
    return f"{int(whole):,}".replace(",", " ") + dot + part if not whole.startswith("-0") else text
