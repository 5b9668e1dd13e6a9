"""A metric value in the units a dyer prefers to read: what the plan file holds is not changed by it."""

from __future__ import annotations

from typing import Literal

from studio.quantity.showing import show

UnitSystem = Literal["metric", "US"]
UNIT_SYSTEMS: tuple[UnitSystem, ...] = ("metric", "US")

_US = {
    "g": ("oz", 28.349523125),
    "mL": ("US fl oz", 29.5735295625),
    "cm": ("in", 2.54),
    "m": ("yd", 0.9144),
}
"""Exact: ounce avoirdupois, US fluid ounce, inch, yard; from memory, and held against pint in the tests."""


def preferred(value: float, unit: str, system: UnitSystem) -> str:
    """The value in the preferred units, `3.53 oz`; as it is where the system has none for its unit.

    value: finite, in `unit` (g, mL, cm, m, degC or any other). ValueError where it is not finite.

    >>> preferred(100.0, "g", "US"), preferred(40.0, "degC", "US"), preferred(100.0, "g", "metric")
    ('3.53 oz', '104 degF', '100 g')

    **Source:** definitions from memory, held against pint in the tests; degF = 1.8 degC + 32.
    """
    if system == "US" and unit == "degC":
        return show(1.8 * value + 32.0, "degF")
    if system == "US" and unit in _US:
        name, size = _US[unit]
        return show(value / size, name)
    return show(value, unit)
