"""The weighted straight line behind a fitted cooling curve, and the time it crosses a temperature."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

COVERAGE = 2.0
"""Standard uncertainties the interval reaches either way: about 95 % (JCGM 100:2008, 6.2, from memory)."""


@dataclass(frozen=True)
class CoolingLine:
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
    uncertainty of a reading, above 0. Checked by the caller, `cooling_fit.fit_cooling`.
    Returns `CoolingLine`. Its variances come from `u_c`; with three or more readings that scatter by more,
    they are larger by the mean weighted square.

    >>> line = cooling_line([(0, 80), (10, 42.0728)], 20, 1.0)
    >>> round(line.k_per_min, 5), round(line.at_c(20, 0), 3)
    (0.1, 80.0)

    **Source:** Newton's law of cooling; weighted least squares, any text on the fitting of data.
    Breaks close to the room, where the logarithm of a reading is not even roughly normal; its weight is small.
    """
    weights = [((c - ambient_c) / u_c) ** 2 for _, c in readings]
    logs = [math.log(c - ambient_c) for _, c in readings]
    total = math.fsum(weights)
    middle_min = math.fsum(w * m for w, (m, _) in zip(weights, readings, strict=True)) / total
    height = math.fsum(w * y for w, y in zip(weights, logs, strict=True)) / total
    rows = [(w, m - middle_min, y - height) for w, (m, _), y in zip(weights, readings, logs, strict=True)]
    spread = math.fsum(w * d * d for w, d, _ in rows)
    slope = math.fsum(w * d * y for w, d, y in rows) / spread
    squares = math.fsum(w * (y - slope * d) ** 2 for w, d, y in rows)
    # Scatter beyond what the thermometer explains widens the interval; a lucky straight row never narrows it.
    scatter = max(1.0, squares / (len(readings) - 2)) if len(readings) > 2 else 1.0
    return CoolingLine(middle_min, height, -slope, scatter / total, scatter / spread)


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
