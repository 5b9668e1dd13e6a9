"""Writing a number with its unit, so that `parse` reads the same value back."""

from __future__ import annotations

import math
from datetime import date
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Context, Decimal

SMALLEST = 1e-12
"""Nearer to nothing than this is shown as 0. House rule."""
COUNTED = ("rounds", "drops", "rows")
"""Units that are words, and have a singular."""
HOURS_FROM = 100
"""From so many minutes on a time is told with hours: two digits are read at a glance, three are not. House rule."""
_WRITTEN = {"degC": "°C", "degF": "°F", "degC/min": "°C/min"}
_EXACT = Context(prec=400, rounding=ROUND_HALF_EVEN)


def show(value: float, unit: str, digits: int | None = None) -> str:
    """The number with its unit as it is read at a bench, thousands set off by a space.

    value: finite, in `unit`; digits: how many significant ones, 1 to 17 (17 gives every float back exactly).
    Without it three; grams no finer than a scale's 0.01 g, but for what is less than that; minutes with two,
    from ten on whole ones, from `HOURS_FROM` on as hours. ValueError for a value that is not finite or digits
    out of range.

    >>> show(1500.0, "mL"), show(26.594, "mL/min"), show(98.312, "degC"), show(4.5, "pH"), show(12.0, "1")
    ('1 500 mL', '26.6 mL/min', '98.3 °C', 'pH 4.5', '12')
    >>> show(0.3927, "g"), show(101.5, "g"), show(0.0042, "g"), show(34.4, "min"), show(2.25, "min")
    ('0.39 g', '102 g', '0.004 g', '34 min', '2.3 min')
    >>> show(99.4, "min"), show(154.2, "min"), show(0.16, "min")
    ('99 min', '2 h 34 min', '10 s')
    >>> show(1.0, "rounds"), show(2.0, "rounds"), show(1.0, "drops")
    ('1 round', '2 rounds', '1 drop')

    **Source:** house rule; the space between thousands and before the unit by the SI Brochure, 9th ed., 5.4.
    """
    number = show_number(value, unit, digits)
    if unit == "min" and digits is None:
        return _time(value, number)
    if unit == "pH":
        return f"pH {number}"
    told = unit.removesuffix("s") if number == "1" and unit in COUNTED else unit_text(unit)
    return number if unit in ("1", "") else f"{number} {told}"


def hours_text(minutes: int) -> str:
    """Whole minutes as a wait is told in words, from `HOURS_FROM` of them on with hours.

    >>> hours_text(99), hours_text(100), hours_text(120)
    ('99 min', '1 h 40 min', '2 h')
    """
    hours, rest = divmod(minutes, 60) if minutes >= HOURS_FROM else (0, minutes)
    parts = [f"{hours} h"] * bool(hours) + [f"{rest} min"] * bool(rest or not hours)
    return " ".join(parts)


def _time(minutes: float, number: str) -> str:
    """Minutes with that number: what is less than one in seconds, what is long with hours."""
    seconds = round(60.0 * minutes)
    if 0 < seconds < 60:
        return f"{seconds} s"
    return hours_text(round(minutes)) if minutes >= HOURS_FROM - 0.5 else f"{number} min"


def unit_text(unit: str) -> str:
    """The unit as it is read, by its sign where a file names it.

    >>> unit_text("degC"), unit_text("mL")
    ('°C', 'mL')
    """
    return _WRITTEN.get(unit, unit)


def show_day(day: date) -> str:
    """A day of this year, or of one that stands beside it.

    >>> show_day(date(2026, 10, 3))
    '3 Oct'
    """
    return f"{day.day} {day:%b}"


def show_number(value: float, unit: str, digits: int | None = None) -> str:
    """The number of `show` alone, for where its unit stands once for several."""
    if digits is None and math.isfinite(value):
        digits = _digits_of(value, unit)
    if not math.isfinite(value):
        raise ValueError("Only a finite number can be shown.")
    if digits is None or not 1 <= digits <= 17:
        raise ValueError("A number is shown with 1 to 17 digits.")
    return _number(value, digits)


def show_span(low: float, high: float, unit: str) -> str:
    """From one value to another, as near as a range needs: two significant digits, from a hundred on three.

    Rounded inwards, so that what lies outside never reads as one of its ends.

    >>> show_span(19.2191, 23.49, "mL"), show_span(3.8, 4.2, "pH"), show_span(0.3534, 0.4255, "g")
    ('20 to 23 mL', 'pH 3.8 to 4.2', '0.36 to 0.42 g')
    >>> show_span(90.0, 112.6, "g"), show_span(1.0, 3.0, "rounds"), show_span(101.2, 101.4, "g")
    ('90 to 112 g', '1 to 3 rounds', '101 to 101 g')

    **Source:** house rule.
    """
    first, last = (show_number(end, unit, 3 if abs(end) >= 100 else 2) for end in _inwards(low, high))
    if unit == "pH":
        return f"pH {first} to {last}"
    return f"{first} to {last}" if unit in ("1", "") else f"{first} to {last} {unit_text(unit)}"


def _inwards(low: float, high: float) -> tuple[float, float]:
    """Both ends at the digits they are shown with, the low one rounded up and the high one down."""
    ends = []
    for end, way in ((low, ROUND_CEILING), (high, ROUND_FLOOR)):
        exact = Decimal(f"{end:.9g}")  # what floats add to the last digit is no part of an end
        finest = Decimal(1).scaleb(exact.adjusted() - (2 if abs(end) >= 100 else 1))
        ends.append(float(exact.quantize(finest, rounding=way, context=_EXACT)) if end else end)
    return (ends[0], ends[1]) if ends[0] <= ends[1] else (low, high)


def _digits_of(value: float, unit: str) -> int:
    """How many significant digits a bench reads."""
    if unit not in ("g", "min"):
        return 3
    before_point = Decimal(repr(value)).adjusted() + 1 if value else 1
    return max(1, min(3, before_point + 2)) if unit == "g" else max(2, min(3, before_point))


def _number(value: float, digits: int) -> str:
    if abs(value) < SMALLEST:
        return "0"
    # Rounded from the shortest text of the float, so that 0.125 and 2.675 round as the eye expects.
    exact = Decimal(value) if digits == 17 else Decimal(repr(value))
    text = f"{Context(digits, ROUND_HALF_EVEN).plus(exact):,f}".replace(",", " ")
    return text.rstrip("0").rstrip(".") if "." in text else text
