"""When it is safe to unwrap: 40 °C for bare hands, the room 20 °C where nobody read it."""

from __future__ import annotations

import math

import pytest

from studio.session import alarms
from studio.session import commands as c


def read(session, *points: tuple[float, float], room: float | None = None) -> None:  # type: ignore[no-untyped-def]
    """Readings of the packet at minutes after it came out, in order."""
    gone = 0.0
    if room is not None:
        session.do(c.TakeReading("room", f"{room:g}"))
    for minute, degrees in points:
        session.clock.advance((minute - gone) * 60)
        gone = minute
        session.do(c.TakeReading("packet", f"{degrees:g}", meant=True))


def slow_end_min(
    first: tuple[float, float], second: tuple[float, float], room_c: float, target_c: float
) -> float:
    """Last minute at which two readings good to u = 1 / sqrt(3) °C still allow `target_c`, two u either way.

    By bisection on the line through ln(T - room), whose variance at a minute follows from those of its two points:
    nothing of the program's own algebra.
    """
    (t1, c1), (t2, c2) = first, second
    d1, d2, want = c1 - room_c, c2 - room_c, math.log(target_c - room_c)
    u = 1 / math.sqrt(3)

    def beyond(t: float) -> bool:
        a, b = (t2 - t) / (t2 - t1), (t - t1) / (t2 - t1)
        line = a * math.log(d1) + b * math.log(d2)
        return want - line > 2 * math.hypot(a * u / d1, b * u / d2)

    low, high = t1, 10_000.0
    assert beyond(high)
    while high - low > 1e-9:
        middle = (low + high) / 2
        low, high = (low, middle) if beyond(middle) else (middle, high)
    return high


def test_two_readings_give_the_safe_time_with_its_spread(exactly_at, figure) -> None:
    session = exactly_at("cool.wait")
    read(session, (0, 80), (10, 50), room=20)
    # Above the room 60 and then 30 °C: halved in 10 min, k = ln 2 / 10 = 0.0693 per min; 20 °C above it, 40,
    # after ln 3 / k = 15.85 min.
    assert math.log(3) / (math.log(2) / 10) == pytest.approx(15.85, abs=0.005)
    told = figure(session, "live.cool.time")
    assert "k 0.0693 per min, 15.8 min from the heat" in told.because
    # The slow end leads: a room read with a thermometer may be 1 °C off, and 21 cools slowest.
    slow = max(slow_end_min((0, 80), (10, 50), room, 40) for room in (19, 20, 21))
    assert told.value == pytest.approx(slow - 10, abs=1e-6)
    assert told.high == told.value
    assert 0 < told.low < 5.85 < told.value < 12


def test_the_time_goes_down_as_time_goes_by(exactly_at, figure) -> None:
    session = exactly_at("cool.wait")
    read(session, (0, 80), (10, 50), room=20)
    before = figure(session, "live.cool.time").value
    session.clock.advance(90)
    assert figure(session, "live.cool.time").value == pytest.approx(before - 1.5)
    session.clock.advance(3600)
    assert figure(session, "live.cool.time").value == 0


@pytest.mark.parametrize("second", [(10, 50), (10, 76)], ids=["sooner", "later"])
def test_the_clock_ends_when_the_readings_say(exactly_at, figure, second) -> None:
    session = exactly_at("cool.wait")
    planned = session.state.timers["cool"].minutes
    read(session, (0, 80), second, room=20)
    left = figure(session, "live.cool.time").value
    assert session.state.timers["cool"].minutes - 10 == pytest.approx(left, abs=0.001)
    assert left + 10 != pytest.approx(planned, abs=1)
    session.do(c.Undo())
    assert session.state.timers["cool"].minutes == planned


def test_a_clock_that_rang_too_soon_is_set_again(exactly_at, figure) -> None:
    session = exactly_at("cool.wait")
    session.clock.advance(session.state.timers["cool"].minutes * 60 + 30)
    session.tick()
    assert alarms.standing(session.state)
    read(session, (0, 60), (10, 58), room=20)
    assert not alarms.standing(session.state)
    session.clock.advance(figure(session, "live.cool.time").value * 60 + 1)
    session.tick()
    assert alarms.standing(session.state)


STILL_ABOVE = ((3, 79), (6, 70), (9, 63), (12, 57), (15, 52), (18, 48), (21, 44), (27, 41))
"""Cooling at 0.052 per min to 21 min, and a last reading at 27 that is 2.4 °C above that curve."""


def test_what_was_just_read_above_the_limit_is_not_told_to_be_safe(exactly_at, figure) -> None:
    session = exactly_at("cool.wait")
    read(session, *STILL_ABOVE, room=20)
    # From 41 to 40 °C in 20 °C: ln(21 / 20) / 0.052 per min is 0.94 min, and no rate of these readings is quicker.
    assert figure(session, "live.cool.time").value > 0.9
    session.tick()
    assert not alarms.standing(session.state)


def test_a_reading_that_fits_no_other_gives_the_clock_its_planned_time_back(exactly_at, warned) -> None:
    session = exactly_at("cool.wait")
    planned = session.state.timers["cool"].minutes
    session.do(c.ExtendTimer("cool", 7, "a thick packet"))
    read(session, (0, 80), (10, 50), (12, 60), room=20)
    assert "live.cool.poor" in warned(session)
    assert session.state.timers["cool"].minutes == pytest.approx(planned + 7, abs=0.001), (
        "one time on the page"
    )
    session.do(c.Undo())
    assert session.state.timers["cool"].minutes < planned / 2


def test_a_reading_that_fits_no_other_never_makes_the_clock_due(exactly_at) -> None:
    session = exactly_at("cool.wait")
    planned = session.state.timers["cool"].minutes
    read(session, (0, 80), (planned, 60), room=20)
    later = session.state.timers["cool"].minutes
    assert later > planned
    session.clock.advance(60)
    session.do(c.TakeReading("packet", "70", meant=True))
    assert session.state.timers["cool"].minutes == later


def test_readings_that_do_not_fit_leave_the_clock_alone(exactly_at) -> None:
    session = exactly_at("cool.wait")
    planned = session.state.timers["cool"].minutes
    read(session, (0, 80), (5, 79), (10, 79), room=20)
    assert session.state.timers["cool"].minutes == planned


def test_a_room_nobody_read_makes_it_less_sure(exactly_at, figure) -> None:
    session = exactly_at("cool.wait")
    read(session, (0, 80), (10, 50))
    # Assumed 20 °C, 2.5 either way: 22.5 cools slowest.
    slow = max(slow_end_min((0, 80), (10, 50), room, 40) for room in (17.5, 20, 22.5))
    assert figure(session, "live.cool.time").value == pytest.approx(slow - 10, abs=1e-6)


def test_one_reading_gives_no_time(exactly_at, figure, warned) -> None:
    session = exactly_at("cool.wait")
    read(session, (2, 80))
    assert not warned(session)
    with pytest.raises(AssertionError, match=r"no live"):
        figure(session, "live.cool.time")


@pytest.mark.parametrize(
    ("points", "said"),
    [
        (((0, 80), (5.2, 60), (10.4, 70)), "The reading at minute 10 is warmer than the one before"),
        (((0, 80), (5, 80)), "do not fall"),
        # By eye: 80, 79 and then 45 lie on no one curve; a straight line through their logarithms misses by far.
        (((0, 80), (5, 79), (10, 45)), "off the curve"),
    ],
)
def test_a_poor_fit_says_so_and_gives_no_time(exactly_at, figure, warned, points, said: str) -> None:
    session = exactly_at("cool.wait")
    read(session, *points, room=20)
    told = warned(session)["live.cool.poor"]
    assert said in told and told.endswith(". Trust the probe, not the clock.")
    assert "°C" not in told, "a difference of degrees is not read in °F"
    assert "(" not in told, "sentences, none inside another"
    with pytest.raises(AssertionError, match=r"no live"):
        figure(session, "live.cool.time")


@pytest.mark.parametrize("points", [((0, 80), (5, 18)), ((0, 80), (0, 79))])
def test_readings_nothing_can_be_fitted_to(exactly_at, warned, points) -> None:
    session = exactly_at("cool.wait")
    read(session, *points, room=20)
    assert "No time can be fitted" in warned(session)["live.cool.fit"]


def test_readings_in_the_steam_are_not_of_the_cooling(exactly_at, warned) -> None:
    session = exactly_at("steam.hold")
    session.clock.advance(600)
    session.do(c.TakeReading("packet", "92"))
    session.clock.advance(1600)
    session.tick()
    session.do(c.Close("steam.hold"))
    session.do(c.Close("steam.off"))
    session.do(c.Close("steam.out"))
    session.clock.advance(60)
    session.do(c.TakeReading("packet", "85"))
    assert not warned(session)


def test_after_a_restart_the_dyer_says_how_long_it_has_cooled(exactly_at, figure, warned) -> None:
    session = exactly_at("cool.wait")
    read(session, (0, 80), (10, 50), room=20)
    before = figure(session, "live.cool.time").value
    # By a wall clock that is a day ahead it would have been safe for hours.
    session.clock.change(wall_s=86_400, boot_s=-6_000, mono_s=-5_000, boot="boot-b")
    assert "trust the probe, not the clock" in warned(session)["live.cool.unsure"]
    session.do(c.ConfirmElapsed("cool", 12.0))
    # Two minutes after the second reading, by the dyer.
    assert figure(session, "live.cool.time").value == pytest.approx(before - 2)
