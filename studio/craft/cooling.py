"""A cooling curve fitted to the readings of a packet: when it is cool enough to unwrap, how sure that is,
and what it is heading for.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import msgspec

from studio.craft.heat import temperature
from studio.craft.limits import above, within
from studio.craft.solve import line_through

# Newton cooling fitted to the readings of a packet: when it is cool enough to unwrap, and how sure that
# is.

COVERAGE = 2.0
"""Standard uncertainties the interval reaches either way: about 95 % (JCGM 100:2008, 6.2, from memory)."""


class CoolingLine(msgspec.Struct, frozen=True):
    """ln(T - room) = height - k (t - middle), with the variances of height and k, which are independent.

    `middle_min`: weighted mean of the minutes. `height`: of the line there. `k_per_min`: cooling rate.

    **Source:** see `cooling_line`.
    """

    middle_min: float
    height: float
    k_per_min: float
    height_variance: float
    k_variance: float

    def at_c(self, ambient_c: float, minute: float) -> float:
        """degC on the curve at a minute, in the room the line was drawn for."""
        above_room = self.height - self.k_per_min * (minute - self.middle_min)
        return ambient_c + math.exp(min(above_room, 700.0))  # where exp overflows no reading is near anyway


def cooling_line(readings: Sequence[tuple[float, float]], ambient_c: float, u_c: float) -> CoolingLine:
    """Weighted least squares line through ln(T - Ta) against t.

    weight = ((T - Ta) / u)^2, as a reading that is u off moves its logarithm by u / (T - Ta)

    `readings`: (minute, degC) pairs at two or more different minutes, all above `ambient_c`. `u_c`: standard
    uncertainty of a reading, above 0. Checked by the caller, `fit_cooling`.
    Returns `CoolingLine`. Its variances come from `u_c`; with three or more readings that scatter by more,
    they are larger by the mean weighted square.

    >>> line = cooling_line([(0, 80), (10, 42.0728)], 20, 1.0)
    >>> round(line.k_per_min, 5), round(line.at_c(20, 0), 3)
    (0.1, 80.0)

    **Source:** Newton's law of cooling; weighted least squares, any text on the fitting of data.
    Breaks close to the room, where the logarithm of a reading is not even roughly normal; its weight is small.
    """
    line = line_through([(m, math.log(c - ambient_c), ((c - ambient_c) / u_c) ** 2) for m, c in readings])
    # Scatter beyond what the thermometer explains widens the interval; a lucky straight row never narrows it.
    scatter = max(1.0, line.scatter / (len(readings) - 2)) if len(readings) > 2 else 1.0
    return CoolingLine(line.middle, line.height, -line.slope, scatter / line.weight, scatter / line.spread)


def crossing_min(line: CoolingLine, ambient_c: float, target_c: float) -> tuple[float, float, float]:
    """Minute at which the line crosses a temperature, and the ends of its interval.

    e = height - ln(target - Ta), t = middle + e / k; ends d from the middle by
    (e - k d)^2 = 2^2 (variance of height + d^2 x variance of k)

    `line`: with a cooling rate above 0. `ambient_c`: the room it was drawn for. `target_c`: above the room.
    Returns (min, earliest, latest); the latest is infinite where the rate may as well be nothing.

    >>> line = cooling_line([(0, 80), (10, 42.0728)], 20, 0.5)
    >>> [round(minute, 2) for minute in crossing_min(line, 20, 40)]
    [10.99, 10.51, 11.51]

    **Source:** E. C. Fieller, Some problems in interval estimation, J. R. Stat. Soc. B 16 (1954), p. 175 (from
    memory).
    Breaks as `cooling_line` does.
    """
    k, to_fall = line.k_per_min, line.height - math.log(target_c - ambient_c)
    a = k * k - COVERAGE**2 * line.k_variance
    c = to_fall * to_fall - COVERAGE**2 * line.height_variance
    root = math.sqrt(max(0.0, (to_fall * k) ** 2 - a * c))
    target_min = line.middle_min + to_fall / k
    if a <= 0:
        earliest = c / (to_fall * k + root) if to_fall > 0 else -math.inf
        return target_min, line.middle_min + earliest, math.inf
    ends = sorted(((to_fall * k - root) / a, (to_fall * k + root) / a))
    return target_min, line.middle_min + ends[0], line.middle_min + ends[1]


UNWRAP_C = 40.0
"""degC for bare hands (house rule), below the 43 degC surface and 44 degC water of HSE (UK), Scalding and
burning, Health Services Information Sheet 6, which are for vulnerable people and bathing."""
READING_HALF_WIDTH_C = 1.0
"""degC a kitchen thermometer may be off either way (house rule)."""
LEAST_APART_MIN = 0.01
"""min between the first and the last reading; less is one reading (house rule)."""
WORST_RESIDUAL_C = 3.0
"""degC between a reading and the curve above which the fit is called poor (house rule)."""


class CoolingFit(msgspec.Struct, frozen=True):
    """A cooling curve through readings, in minutes of the clock the readings were taken by.

    `k_per_min`: cooling rate (0 or less where nothing cools). `start_c`: of the curve at `start_min`, the first
    reading. `target_min`: it reaches the target, `fast_min` and `slow_min` the interval; infinite where the readings
    cannot tell. `worst_c`: greatest distance of a reading from the curve. `poor`: why the fit is not to be
    trusted, as one sentence; empty for a good one. Go by `slow_min`, and by a reading at the end of it.

    **Source:** estimate; see `fit_cooling`.
    """

    k_per_min: float
    start_min: float
    start_c: float
    target_min: float
    fast_min: float
    slow_min: float
    worst_c: float
    poor: str


def fit_cooling(
    readings: Sequence[tuple[float, float]],
    ambient_c: float,
    target_c: float = UNWRAP_C,
    half_width_c: float = READING_HALF_WIDTH_C,
    ambient_half_width_c: float = 0.0,
) -> CoolingFit:
    """Cooling rate and time of reaching a temperature, with interval, from two or more readings.

    weighted least squares line through ln(T - Ta) against t, weight (T - Ta)^2 / u^2; the time the line
    reaches ln(target - Ta) by Fieller's interval; u = half width / sqrt(3), and with three or more readings
    larger where they scatter more than that

    `readings`: (minute, degC) pairs in order of time, at two or more different minutes, all warmer than the
    room. `ambient_c`: of the room, -50 to 200 degC. `target_c`: above the room. `half_width_c`: a reading may
    be off by, above 0 to 20 degC. `ambient_half_width_c`: the room may be off by, 0 to 20 degC; give 2 or 3
    for a room that is assumed.
    Returns `CoolingFit`; its times never contradict the readings (not before one still above the target, the slow end
    not before that one comes down at the fitted rate; not after one at or below it). Readings that do not fall give a
    poor one with infinite times.
    Refused (ValueError): outside those ranges; one reading only; a reading not above the room; a target the
    room never lets it reach.

    >>> fit = fit_cooling([(0, 80), (6, 52.93)], ambient_c=20)
    >>> round(fit.k_per_min, 3), round(fit.target_min, 1), round(fit.fast_min, 1), round(fit.slow_min, 1)
    (0.1, 11.0, 10.4, 11.7)

    **Source:** Newton's law of cooling; Fieller, J. R. Stat. Soc. B 16 (1954), p. 175 (from memory); the
    half width of a reading and the coverage are house rules.
    Breaks if the readings are of the surface: the middle of a packet lags behind it. Hot wet cloth left open
    cools faster at first than later.
    """
    _check(readings, ambient_c, target_c, half_width_c, ambient_half_width_c)
    line = cooling_line(readings, ambient_c, half_width_c / math.sqrt(3.0))
    start_min = readings[0][0]
    start_c = line.at_c(ambient_c, start_min)
    worst_c = max(abs(line.at_c(ambient_c, minute) - c) for minute, c in readings)
    poor = _why_poor(readings, line, worst_c, half_width_c)
    if line.k_per_min <= 0:
        return CoolingFit(line.k_per_min, start_min, start_c, math.inf, math.inf, math.inf, worst_c, poor)
    rooms = dict.fromkeys((ambient_c, ambient_c - ambient_half_width_c, ambient_c + ambient_half_width_c))
    crossed = [_crossed(readings, room_c, target_c, half_width_c) for room_c in rooms]
    target_min, fast_min, slow_min = crossed[0][0], min(c[1] for c in crossed), max(c[2] for c in crossed)
    earliest, latest = _known(readings, target_c)
    target_min, fast_min, slow_min = (
        min(max(minute, earliest), latest) for minute in (target_min, fast_min, slow_min)
    )
    last_min, last_c = readings[-1]
    if last_c > target_c:
        to_fall = math.log((last_c - ambient_c) / (target_c - ambient_c))
        slow_min = max(slow_min, last_min + to_fall / line.k_per_min)
    if not poor and math.isinf(slow_min):
        poor = "The readings lie too close together to tell when it is cool; wait, and read again."
    return CoolingFit(line.k_per_min, start_min, start_c, target_min, fast_min, slow_min, worst_c, poor)


def _known(readings: Sequence[tuple[float, float]], target_c: float) -> tuple[float, float]:
    """The minutes between which the readings themselves say the target is reached."""
    (first_min, first_c), (last_min, last_c) = readings[0], readings[-1]
    if last_c > target_c:
        return last_min, math.inf
    return (first_min, first_min) if first_c <= target_c else (first_min, last_min)


def _check(
    readings: Sequence[tuple[float, float]],
    ambient_c: float,
    target_c: float,
    half_width_c: float,
    ambient_half_width_c: float,
) -> None:
    temperature("temperature of the room", ambient_c)
    temperature("temperature wanted", target_c)
    above("uncertainty of a reading", half_width_c, 0, 20, "°C")
    within("uncertainty of the room", ambient_half_width_c, 0, 20, "°C")
    if target_c <= ambient_c:
        raise ValueError(
            f"A room at {ambient_c:g} °C never cools anything to {target_c:g} °C; name a warmer target."
        )
    minutes = [minute for minute, _ in readings]
    if not minutes or max(minutes) - min(minutes) < LEAST_APART_MIN:
        raise ValueError("Two readings at different minutes are needed to fit the cooling.")
    for minute, reading_c in readings:
        within("minute of a reading", minute, -100_000, 100_000)
        if temperature("reading", reading_c) <= ambient_c:
            raise ValueError(
                f"A reading of {reading_c:g} °C is not above the room ({ambient_c:g} °C); "
                "measure the room again, or leave the reading out."
            )
    if any(second < first for (first, _), (second, _) in pairwise(readings)):
        raise ValueError("The readings are not in order of time; sort them by minute.")


def _crossed(
    readings: Sequence[tuple[float, float]], room_c: float, target_c: float, half_width_c: float
) -> tuple[float, float, float]:
    """As `crossing_min`, in such a room; infinite in one that is too warm to ever get there."""
    if room_c < min(target_c, *(c for _, c in readings)):
        line = cooling_line(readings, room_c, half_width_c / math.sqrt(3.0))
        if line.k_per_min > 0:
            return crossing_min(line, room_c, target_c)
    return math.inf, math.inf, math.inf


def _why_poor(
    readings: Sequence[tuple[float, float]], line: CoolingLine, worst_c: float, half_width_c: float
) -> str:
    for (_, before_c), (minute, after_c) in pairwise(readings):
        if after_c > before_c + half_width_c:
            return f"The reading at minute {minute:.0f} is warmer than the one before; read again."
    if line.k_per_min <= 0:
        return "The readings do not fall; wait, and read again."
    if worst_c > WORST_RESIDUAL_C:
        return "A reading lies far off the curve: this does not cool as in still air."
    return ""
