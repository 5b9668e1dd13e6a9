"""Refusals of a value outside the range a formula is good for, as one plain sentence."""

from __future__ import annotations

import math

import msgspec
from msgspec.structs import replace


def within(what: str, value: float, low: float, high: float, unit: str = "") -> float:
    """Give `value` back if low <= value <= high.

    `what` names the value for a person (`weight of fibre`), `unit` is written after the limits.
    Refused (ValueError): anything outside, and nan.
    **Source:** house rule; each caller says where its limits come from.

    >>> within("depth of shade", 1.5, 0, 20, "%")
    1.5
    >>> within("depth of shade", 25, 0, 20, "%")
    Traceback (most recent call last):
    ValueError: The depth of shade must be from 0 to 20 %, not 25.
    """
    if not low <= value <= high:
        limits = f"from {low:g} to {high:g}" if math.isfinite(high) else f"{low:g} or more"
        raise ValueError(f"The {what} must be {limits}{' ' + unit if unit else ''}, not {value:g}.")
    return value


def above(what: str, value: float, low: float, high: float, unit: str = "") -> float:
    """Give `value` back if low < value <= high; used where the value is divided by.

    Refused (ValueError): anything outside, and nan.
    **Source:** house rule; each caller says where its limits come from.

    >>> above("strength of the stock", 0.0, 0, 100, "%")
    Traceback (most recent call last):
    ValueError: The strength of the stock must be more than 0 and at most 100 %, not 0.
    """
    if not low < value <= high:
        upper = f" and at most {high:g}" if math.isfinite(high) else ""
        raise ValueError(
            f"The {what} must be more than {low:g}{upper}{' ' + unit if unit else ''}, not {value:g}."
        )
    return value


MOST_FIBRE_G = 100_000.0
"""g; ten times the largest lot a kitchen-sized studio handles (house rule, catches a slipped unit)."""

MOST_LIQUID_ML = 1_000_000.0
"""mL; a cubic metre (house rule, catches a slipped unit)."""


class Range(msgspec.Struct, frozen=True):
    """What a parameter of several formulas may be: its name for a person, its limits and their unit.

    Called with a value it gives it back. Refused (ValueError): anything outside, and nan; the lower limit too where
    `positive`, for the value is divided by.
    **Source:** house rules that catch a slipped unit, where no other stands beside them.

    >>> FIBRE_G(100.0)
    100.0
    """

    what: str
    low: float
    high: float
    unit: str = ""
    positive: bool = False

    def __call__(self, value: float) -> float:
        check = above if self.positive else within
        return check(self.what, value, self.low, self.high, self.unit)


FIBRE_G = Range("weight of fibre", 0, MOST_FIBRE_G, "g")
SOME_FIBRE_G = replace(FIBRE_G, positive=True)
POT_G = Range("weight of the pot", 0, 100_000, "g")
HOB_W = Range("power of the hob", 0, 20_000, "W")
LIT_HOB_W = replace(HOB_W, positive=True)
SHARE_OF_HEAT = Range("efficiency", 0, 1)
EFFICIENCY = replace(SHARE_OF_HEAT, positive=True)
BOIL_OFF_ML_MIN = Range("boil-off", 0, 10_000, "mL/min")
BOIL_C = Range("boiling point", 65, 120, "°C")
HOLD_MIN = Range("hold", 0, 10_000, "min")
THICKNESS_M = Range("thickness", 0, 1, "m", positive=True)
REFLECTANCE = Range("reflectance", 0, 1)


def liquid_volume(what: str, value_ml: float) -> float:
    """A volume in mL, 0 to `MOST_LIQUID_ML`; refused (ValueError) outside. **Source:** house rule.

    >>> liquid_volume("volume of stock", 454.0)
    454.0
    """
    return within(what, value_ml, 0, MOST_LIQUID_ML, "mL")
