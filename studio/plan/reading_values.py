"""Values that several tables of a plan hold: a pH, an amount of acid."""

from __future__ import annotations

from studio.plan.errors import PlanError
from studio.plan.keys import Keys
from studio.quantity import Quantity


def read_ph(keys: Keys, key: str, low: float, high: float) -> Quantity | None:
    """A pH, written as a number or as text."""
    value = keys.raw(key)
    if isinstance(value, str) or value is None:
        return keys.measure(key, "ph", low=low, high=high)
    number = keys.number(key, low, high, "4.0")
    return None if number is None else Quantity(number, "1", f"{number:g}")


def read_amount(keys: Keys) -> Quantity | None:
    """Acid by volume or by weight; which of the two fits is known once the acid is."""
    try:
        return keys.measure("acid_amount", "volume", high=20_000.0)
    except PlanError as by_volume:
        try:
            return keys.measure("acid_amount", "mass", high=20_000.0)
        except PlanError:
            raise by_volume from None
