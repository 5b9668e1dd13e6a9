"""The ramp of a dye bath: where it should be, where it is, and how fast it climbs."""

from __future__ import annotations

from collections.abc import Sequence

from studio.craft.heat import temperature
from studio.craft.limits import above, within
from studio.craft.solve import line_through

SLOWEST_C_MIN, FASTEST_C_MIN = 0.1, 10.0
"""degC a minute a ramp may be planned at. House rule, catches a slipped unit."""
RATE_OVER_MIN = 6.0
"""min; the slope is taken over the readings of this last stretch. House rule."""


def ramp_minutes(start_c: float, top_c: float, rate_c_min: float) -> float:
    """Minutes from the start of a ramp to its top.

    minutes = (top - start) / rate

    `start_c`, `top_c`: -50 to 200 degC. `rate_c_min`: 0.1 to 10 degC a minute.
    Returns min; 0 where the bath is at the top already.
    Refused (ValueError): outside those ranges.

    >>> ramp_minutes(40, 88, 1.5)
    32.0

    **Source:** arithmetic; rates of 1 to 2 degC a minute: D. M. Lewis, Wool Dyeing (from memory).
    Breaks where the hob cannot give the rate, see `bath_heat.heat_up_minutes`.
    """
    within("rate of the ramp", rate_c_min, SLOWEST_C_MIN, FASTEST_C_MIN, "degC a minute")
    rise = temperature("top of the ramp", top_c) - temperature("start of the ramp", start_c)
    return max(0.0, rise) / rate_c_min


def planned_c(start_c: float, top_c: float, rate_c_min: float, minutes: float) -> float:
    """Temperature the ramp asks for at a minute of its own clock: a straight line up, then level.

    T = min(top, start + rate x minutes)

    `start_c`, `top_c`, `rate_c_min`: as in `ramp_minutes`. `minutes`: since the heat went on, 0 or more.
    Returns degC.
    Refused (ValueError): outside those ranges.

    >>> planned_c(40, 88, 1.5, 20), planned_c(40, 88, 1.5, 60)
    (70.0, 88.0)

    **Source:** arithmetic.
    Breaks with a pause that the plan does not know of.
    """
    full_min = ramp_minutes(start_c, top_c, rate_c_min)
    within("time", minutes, 0, 100_000, "min")
    return float(top_c) if minutes >= full_min else start_c + rate_c_min * minutes


def rate_now_c_min(readings: Sequence[tuple[float, float]]) -> float | None:
    """How fast the bath climbs, from its latest readings.

    least squares slope of the readings of the last six minutes; of the last two where those are fewer

    `readings`: (minute, degC) in order of time.
    Returns degC a minute; None for fewer than two readings at different minutes.
    Refused (ValueError): a temperature out of range.

    >>> rate_now_c_min([(0, 40), (10, 50), (12, 53)])
    1.5

    **Source:** ordinary least squares; the stretch is a house rule.
    Breaks where the thermometer hangs in another place each time: stir, then read.
    """
    points = [(minute, temperature("reading", c)) for minute, c in readings]
    if len(points) < 2:
        return None
    last_min = points[-1][0]
    recent = [point for point in points if last_min - point[0] <= RATE_OVER_MIN]
    if len({minute for minute, _ in recent}) < 2:
        recent = points[-2:]
    if len({minute for minute, _ in recent}) < 2:
        return None
    return line_through([(minute, c, 1.0) for minute, c in recent]).slope


def minutes_to_top(reading_c: float, top_c: float, rate_c_min: float) -> float:
    """Minutes to the top of the ramp if the bath goes on climbing as it does.

    minutes = (top - reading) / rate

    `reading_c`, `top_c`: -50 to 200 degC. `rate_c_min`: above 0 to 100 degC a minute.
    Returns min; 0 where it is there.
    Refused (ValueError): outside those ranges; a bath that does not climb never arrives.

    >>> minutes_to_top(70, 88, 1.2)
    15.0

    **Source:** arithmetic.
    Breaks late in the ramp: a bath loses more heat the hotter it is.
    """
    above("rate", rate_c_min, 0, 100, "degC a minute")
    return max(0.0, temperature("top of the ramp", top_c) - temperature("reading", reading_c)) / rate_c_min
