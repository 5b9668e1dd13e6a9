"""Newton cooling: forwards, backwards, and fitted to readings."""

from __future__ import annotations

import math
from collections.abc import Sequence

from studio.craft.limits import above, within


def temperature(what: str, value_c: float) -> float:
    """A temperature, -50 to 200 degC; refused (ValueError) outside. **Source:** house rule.

    >>> temperature("reading", 61.0)
    61.0
    """
    return within(what, value_c, -50, 200, "degC")


def newton_c(start_c: float, ambient_c: float, k_per_min: float, minutes: float) -> float:
    """Temperature of a thing cooling in a room.

    T = Ta + (T0 - Ta) exp(-k t)

    `start_c`, `ambient_c`: -50 to 200 degC (any one scale will do). `k_per_min`: 0 to 100 a minute.
    `minutes`: 0 to 100 000.
    Returns degC.
    Refused (ValueError): outside those ranges.

    >>> newton_c(100, 20, 0.1, 0)
    100.0

    **Source:** Newton's law of cooling, any heat transfer text; check values in the tests name theirs.
    Breaks for hot wet cloth left open: evaporation cools it faster than this while it is hot.
    """
    temperature("start temperature", start_c)
    temperature("temperature of the room", ambient_c)
    within("cooling rate", k_per_min, 0, 100, "a minute")
    within("time", minutes, 0, 100_000, "min")
    return ambient_c + (start_c - ambient_c) * math.exp(-k_per_min * minutes)


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


def newton_k(start_c: float, ambient_c: float, reading_c: float, minutes: float) -> float:
    """Cooling rate from one later reading.

    k = ln((T0 - Ta) / (T - Ta)) / t

    `start_c`, `ambient_c`, `reading_c`: -50 to 200 degC, room < reading <= start (or the reverse, warming).
    `minutes`: above 0 to 100 000.
    Returns 1/min.
    Refused (ValueError): outside those ranges; a reading beyond the start or at or past the room.

    >>> newton_k(95, 20, 61, 30)
    0.0201

    **Source:** Newton's law of cooling solved for the rate.
    Breaks if the reading is of the surface: the middle of a packet lags behind it.
    """
    for what, value in (("start temperature", start_c), ("temperature of the room", ambient_c)):
        temperature(what, value)
    temperature("reading", reading_c)
    above("time", minutes, 0, 100_000, "min")
    if start_c == ambient_c or not 0 < (reading_c - ambient_c) / (start_c - ambient_c) <= 1:
        raise ValueError(
            f"A reading of {reading_c:g} degC does not lie between the start ({start_c:g}) and the room "
            f"({ambient_c:g}); read the thermometer again."
        )
    return math.log((start_c - ambient_c) / (reading_c - ambient_c)) / minutes


def newton_ambient_c(first_c: float, second_c: float, third_c: float) -> float:
    """Temperature a thing is heading for, from three readings equally far apart in time.

    Ta = (T2^2 - T1 T3) / (2 T2 - T1 - T3)

    `first_c`, `second_c`, `third_c`: -50 to 200 degC, falling (or rising) by less each time.
    Returns degC.
    Refused (ValueError): outside that range; steps that do not get smaller.

    >>> newton_ambient_c(70, 60, 53)
    36.667

    **Source:** Newton's law of cooling: (T1 - Ta), (T2 - Ta), (T3 - Ta) are in geometric progression.
    Breaks with coarse readings: the bottom line is a difference of differences.
    """
    for value in (first_c, second_c, third_c):
        temperature("reading", value)
    first_step, second_step = first_c - second_c, second_c - third_c
    if first_step * second_step <= 0 or abs(second_step) >= abs(first_step):
        raise ValueError("The readings do not settle; each step must be smaller than the one before.")
    return (second_c**2 - first_c * third_c) / (2.0 * second_c - first_c - third_c)


def newton_fit(readings: Sequence[tuple[float, float]], ambient_c: float) -> tuple[float, float]:
    """Start temperature and cooling rate that best fit several readings.

    least squares line through ln(T - Ta) against t: slope -k, height ln(T0 - Ta) at t = 0

    `readings`: (minute, degC) pairs, at least two different minutes, all warmer than the room.
    `ambient_c`: -50 to 200 degC.
    Returns (degC at minute 0, 1/min).
    Refused (ValueError): too few readings, a reading not above the room, readings that do not fall.

    >>> [round(value, 4) for value in newton_fit([(0, 80), (10.98612, 40)], 20)]
    [80.0, 0.1]

    **Source:** Newton's law of cooling; ordinary least squares.
    Breaks as `newton_k` does; late readings near the room weigh too much, leave them out.
    """
    temperature("temperature of the room", ambient_c)
    if len({minute for minute, _ in readings}) < 2:
        raise ValueError("Two readings at different minutes are needed to fit the cooling.")
    for minute, reading_c in readings:
        within("minute of a reading", minute, -100_000, 100_000)
        if temperature("reading", reading_c) <= ambient_c:
            raise ValueError(f"A reading of {reading_c:g} degC is not above the room ({ambient_c:g} degC).")
    logs = [math.log(reading_c - ambient_c) for _, reading_c in readings]
    mean_minute = math.fsum(minute for minute, _ in readings) / len(readings)
    mean_log = math.fsum(logs) / len(readings)
    spread = math.fsum((minute - mean_minute) ** 2 for minute, _ in readings)
    slope = math.fsum((m - mean_minute) * (y - mean_log) for (m, _), y in zip(readings, logs, strict=True))
    k_per_min = -slope / spread
    if k_per_min <= 0:
        raise ValueError("The readings do not fall; wait, and read again.")
    return ambient_c + math.exp(mean_log + k_per_min * mean_minute), k_per_min
