"""What the events about clocks and alarms hold; and what an event holds of the clocks it starts, stops and ends."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import UNSET, Meta, Struct, UnsetType, field

from studio.plan.shapes import ClockRole
from studio.session import events as e
from studio.session.records import AlarmLevel

StepIdOrNone = Annotated[str, Meta(description="Id of a step; empty where none was due.")]
TimerId = Annotated[str, Meta(description="Id of a clock, `steam`; with its set or packet, `steam-2`.")]
EventN = Annotated[int, Meta(description="Number `n` of an earlier event of this file.", ge=1)]
Minutes = Annotated[float, Meta(description="min")]
Seconds = Annotated[float, Meta(description="s")]
Words = Annotated[str, Meta(description="In the dyer's words, not cleaned.")]


class EventData(Struct, frozen=True, forbid_unknown_fields=True):
    """What lies in the `data` of an event: these keys and no other."""


class TimerStarted(EventData, frozen=True):
    """A clock was started, or its next round."""

    timer: TimerId
    role: Annotated[ClockRole, Meta(description="What the clock is for.")]
    set_number: Annotated[int, Meta(description="The set it belongs to.", ge=1)] = field(name="set")
    label: str
    minutes: Minutes
    action: Annotated[str, Meta(description="What to do when it runs out.")]
    priority: Literal["high", "medium", "low"]
    repeats: bool
    with_timer: Annotated[str, Meta(description="Clock it starts and stops with, or empty.")] = field(
        name="with"
    )
    needs_steam: bool
    by: StepIdOrNone
    round: Annotated[int, Meta(ge=1)]


class TimerStopped(EventData, frozen=True):
    """A clock was stopped, and how long it had run."""

    timer: TimerId
    elapsed_s: Seconds


class TimerExtended(EventData, frozen=True):
    """A clock was given more time, or less."""

    timer: TimerId
    minutes: Annotated[float, Meta(description="min; below 0 it was made shorter.")]
    why: Words


class AlarmAcknowledged(EventData, frozen=True):
    """An alarm was answered, or ended by what was done about it."""

    alarm: EventN
    latency_s: Seconds
    by: (
        Annotated[
            str,
            Meta(
                max_length=64,
                description="A step, `refill`, `more time`, `true time`, `dry pot`; left out where it was heard.",
            ),
        ]
        | UnsetType
    ) = UNSET


StopsClocks = list[TimerStopped] | UnsetType
EndsAlarms = list[AlarmAcknowledged] | UnsetType
StartsClocks = list[TimerStarted] | UnsetType


class Clocks(EventData, frozen=True, kw_only=True):
    """An event with which clocks stop and start, and alarms end."""

    stops: StopsClocks = UNSET
    ends: EndsAlarms = UNSET
    starts: StartsClocks = UNSET


class TimerStoppedAlone(TimerStopped, frozen=True):
    """A packet came out of the steam; with the last one the clocks stop that looked after it."""

    stops: StopsClocks = UNSET


class TimerExtendedAlone(TimerExtended, frozen=True):
    """A clock was given more time, or less."""

    ends: EndsAlarms = UNSET


LAST_NS = 9_000_000_000_000_000_000
"""In the year 2255; a later day than that is damage."""


class Happened(EventData, frozen=True):
    """When something happened that was told later: the time of day as it was told, and that on the clocks."""

    time: Annotated[str, Meta(description="Time of day where the session was opened, `14:05`.")]
    wall_ns: Annotated[int, Meta(ge=0, le=LAST_NS)]
    boot_ns: Annotated[int, Meta(ge=0, le=LAST_NS, description="As `wall_ns` where `boot` is empty.")]
    boot: Annotated[str, Meta(description="Empty where the clocks were set or restarted since.")]


class Late(EventData, frozen=True, kw_only=True):
    """An event that may be told later than it happened; it counts from then on."""

    happened: Happened | UnsetType = UNSET


class TimerConfirmed(Late, frozen=True):
    """The dyer said how long a clock has run, after a restart of the machine, or when it began."""

    timer: TimerId
    elapsed_s: Seconds
    clock_said_s: Annotated[float, Meta(description="s; what the clock had said.")]
    ends: EndsAlarms = UNSET


class AlarmRaised(EventData, frozen=True):
    """A clock came due or is about to, or the pot is low or dry by what has boiled off."""

    timer: TimerId
    level: AlarmLevel
    priority: Literal["high", "medium", "low"]
    text: str
    late_s: Seconds
    round: Annotated[int, Meta(ge=1)]
    ref: Annotated[
        int, Meta(description="Number of the event that started this round; it stands with it.", ge=1)
    ]
    ends: EndsAlarms = UNSET


class AlarmAnswered(AlarmAcknowledged, frozen=True):
    """An alarm was answered; its clock begins another round, or stops and the next one starts."""

    stops: StopsClocks = UNSET
    starts: StartsClocks = UNSET


class AlarmSnoozed(EventData, frozen=True):
    """An alarm was put off."""

    alarm: EventN
    minutes: Minutes


SHAPES: dict[str, type[Struct]] = {
    e.TIMER_STARTED: TimerStarted,
    e.TIMER_STOPPED: TimerStoppedAlone,
    e.TIMER_EXTENDED: TimerExtendedAlone,
    e.TIMER_CONFIRMED: TimerConfirmed,
    e.ALARM_RAISED: AlarmRaised,
    e.ALARM_ACKNOWLEDGED: AlarmAnswered,
    e.ALARM_SNOOZED: AlarmSnoozed,
}
"""The shape of the data of each of these kinds."""
