"""Newton cooling fitted to readings: interval, poor fits, refusals."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.craft.cooling import fit_cooling


def curve(room: float, start: float, k: float, minutes: list[float]) -> list[tuple[float, float]]:
    return [(m, room + (start - room) * math.exp(-k * m)) for m in minutes]


@given(
    st.floats(10, 30),
    st.floats(60, 100),
    st.floats(0.005, 0.1),
    st.lists(st.integers(1, 40), min_size=1, max_size=6, unique=True),
)
def test_readings_on_a_curve_give_the_curve_back(
    room: float, start: float, k: float, minutes: list[int]
) -> None:
    readings = curve(room, start, k, [0.0, *sorted(float(m) for m in minutes)])
    if readings[-1][1] - room < 0.5:  # below half a degree above the room the logarithm is all rounding
        return
    fit = fit_cooling(readings, room)
    assert fit.k_per_min == pytest.approx(k, rel=1e-6)
    assert fit.start_c == pytest.approx(start, abs=1e-4)
    assert fit.worst_c < 1e-4
    crossing = math.log((start - room) / (40.0 - room)) / k
    if readings[-1][1] > 40:
        assert fit.target_min == pytest.approx(crossing, rel=1e-5)
    assert fit.fast_min <= fit.target_min + 1e-6 <= fit.slow_min + 2e-6


def test_two_readings_take_their_spread_from_the_thermometer() -> None:
    """80 and 53 degC six minutes apart in a room of 20: t = 6 ln(60 / 20) / ln(60 / 33) = 11.026 min.

    One degC more on the first: 6 ln(61 / 20) / ln(61 / 33) = 10.891, 0.135 less. One more on the second:
    6 ln(60 / 20) / ln(60 / 34) = 11.605, 0.579 more. Two readings, each +-1 degC rectangular (1 / sqrt 3), two
    standard uncertainties: 2 x sqrt(0.135^2 + 0.579^2) / sqrt 3 = 0.687 min either way.
    """
    fit = fit_cooling([(0, 80), (6, 53)], 20)
    assert fit.target_min == pytest.approx(11.026, abs=0.001)
    assert (fit.slow_min - fit.fast_min) / 2 == pytest.approx(0.687, rel=0.03)


def test_scatter_widens_and_more_readings_narrow() -> None:
    minutes = [0.0, 5.0, 10.0, 15.0, 20.0, 25.0]
    clean = curve(20, 90, 0.02, minutes)
    pushed = [(m, c + (2.5 if n % 2 else -2.5)) for n, (m, c) in enumerate(clean)]
    few = fit_cooling(clean[:2], 20)
    many = fit_cooling(clean, 20)
    rough = fit_cooling(pushed, 20)
    assert many.slow_min - many.fast_min < few.slow_min - few.fast_min
    assert rough.slow_min - rough.fast_min > many.slow_min - many.fast_min
    assert few.poor == many.poor == ""


def test_an_assumed_room_widens_on_both_sides() -> None:
    readings = curve(20, 90, 0.02, [0.0, 10.0, 20.0])
    known = fit_cooling(readings, 20)
    assumed = fit_cooling(readings, 20, ambient_half_width_c=3)
    assert assumed.target_min == known.target_min
    assert assumed.fast_min < known.fast_min and assumed.slow_min > known.slow_min
    # A room that may be as warm as the target never promises an end.
    assert fit_cooling(readings, 25, target_c=40, ambient_half_width_c=15).slow_min == math.inf


def test_a_weaker_weight_near_the_room() -> None:
    """A late reading two degrees off near the room must not bend the curve: unweighted, it would."""
    readings = [*curve(20, 90, 0.05, [0.0, 10.0, 20.0]), (60.0, 20 + 70 * math.exp(-3.0) + 2.0)]
    logs = [(m, math.log(c - 20)) for m, c in readings]
    mean_m, mean_y = sum(m for m, _ in logs) / 4, sum(y for _, y in logs) / 4
    unweighted = -sum((m - mean_m) * (y - mean_y) for m, y in logs) / sum((m - mean_m) ** 2 for m, _ in logs)
    found = fit_cooling(readings, 20).k_per_min
    assert abs(found - 0.05) < 0.0025 < abs(unweighted - 0.05)


@pytest.mark.parametrize(
    ("readings", "reason"),
    [
        ([(0, 60), (10, 60)], "do not fall"),
        ([(0, 60), (10, 60.5)], "do not fall"),
        ([(0, 60), (10, 70)], "minute 10 is warmer"),
        ([(0, 80), (10, 60), (14, 64), (20, 50)], "minute 14 is warmer"),
        ([(0, 80), (1, 79.5)], "too close together"),
    ],
)
def test_poor_fits_say_why(readings: list[tuple[float, float]], reason: str) -> None:
    fit = fit_cooling(readings, 20)
    assert reason in fit.poor
    if fit.k_per_min <= 0:
        assert fit.target_min == fit.fast_min == fit.slow_min == math.inf


def test_a_reading_off_the_curve_is_poor() -> None:
    # Fast at first (open, steaming), slow later: no single rate.
    fit = fit_cooling([(0, 95), (3, 70), (6, 60), (20, 55), (40, 50)], 20)
    assert fit.worst_c > 3
    assert "off the curve" in fit.poor


def test_times_never_contradict_the_readings() -> None:
    # Still 41.5 at minute 40, whatever the curve says.
    fit = fit_cooling([(0, 95), (3, 70), (6, 60), (20, 45), (40, 41.5)], 20)
    assert 40 <= fit.fast_min <= fit.target_min <= fit.slow_min
    # Already at 38 at minute 30: between the readings.
    fit = fit_cooling([(0, 95), (30, 38)], 20)
    assert 0 <= fit.fast_min <= fit.target_min <= fit.slow_min <= 30
    # Cool from the first reading on.
    fit = fit_cooling([(7, 39), (20, 33)], 20)
    assert fit.fast_min == fit.target_min == fit.slow_min == 7


@pytest.mark.parametrize(
    ("readings", "room", "reason"),
    [
        ([(0, 80)], 20, "Two readings"),
        ([(5, 80), (5, 79)], 20, "Two readings"),
        ([(5, 80), (0, 79)], 20, "not in order"),
        ([(0, 80), (5, 19)], 20, "not above the room"),
        ([(0, 80), (5, 60)], 45, "never cools"),
        ([(0, math.nan), (5, 60)], 20, "must be from"),
        ([(math.nan, 80), (5, 60)], 20, "must be from"),
    ],
)
def test_refusals(readings: list[tuple[float, float]], room: float, reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        fit_cooling(readings, room)


@given(
    st.lists(st.tuples(st.floats(0, 100_000), st.floats(20.001, 200)), min_size=2, max_size=7),
    st.sampled_from([0.0, 3.0]),
)
def test_whatever_is_read_the_times_are_in_order(
    readings: list[tuple[float, float]], ambient_half_width_c: float
) -> None:
    readings.sort()
    try:
        fit = fit_cooling(readings, 20, ambient_half_width_c=ambient_half_width_c)
    except ValueError as refusal:
        assert "different minutes" in str(refusal)
        return
    assert fit.fast_min <= fit.target_min * (1 + 1e-9) and fit.target_min <= fit.slow_min * (1 + 1e-9)
    assert fit.poor or math.isfinite(fit.slow_min)
    if readings[-1][1] > 40:
        assert fit.fast_min >= readings[-1][0]


def test_a_clock_that_began_long_ago() -> None:
    """Minutes of a long session overflow nothing: only differences of time count."""
    early = fit_cooling([(0, 80), (6, 53)], 20)
    late = fit_cooling([(90_000, 80), (90_006, 53)], 20)
    assert late.target_min - 90_000 == pytest.approx(early.target_min, abs=1e-6)
