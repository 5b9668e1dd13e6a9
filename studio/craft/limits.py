"""Refusals of a value outside the range a formula is good for, as one plain sentence."""

from __future__ import annotations

import math


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


def fibre_weight(value_g: float) -> float:
    """A weight of fibre in g, 0 to `MOST_FIBRE_G`; refused (ValueError) outside. **Source:** house rule.

    >>> fibre_weight(100.0)
    100.0
    """
    return within("weight of fibre", value_g, 0, MOST_FIBRE_G, "g")


def liquid_volume(what: str, value_ml: float) -> float:
    """A volume in mL, 0 to `MOST_LIQUID_ML`; refused (ValueError) outside. **Source:** house rule.

    >>> liquid_volume("volume of stock", 454.0)
    454.0
    """
    return within(what, value_ml, 0, MOST_LIQUID_ML, "mL")
