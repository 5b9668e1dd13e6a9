"""What each kind of event holds in its `data`, as types: the session file's schema is made from these.

The rules write plain dictionaries and the folds read them leniently, so that a file of another version is never
refused. A test holds that whatever a rule writes fits its shape, with no key beside it. Times in `_s` are
seconds, `ml` is mL; what was typed stands beside every value.
"""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import UNSET, Meta, Struct, UnsetType, field

from studio.plan.settled import Settled
from studio.plan.shapes import Worksheet
from studio.session import event_shapes_bench as bench
from studio.session import event_shapes_follow_up as follow_up
from studio.session import events as e
from studio.session.event_shapes_bench import Seconds, Words
from studio.session.records import AlarmLevel

StepId = Annotated[str, Meta(description="Id of a step of the worksheet's procedure, `stocks.rust.dye`.")]
StepIdOrNone = Annotated[str, Meta(description="Id of a step; empty where none was due.")]
TimerId = Annotated[str, Meta(description="Id of a clock, `steam`; with its set or packet, `steam-2`.")]
EventN = Annotated[int, Meta(description="Number `n` of an earlier event of this file.", ge=1)]
Minutes = Annotated[float, Meta(description="min")]
Asked = Annotated[float, Meta(description="What the step asked for at that moment, in its unit.")]
Fixed = Annotated[
    dict[str, float],
    Meta(
        description="Amounts that stand from now on, by the id of their figure: the value, and what goes with it."
    ),
]
Typed = Annotated[str, Meta(description="As it was typed.")]


class RehearsalClock(Struct, frozen=True):
    """The fast clock of a rehearsal. A session that has this is not a real one."""

    speed: Annotated[float, Meta(description="How many times as fast as the real clock.")]
    wall_ns: int
    boot_ns: int
    mono_ns: int
    boot: str


class Opened(Struct, frozen=True):
    """The first event: the plan and the worksheet as they were, and who opened it."""

    format: Literal["potside-session/1"]
    title: str
    plan: Annotated[str, Meta(description="Text of the plan file, TOML.")]
    worksheet: Worksheet
    program: Annotated[str, Meta(description="Version of the program.")]
    pid: int
    host: Annotated[str, Meta(description="Short hash that tells machines apart without naming them.")]
    utc_offset_min: Annotated[int, Meta(description="Minutes the place was ahead of UTC.")]
    choices: Annotated[
        Settled | UnsetType,
        Meta(description="What the worksheet was worked out of, with what it needs of the shelf."),
    ] = UNSET
    clock: RehearsalClock | UnsetType = UNSET


class Resumed(Struct, frozen=True):
    """The session was opened again."""

    pid: int
    program: str
    step: StepIdOrNone
    last_closed: StepIdOrNone


class Left(Struct, frozen=True):
    """The bench was closed; the session stays open."""

    step: StepIdOrNone


class Finished(Struct, frozen=True):
    """The closing event."""

    outcome: Literal["finished", "abandoned"]
    counts: Annotated[
        dict[str, int],
        Meta(description="`steps` in all, how many stand how (`done`, `measured`, ...), `notes`, `alarms`."),
    ]
    sha256: Annotated[
        str, Meta(description="SHA-256 of every byte before this line.", pattern="^[0-9a-f]{64}$")
    ]
    why: Words | UnsetType = UNSET


class Continued(Struct, frozen=True):
    """The session goes on in this file; every event before this one was taken over from another."""

    from_: str = field(name="from")
    sha256: Annotated[str, Meta(description="SHA-256 of what was kept of the old file, or of all of it.")]
    lines_kept: int
    why: str
    missing: list[tuple[int, int]] | UnsetType = UNSET
    breaks: list[int] | UnsetType = UNSET


class Recovered(Struct, frozen=True):
    """A torn last line was set aside in a copy; its bytes stay in the file and belong to no event."""

    offset: int
    length: int
    copy: Annotated[str, Meta(description="Name of the copy that was set aside.")]


class StepClosed(Struct, frozen=True):
    """A step was done, or looked at and found right, or its wait is over."""

    step: StepId
    read_c: Annotated[float, Meta(description="degC; the reading that ended the wait.")] | UnsetType = UNSET
    flagged: Annotated[bool, Meta(description="It was doubted, and said to be so.")] | UnsetType = UNSET


class StepMeasured(Struct, frozen=True):
    """A value was read; a later `corrected` or `undone` for this step takes its place."""

    step: StepId
    value: float
    unit: str
    typed: Typed
    flagged: Annotated[bool, Meta(description="Outside the expected range, and said to be meant.")]
    asked: Asked | UnsetType = UNSET
    fixed: Fixed | UnsetType = UNSET


class StepLeftOut(Struct, frozen=True):
    """A step that was not measured or skipped, and why."""

    step: StepId
    why: Words
    asked: Asked | UnsetType = UNSET
    fixed: Fixed | UnsetType = UNSET


class Overridden(Struct, frozen=True):
    """A gate was passed or a wait ended against its rule, and why; with the reading that stood against it."""

    step: StepId
    why: Words
    read_c: Annotated[float, Meta(description="degC; last read, above the limit.")] | UnsetType = UNSET
    limit_c: Annotated[float, Meta(description="degC; the limit of the step.")] | UnsetType = UNSET
    flagged: Annotated[bool, Meta(description="It was doubted, and said to be so.")] | UnsetType = UNSET


class GatePassed(Struct, frozen=True):
    """The digit that a gate showed was pressed; 0 for the gate that opens by itself."""

    step: StepId
    digit: Annotated[int, Meta(ge=0, le=9)]


class CautionAccepted(Struct, frozen=True):
    """A warning was taken on."""

    caution: Annotated[str, Meta(description="Id of a caution of the worksheet.")]
    why: Words


class Corrected(Struct, frozen=True):
    """A better value in the place of a recorded one; the old one stays where it is."""

    ref: EventN
    step: StepId
    value: float
    unit: str
    typed: Typed
    flagged: bool
    why: Words
    fixed: Fixed | UnsetType = UNSET


class Undone(Struct, frozen=True):
    """Event `ref` about `step` is taken back: the step stands as it did before that event."""

    ref: EventN
    step: StepId
    why: Words


class Noted(Struct, frozen=True):
    """A remark in the dyer's words."""

    text: Words
    step: StepIdOrNone


class Addendum(Struct, frozen=True):
    """A remark written after the closing."""

    text: Words


class NotedLate(Struct, frozen=True):
    """A remark written later than it happened."""

    text: Words
    happened_at: Annotated[str, Meta(description="Time of day where the session was opened, `14:05`.")]


class TimerStarted(Struct, frozen=True):
    """A clock was started, or its next round."""

    timer: TimerId
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


class TimerStopped(Struct, frozen=True):
    """A clock was stopped, and how long it had run."""

    timer: TimerId
    elapsed_s: Seconds
    by: StepIdOrNone


class TimerExtended(Struct, frozen=True):
    """A clock was given more time."""

    timer: TimerId
    minutes: Minutes
    why: Words


class TimerConfirmed(Struct, frozen=True):
    """After a restart of the machine the dyer said how long a clock had run."""

    timer: TimerId
    elapsed_s: Seconds
    clock_said_s: Annotated[float, Meta(description="s; what the wall clock alone would have said.")]


class AlarmRaised(Struct, frozen=True):
    """A clock came due or is about to, or the pot is low or dry by what has boiled off."""

    timer: TimerId
    level: AlarmLevel
    priority: Literal["high", "medium", "low"]
    text: str
    late_s: Seconds
    round: Annotated[int, Meta(ge=1)]


class AlarmAcknowledged(Struct, frozen=True):
    """An alarm was answered, or ended by what was done about it."""

    alarm: EventN
    latency_s: Seconds
    by: (
        Annotated[
            str,
            Meta(
                max_length=64,
                description="What ended it: a step, `refill`, `more time`, `true time`; left out where it was heard.",
            ),
        ]
        | UnsetType
    ) = UNSET


class AlarmSnoozed(Struct, frozen=True):
    """An alarm was put off."""

    alarm: EventN
    minutes: Minutes


class ClockJump(Struct, frozen=True):
    """The wall clock was set, or the machine slept, by so many seconds."""

    seconds: Seconds


class SoundChecked(Struct, frozen=True):
    """Whether the alarm was heard before the session began."""

    heard: bool


SHAPES: dict[str, type[Struct]] = {
    e.OPENED: Opened,
    e.RESUMED: Resumed,
    e.LEFT: Left,
    e.FINISHED: Finished,
    e.CONTINUED: Continued,
    e.RECOVERED: Recovered,
    e.ADDENDUM: Addendum,
    e.STEP_DONE: StepClosed,
    e.STEP_MEASURED: StepMeasured,
    e.STEP_NOT_MEASURED: StepLeftOut,
    e.STEP_SKIPPED: StepLeftOut,
    e.GATE_PASSED: GatePassed,
    e.OVERRIDDEN: Overridden,
    e.CAUTION_ACCEPTED: CautionAccepted,
    e.CORRECTED: Corrected,
    e.UNDONE: Undone,
    e.NOTED: Noted,
    e.NOTED_LATE: NotedLate,
    e.TIMER_STARTED: TimerStarted,
    e.TIMER_STOPPED: TimerStopped,
    e.TIMER_EXTENDED: TimerExtended,
    e.TIMER_CONFIRMED: TimerConfirmed,
    e.ALARM_RAISED: AlarmRaised,
    e.ALARM_ACKNOWLEDGED: AlarmAcknowledged,
    e.ALARM_SNOOZED: AlarmSnoozed,
    e.CLOCK_STEPPED: ClockJump,
    e.CLOCK_SUSPENDED: ClockJump,
    e.SOUND_CHECKED: SoundChecked,
    **bench.SHAPES,
    **follow_up.SHAPES,
}
"""The shape of the data of every kind of event, by kind."""
