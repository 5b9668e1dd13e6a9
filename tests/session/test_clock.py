"""Time between readings: asleep, set, restarted, sped up."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.session.clock import (
    NS,
    FastClock,
    Moment,
    Reading,
    SteppedClock,
    elapsed_since,
    moment_of,
    utc_text,
    wall_ns_of,
)
from studio.session.timers import clock_text

START = Reading(1_790_000_000 * NS, 5_000 * NS, 4_000 * NS, "a")


@given(st.integers(min_value=-(10**6), max_value=10**6))
def test_setting_the_wall_clock_moves_no_timer(step_s: int) -> None:
    clock = SteppedClock(START)
    clock.advance(600)
    clock.change(wall_s=step_s)
    gone = elapsed_since(moment_of(START), clock.now())
    assert gone.sure and gone.seconds == 600


def test_sleep_counts() -> None:
    clock = SteppedClock(START)
    clock.change(wall_s=840, boot_s=840)
    assert elapsed_since(moment_of(START), clock.now()).seconds == 840


def test_a_restart_makes_the_time_unsure_and_never_invents_one() -> None:
    clock = SteppedClock(START)
    clock.change(wall_s=-30, boot_s=-4_990, boot="b")
    gone = elapsed_since(moment_of(START), clock.now())
    assert not gone.sure and gone.seconds == -30


@pytest.mark.parametrize(
    ("zone", "start"),
    [
        ("Europe/Berlin", "2026-03-29T01:50"),
        ("Europe/Berlin", "2026-10-25T02:50"),
        ("America/New_York", "2026-11-01T01:50"),
        ("Australia/Lord_Howe", "2026-04-05T01:50"),
    ],
)
def test_summer_time_moves_no_timer(zone: str, start: str) -> None:
    """Twenty real minutes across the change are twenty minutes, whatever the kitchen clock says."""
    begun = datetime.fromisoformat(start).replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)
    later = begun + timedelta(minutes=20)
    first = Moment(wall_ns_of(f"{begun:%Y-%m-%dT%H:%M:%S}.000Z"), 0, "a")
    last = Moment(wall_ns_of(f"{later:%Y-%m-%dT%H:%M:%S}.000Z"), 0, "b")
    assert elapsed_since(first, last).seconds == 20 * 60


@given(st.integers(min_value=0, max_value=4_000_000_000_000))
def test_utc_text_reads_back(milliseconds: int) -> None:
    assert wall_ns_of(utc_text(milliseconds * 1_000_000)) == milliseconds * 1_000_000


@pytest.mark.parametrize("text", ["2026-09-21T14:13:20", "2026-09-21T14:13:20+02:00", "yesterday", ""])
def test_times_that_are_not_utc_are_refused(text: str) -> None:
    with pytest.raises(ValueError):
        wall_ns_of(text)


def test_a_fast_clock_goes_on_from_its_origin() -> None:
    real = SteppedClock(START)
    fast = FastClock(real, 60)
    real.advance(10)
    assert fast.now().boot_ns - fast.origin.boot_ns == 600 * NS
    again = FastClock(real, 60, fast.origin)
    assert again.now() == fast.now()


@pytest.mark.parametrize(
    ("left_s", "shown"),
    [
        (0.999, "0:01"),
        (1.0, "0:01"),
        (1.001, "0:02"),
        (0.0, "0:00"),
        (-0.5, "0:00"),
        (-845, "+14:05"),
        (59.1, "1:00"),
        (5999.0, "99:59"),
        (6000.0, "1 h 40"),
        (-7500, "+2 h 05"),
    ],
)
def test_a_countdown_rounds_up_and_then_counts_up(left_s: float, shown: str) -> None:
    assert clock_text(left_s) == shown
