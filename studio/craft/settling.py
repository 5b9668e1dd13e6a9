"""Cooling where the room was not measured: three readings tell what the packet is heading for."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from studio.craft.bessel import bisect
from studio.craft.limits import above, within
from studio.craft.newton import newton_ambient_c, temperature

COLDEST_ROOM_C = -50.0
"""degC; a room found below it means the readings are as good as a straight line (house rule)."""
STRAIGHT = "The readings fall almost in a straight line; wait longer, or measure the room."


@dataclass(frozen=True)
class Settling:
    """What three readings tell: the room, the cooling rate, and how far the room may be off.

    `ambient_c`: the temperature it is heading for. `k_per_min`: cooling rate. `ambient_half_width_c`: the
    room may be off by, if every reading may be off by the half width given; hand it to
    `cooling_fit.fit_cooling`.

    **Source:** see `settling`.
    """

    ambient_c: float
    k_per_min: float
    ambient_half_width_c: float


def settling(readings: Sequence[tuple[float, float]], half_width_c: float = 1.0) -> Settling:
    """Room and cooling rate from exactly three readings.

    equally far apart: Ta = (T2^2 - T1 T3) / (2 T2 - T1 - T3); otherwise Ta from
    ln((T1 - Ta) / (T2 - Ta)) / (t2 - t1) = ln((T2 - Ta) / (T3 - Ta)) / (t3 - t2) by bisection;
    k = ln((T1 - Ta) / (T2 - Ta)) / (t2 - t1)

    `readings`: three (minute, degC) pairs in order of time, falling, and more slowly in the end.
    `half_width_c`: each may be off by, 0 to 20 degC.
    Returns `Settling`.
    Refused (ValueError): not three, out of order, not falling, or not by less and less.

    >>> room = settling([(0, 70), (1, 60), (2, 53)])
    >>> round(room.ambient_c, 3), round(room.k_per_min, 4), round(room.ambient_half_width_c, 1)
    (36.667, 0.3567, 32.1)

    **Source:** Newton's law of cooling: T - Ta falls by one factor in equal times. The half width is the sum
    of the three partial changes (worst case), house rule.
    Breaks with coarse readings close together, as the half width shows: measure the room where you can.
    """
    (t1, c1), (t2, c2), (t3, c3) = _checked(readings)
    within("uncertainty of a reading", half_width_c, 0, 20, "degC")
    first_min, second_min = t2 - t1, t3 - t2
    if math.isclose(first_min, second_min, rel_tol=1e-9):
        ambient_c = newton_ambient_c(c1, c2, c3)
        if ambient_c < COLDEST_ROOM_C:
            raise ValueError(STRAIGHT)
    else:
        ambient_c = _ambient_between(c1, c2, c3, first_min, second_min)
    k_per_min = math.log((c1 - ambient_c) / (c2 - ambient_c)) / first_min
    moved = _change_of_ambient((c1, c2, c3), ambient_c, first_min, second_min)
    return Settling(ambient_c, k_per_min, half_width_c * moved)


def k_from_fall(reading_c: float, ambient_c: float, fall_c_per_min: float) -> float:
    """Cooling rate from how fast a thing cools at one moment.

    k = fall / (T - Ta)

    `reading_c`, `ambient_c`: -50 to 200 degC, the reading above the room. `fall_c_per_min`: above 0 to 1000
    degC a minute.
    Returns 1/min.
    Refused (ValueError): outside those ranges; a reading not above the room.

    >>> k_from_fall(80, 20, 6)
    0.1

    **Source:** Newton's law of cooling, dT/dt = -k (T - Ta).
    Breaks if the fall is taken over minutes in which the temperature changes much: use two readings.
    """
    temperature("reading", reading_c)
    temperature("temperature of the room", ambient_c)
    above("fall", fall_c_per_min, 0, 1000, "degC a minute")
    if reading_c <= ambient_c:
        raise ValueError(f"A reading of {reading_c:g} degC is not above the room ({ambient_c:g} degC).")
    return fall_c_per_min / (reading_c - ambient_c)


def _checked(readings: Sequence[tuple[float, float]]) -> Sequence[tuple[float, float]]:
    if len(readings) != 3:
        raise ValueError(f"Three readings tell what it is heading for, not {len(readings)}.")
    for minute, reading_c in readings:
        within("minute of a reading", minute, -100_000, 100_000)
        temperature("reading", reading_c)
    (t1, c1), (t2, c2), (t3, c3) = readings
    if not t1 < t2 < t3:
        raise ValueError("The readings are not in order of time; sort them by minute.")
    if not c1 > c2 > c3 or (c1 - c2) / (t2 - t1) <= (c2 - c3) / (t3 - t2):
        raise ValueError("The readings do not settle; each must fall, and more slowly than the one before.")
    return readings


def _ambient_between(c1: float, c2: float, c3: float, first_min: float, second_min: float) -> float:
    def gap(ambient_c: float) -> float:
        first = math.log((c1 - ambient_c) / (c2 - ambient_c)) * second_min
        return first - math.log((c2 - ambient_c) / (c3 - ambient_c)) * first_min

    warmest_c = math.nextafter(c3, -math.inf)
    if gap(COLDEST_ROOM_C) <= 0 or gap(warmest_c) >= 0:
        raise ValueError(STRAIGHT)
    return bisect(gap, COLDEST_ROOM_C, warmest_c)


def _change_of_ambient(
    celsius: tuple[float, float, float], ambient_c: float, first_min: float, second_min: float
) -> float:
    """Sum of |d ambient / d reading| by the implicit function theorem on the gap of `_ambient_between`."""
    x1, x2, x3 = (c - ambient_c for c in celsius)
    by_reading = (second_min / x1, -(second_min + first_min) / x2, first_min / x3)
    by_ambient = -math.fsum(by_reading)
    return math.fsum(abs(d) for d in by_reading) / abs(by_ambient)
