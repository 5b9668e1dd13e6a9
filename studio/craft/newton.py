"""Newton cooling: forwards, backwards, and fitted to readings."""

from __future__ import annotations

import math

from studio.craft.limits import above, within


def temperature(what: str, value_c: float) -> float:
    """A temperature, -50 to 200 degC; refused (ValueError) outside. **Source:** house rule.

    >>> temperature("reading", 61.0)
    61.0
    """
    return within(what, value_c, -50, 200, "degC")


def newton_minutes(start_c: float, ambient_c: float, k_per_min: float, target_c: float) -> float:
    """Minutes until a cooling thing has reached a temperature; nothing where it already has.

    t = ln((T0 - Ta) / (T - Ta)) / k

    `start_c`, `ambient_c`, `target_c`: -50 to 200 degC, target above the room. `k_per_min`: above 0 to 100.
    Returns min.
    Refused (ValueError): outside those ranges; a target at or below the room, which is never reached.

    >>> newton_minutes(80, 20, 0.1, 40)
    10.986

    **Source:** Newton's law of cooling solved for the time.
    Breaks as `newton_c` does.
    """
    for what, value in (("start temperature", start_c), ("temperature of the room", ambient_c)):
        temperature(what, value)
    temperature("temperature wanted", target_c)
    above("cooling rate", k_per_min, 0, 100, "a minute")
    if target_c <= ambient_c:
        raise ValueError(
            f"A room at {ambient_c:g} degC never cools anything to {target_c:g} degC; name a warmer target."
        )
    if start_c <= target_c:
        return 0.0
    return math.log((start_c - ambient_c) / (target_c - ambient_c)) / k_per_min
