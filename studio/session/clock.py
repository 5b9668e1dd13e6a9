"""Time as a value: a reading of three clocks, and the time between two readings.

The wall clock may be set, slept through or moved by summer time; the boot clock counts every second
since the machine was started, asleep or not, but is worth nothing after a restart. A moment therefore
keeps both, and the name of the boot it belongs to.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Protocol

import msgspec

NS = 1_000_000_000
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


class Reading(msgspec.Struct, frozen=True):
    """What the clocks showed at one instant."""

    wall_ns: int
    """Nanoseconds since 1970-01-01 UTC."""
    boot_ns: int
    """Nanoseconds since the machine was started, time asleep included."""
    mono_ns: int
    """Nanoseconds since the machine was started, time asleep left out."""
    boot: str
    """Short hash that names this start of the machine."""


class Clock(Protocol):
    """The only way anything in the program learns the time."""

    def now(self) -> Reading: ...


class Moment(msgspec.Struct, frozen=True, gc=False):
    """When something happened, as a session file keeps it."""

    wall_ns: int
    boot_ns: int
    boot: str


class Elapsed(msgspec.Struct, frozen=True):
    """Time between a moment and now."""

    seconds: float
    sure: bool
    """False where the machine was restarted in between and the wall clock had to be trusted."""


def moment_of(reading: Reading) -> Moment:
    """The moment a reading was taken."""
    return Moment(reading.wall_ns, reading.boot_ns, reading.boot)


def elapsed_since(start: Moment, now: Reading | Moment) -> Elapsed:
    """Seconds from `start` to `now`.

    Within one start of the machine the boot clock is used, which no setting of the wall clock, change
    of time zone or sleep can disturb. After a restart only the wall clock is left and the result is
    not sure; it may then be negative, and whoever shows it must ask the person.

    >>> elapsed_since(Moment(0, 5 * NS, "a"), Reading(99 * NS, 65 * NS, 0, "a"))
    Elapsed(seconds=60.0, sure=True)
    >>> elapsed_since(Moment(0, 5 * NS, "a"), Reading(99 * NS, 1 * NS, 0, "b"))
    Elapsed(seconds=99.0, sure=False)
    """
    if start.boot == now.boot:
        return Elapsed((now.boot_ns - start.boot_ns) / NS, True)
    return Elapsed((now.wall_ns - start.wall_ns) / NS, False)


def before(one: Moment, other: Moment) -> bool:
    """Whether one moment lies before another, by the boot clock where both belong to one start of the machine."""
    return elapsed_since(one, other).seconds > 0


def utc_text(wall_ns: int) -> str:
    """UTC time as a session file writes it, to the millisecond.

    >>> utc_text(1_790_000_000_123_000_000)
    '2026-09-21T14:13:20.123Z'
    """
    when = _EPOCH + timedelta(milliseconds=wall_ns // 1_000_000)
    return f"{when.isoformat(timespec='milliseconds')[:-6]}Z"


def local(wall_ns: float, utc_offset_min: int) -> datetime:
    """A wall time as the wall had it where the session was opened, to the second."""
    return datetime.fromtimestamp(wall_ns // NS, UTC) + timedelta(minutes=utc_offset_min)


def time_of_day(wall_ns: int, utc_offset_min: int) -> str:
    """Time on the wall where the session was opened.

    >>> time_of_day(0, 90)
    '01:30'
    """
    return f"{local(wall_ns, utc_offset_min):%H:%M}"


def day_of(wall_ns: int, utc_offset_min: int) -> date:
    """The calendar day at a wall time, where the session was opened; the last day there is beyond the calendar.

    >>> day_of(1_790_000_000_000_000_000, 0)
    datetime.date(2026, 9, 21)
    """
    try:
        return local(wall_ns, utc_offset_min).date()
    except (OverflowError, ValueError, OSError):
        return date.max


def wall_ns_of(text: str) -> int:
    """Nanoseconds since 1970 of a UTC time written by `utc_text`; ValueError otherwise.

    >>> wall_ns_of("2026-09-21T14:13:20.123Z")
    1790000000123000000
    """
    when = datetime.fromisoformat(text)
    if when.tzinfo is not UTC:
        raise ValueError(f"Not a UTC time: {text!r}; write it like 2026-09-21T14:13:20.123Z.")
    return round(when.timestamp() * 1000) * 1_000_000


class FastClock:
    """A clock that runs `speed` times as fast as another from `origin` on; for the rehearsal.

    The origin is kept in the session file, so that a rehearsal that was closed goes on with the same
    clock.
    """

    def __init__(self, real: Clock, speed: float, origin: Reading | None = None) -> None:
        if not 0 < speed <= 100_000:
            raise ValueError("A rehearsal runs at a speed above 0 and up to 100000, for example 60.")
        self._real = real
        self.speed = speed
        self.origin = origin or real.now()

    def now(self) -> Reading:
        """The sped-up reading; the boot name is changed so that no real timer mixes with it."""
        real = self._real.now()
        ahead_ns = int(elapsed_since(moment_of(self.origin), real).seconds * NS * self.speed)
        return Reading(
            self.origin.wall_ns + ahead_ns,
            self.origin.boot_ns + ahead_ns,
            self.origin.mono_ns + ahead_ns,
            f"fast-{self.origin.boot}",
        )


class SteppedClock:
    """A clock that stands still until it is moved; for the unattended rehearsal and for tests."""

    def __init__(self, start: Reading) -> None:
        self._now = start

    def now(self) -> Reading:
        """Where the clock stands."""
        return self._now

    def advance(self, seconds: float) -> None:
        """Let time pass."""
        self.change(wall_s=seconds, boot_s=seconds, mono_s=seconds)

    def change(
        self, *, wall_s: float = 0, boot_s: float = 0, mono_s: float = 0, boot: str | None = None
    ) -> None:
        """Move the clocks apart: sleep moves wall and boot, setting the clock moves the wall alone."""
        self._now = Reading(
            self._now.wall_ns + int(wall_s * NS),
            self._now.boot_ns + int(boot_s * NS),
            self._now.mono_ns + int(mono_s * NS),
            boot if boot is not None else self._now.boot,
        )
