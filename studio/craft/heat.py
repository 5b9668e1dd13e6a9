"""Cooling of a bath, minutes above a temperature, and when the middle can be hot through lost steam."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from studio.craft.limits import above, within
from studio.craft.steam import Heating

# Cooling in air by Newton's law, and how long readings stayed above a temperature.


def temperature(what: str, value_c: float) -> float:
    """A temperature, -50 to 200 degC; refused (ValueError) outside. **Source:** house rule.

    >>> temperature("reading", 61.0)
    61.0
    """
    return within(what, value_c, -50, 200, "°C")


def newton_minutes(start_c: float, ambient_c: float, k_per_min: float, target_c: float) -> float:
    """Minutes until a cooling thing has reached a temperature; nothing where it already has.

    t = ln((T0 - Ta) / (T - Ta)) / k

    `start_c`, `ambient_c`, `target_c`: -50 to 200 degC, target above the room. `k_per_min`: above 0 to 100.
    Returns min.
    Refused (ValueError): outside those ranges; a target at or below the room, which is never reached.

    >>> newton_minutes(80, 20, 0.1, 40)
    10.986

    **Source:** Newton's law of cooling solved for the time.
    Breaks where the thing is thick: its middle lags behind, and stays hot longer than one exponential says.
    """
    for what, value in (("start temperature", start_c), ("temperature of the room", ambient_c)):
        temperature(what, value)
    temperature("temperature wanted", target_c)
    above("cooling rate", k_per_min, 0, 100, "a minute")
    if target_c <= ambient_c:
        raise ValueError(
            f"A room at {ambient_c:g} °C never cools anything to {target_c:g} °C; name a warmer target."
        )
    if start_c <= target_c:
        return 0.0
    return math.log((start_c - ambient_c) / (target_c - ambient_c)) / k_per_min


WOOL_J_G_K = 1.36
"""J/(g K), dry wool: Morton and Hearle, Physical Properties of Textile Fibres (from memory)."""
STILL_AIR_W_M2_K = 10.0
"""W/(m2 K), a warm thing in a still room, radiation included (estimate; Incropera gives 2 to 25 for free
convection in gases, from memory)."""


def minutes_at_or_above(readings: Sequence[tuple[float, float]], strike_c: float) -> float:
    """Minutes that logged readings stayed at or above a temperature.

    straight line between readings; the time of each stretch that lies at or above the strike temperature

    `readings`: (minute, degC) pairs in order of time. `strike_c`: -50 to 200 degC.
    Returns min; 0 for fewer than two readings.
    Refused (ValueError): readings out of order, values out of range.

    >>> minutes_at_or_above([(0, 80), (10, 100), (20, 80)], 90)
    10.0

    **Source:** house rule (straight line between readings).
    Breaks where readings are far apart: a dip between two of them goes unseen.
    """
    temperature("strike temperature", strike_c)
    total_min = 0.0
    for (minute_1, c_1), (minute_2, c_2) in pairwise(readings):
        temperature("reading", c_1)
        temperature("reading", c_2)
        if not minute_1 <= minute_2 < math.inf:
            raise ValueError("The readings are not in order of time; sort them by minute.")
        high_c, low_c = max(c_1, c_2), min(c_1, c_2)
        if low_c >= strike_c:
            total_min += minute_2 - minute_1
        elif high_c > strike_c:
            total_min += (minute_2 - minute_1) * (high_c - strike_c) / (high_c - low_c)
    return total_min


# Heat a packet really had: minutes at the strike, the middle hot, and the hold through lost steam.

# Stretches of time, each (from, to) in minutes on one clock; the last may go on (to = infinity).
Stretch = tuple[float, float]


def in_order(what: str, stretches: Sequence[Stretch]) -> Sequence[Stretch]:
    """Give `stretches` back if each ends at or after its start and begins at or after the end before.

    `what` names them for a person (`steam`). Each start is finite; only the last may end at infinity.
    Refused (ValueError): anything else, and nan.
    **Source:** house rule.

    >>> in_order("steam", [(0, 12), (20, 30)])
    [(0, 12), (20, 30)]
    >>> in_order("steam", [(0, 12), (10, 30)])
    Traceback (most recent call last):
    ValueError: The times of the steam overlap or run backwards near minute 10; give them in order.
    """
    end = -math.inf
    for start, stop in stretches:
        if not (math.isfinite(start) and end <= start <= stop):
            raise ValueError(
                f"The times of the {what} overlap or run backwards near minute {start:g}; give them in order."
            )
        end = stop
    return stretches


def minutes_within(stretches: Sequence[Stretch], begin_min: float, end_min: float) -> float:
    """Minutes of the stretches that fall between two times.

    sum(max(0, min(to, end) - max(from, begin)))

    `stretches`: as `in_order` accepts them. `begin_min`, `end_min`: minutes on the same clock.
    Returns min; 0 where the end is before the beginning.
    Refused (ValueError): nothing here; callers check their stretches with `in_order`.

    >>> minutes_within([(0, 12), (20, 30)], 10, 25)
    7.0

    **Source:** arithmetic.
    """
    return math.fsum(max(0.0, min(stop, end_min) - max(start, begin_min)) for start, stop in stretches)


LOSS_WITHOUT_REHEATING_MIN = 5.0
"""min steam may be lost before the packet counts as cooled (house rule)."""
REHEATING_MIN = 5.0
"""min added to the hold for each longer loss (house rule)."""


def earliest_centre(heating: Heating, rolling: Sequence[Stretch]) -> Heating:
    """Clock minutes at which the middle of a packet can be hot, through interruptions of the steam.

    the minute at which the steam has rolled for heating.fast_min, and for heating.slow_min and `REHEATING_MIN` after
    each loss longer than `LOSS_WITHOUT_REHEATING_MIN`, in all

    `heating`: minutes of rolling steam it takes, from `steam.heat_through` for this packet. `rolling`: (from,
    to) minutes of rolling steam, in order; let the last end at infinity to ask when, if the steam goes on.
    Returns `Heating` in minutes of that clock; infinite where the steam so far is not enough.
    Refused (ValueError): times out of order, heating minutes below 0.

    >>> earliest_centre(Heating(16.0, 26.0), [(10, 20), (25, math.inf)])
    Heating(fast_min=31.0, slow_min=41.0)

    **Source:** estimate: heating is taken to pause while the steam is off (house rule).
    Breaks both ways. In a short stop the middle goes on warming from the layers around it, so it is hot a
    little sooner; a long one costs it more than it lasted, which the slow end counts as the hold does.
    """
    in_order("steam", rolling)
    within("time to heat through", heating.fast_min, 0, math.inf, "min")
    within("time to heat through", heating.slow_min, heating.fast_min, math.inf, "min")
    return Heating(
        _minute_when_rolled(rolling, heating.fast_min),
        _minute_when_rolled(rolling, heating.slow_min, REHEATING_MIN),
    )


def _minute_when_rolled(rolling: Sequence[Stretch], wanted_min: float, reheating_min: float = 0.0) -> float:
    rolled_min, since_min = 0.0, -math.inf
    for start_min, stop_min in rolling:
        if math.isfinite(since_min) and start_min - since_min > LOSS_WITHOUT_REHEATING_MIN:
            wanted_min += reheating_min
        since_min = stop_min
        if rolled_min + (stop_min - start_min) >= wanted_min:
            return start_min + (wanted_min - rolled_min)
        rolled_min += stop_min - start_min
    return math.inf
