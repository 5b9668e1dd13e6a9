"""Newton cooling against worked examples of others. Any temperature scale will do: the law is linear in it."""

from __future__ import annotations

import math

import pytest

from studio.craft import heat


def test_tea_in_thirty_minutes():
    """95 degC in a room of 20 is 61 after 30 min: k printed 0.02 a minute (Math Help Forum, thread 126430)."""
    k = heat.newton_k(95, 20, 61, 30)
    assert k == pytest.approx(0.02, abs=0.0005)
    assert k == pytest.approx(0.02013, abs=0.00001)


@pytest.mark.parametrize(
    ("start", "first_rate", "target", "k", "minutes", "source"),
    [
        (80, 6, 40, 0.1, 10.986, "textbook exercise: 80 degC in 20, first 6 K a minute, to 40"),
        (90, 8, 75, 0.114286, 2.1102, "textbook exercise: 90 degC in 20, first 8 K a minute, to 75"),
    ],
)
def test_first_rate_given(start, first_rate, target, k, minutes, source):
    """k is the first rate over the first difference; minutes worked by hand as ln(60/20)/0.1 and ln(70/55)/k."""
    found = first_rate / (start - 20)
    assert found == pytest.approx(k, abs=1e-6), source
    assert heat.newton_minutes(start, 20, found, target) == pytest.approx(minutes, abs=0.001), source
    # The slope of our own curve at the start is the rate that was given.
    slope = (start - heat.newton_c(start, 20, found, 1e-4)) / 1e-4
    assert slope == pytest.approx(first_rate, rel=1e-4)


def test_oven_to_room():
    """180 F in 65 F is 140 F after 20 min; after 66 min 93.06 F (tutoring exercise; rate worked by hand)."""
    k = heat.newton_k(180, 65, 140, 20)
    assert k == pytest.approx(math.log(115 / 75) / 20, abs=1e-12)
    assert k == pytest.approx(0.0213722, abs=1e-6)
    assert heat.newton_c(180, 65, k, 66) == pytest.approx(93.06, abs=0.01)


def test_room_from_three_readings():
    """70, 60, 53 F a minute apart: the room is at 36.667 F (exercise; by hand (60^2 - 70 x 53)/(2 x 60 - 123))."""
    assert heat.newton_ambient_c(70, 60, 53) == pytest.approx((3600 - 3710) / (120 - 123), abs=1e-9)
    assert heat.newton_ambient_c(70, 60, 53) == pytest.approx(36.667, abs=0.001)


def test_fit_goes_through_published_points():
    """The fit through the 180 F example gives its own start and rate back."""
    start, k = heat.newton_fit([(0, 180), (20, 140), (66, 93.0608)], 65)
    assert start == pytest.approx(180, abs=0.01)
    assert k == pytest.approx(0.0213722, abs=2e-6)
