"""What each kind of event holds in its `data`, as types: the session file's schema is made from these.

The rules write plain dictionaries; a line that does not fit the shape of its kind is damage where it is read
(`fitting`), so that folds and pages may trust what they are handed; so is a key beside those of the shape, but in a
file of a later format. A kind that is not known is kept. Times in `_s` are seconds, `ml` is mL; what was typed stands
beside every value.
"""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import UNSET, Meta, Struct, UnsetType, field

from studio.plan.settled import Settled
from studio.plan.shapes import Figure, Worksheet
from studio.session import event_shapes_bench as bench
from studio.session import event_shapes_follow_up as follow_up
from studio.session import event_shapes_steps as steps
from studio.session import event_shapes_time as time
from studio.session import events as e
from studio.session.event_shapes_time import EventData, EventN, Seconds, StepIdOrNone, StopsClocks, Words


class RehearsalClock(EventData, frozen=True):
    """The fast clock of a rehearsal. A session that has this is not a real one."""

    speed: Annotated[float, Meta(description="How many times as fast as the real clock.")]
    wall_ns: int
    boot_ns: int
    mono_ns: int
    boot: str


class Opened(EventData, frozen=True):
    """The first event: the plan and the worksheet as they were, and who opened it."""

    format: Literal["potside-session/1"]
    title: str
    plan: Annotated[str, Meta(description="Text of the plan file, TOML.")]
    worksheet: Worksheet
    program: Annotated[str, Meta(description="Version of the program.")]
    pid: int
    host: Annotated[str, Meta(description="Short hash that tells machines apart without naming them.")]
    utc_offset_min: Annotated[int, Meta(description="Minutes the place was ahead of UTC.", ge=-1440, le=1440)]
    choices: Annotated[
        Settled | UnsetType,
        Meta(description="What the worksheet was worked out of, with what it needs of the shelf."),
    ] = UNSET
    clock: RehearsalClock | UnsetType = UNSET


class Resumed(EventData, frozen=True):
    """The session was opened again."""

    pid: int
    program: str
    step: StepIdOrNone
    last_closed: StepIdOrNone


class Left(EventData, frozen=True):
    """The bench was closed; the session stays open."""

    step: StepIdOrNone


class Finished(EventData, frozen=True):
    """The closing event."""

    outcome: Literal["finished", "abandoned"]
    counts: Annotated[
        dict[str, int],
        Meta(description="`steps` in all, how many stand how (`done`, `measured`, ...), `notes`, `alarms`."),
    ]
    sha256: Annotated[
        str, Meta(description="SHA-256 of every byte before this line.", pattern="^[0-9a-f]{64}$")
    ]
    figures: Annotated[
        list[Figure] | UnsetType,
        Meta(description="The figures that are not as they were begun: what they came to, and why."),
    ] = UNSET
    why: Words | UnsetType = UNSET
    stops: StopsClocks = UNSET


class Continued(EventData, frozen=True):
    """The session goes on in this file; every event before this one was taken over from another."""

    from_: str = field(name="from")
    sha256: Annotated[str, Meta(description="SHA-256 of what was kept of the old file, or of all of it.")]
    lines_kept: int
    why: str
    missing: list[tuple[int, int]] | UnsetType = UNSET
    breaks: list[int] | UnsetType = UNSET


class SavedLate(EventData, frozen=True):
    """So many entries before this one were written late into this file, because it could not be written."""

    entries: Annotated[int, Meta(ge=1)]
    waited_s: Annotated[float, Meta(description="s; how long the first of them waited.", ge=0)]
    why: str


class Recovered(EventData, frozen=True):
    """A torn last line was set aside in a copy; its bytes stay in the file and belong to no event."""

    offset: int
    length: int
    copy: Annotated[str, Meta(description="Name of the copy that was set aside.")]


class Undone(EventData, frozen=True):
    """Event `ref` does not count; where that is an undo, what it took back counts again."""

    ref: EventN
    undone: Annotated[str, Meta(description="Kind of that event.")]


class Noted(EventData, frozen=True):
    """A remark in the dyer's words."""

    text: Words
    step: StepIdOrNone


class Addendum(EventData, frozen=True):
    """A remark written after the closing."""

    text: Words


class NotedLate(EventData, frozen=True):
    """A remark written later than it happened."""

    text: Words
    happened_at: Annotated[str, Meta(description="Time of day where the session was opened, `14:05`.")]


class ClockJump(EventData, frozen=True):
    """The wall clock was set, or the machine slept, by so many seconds."""

    seconds: Seconds


SHAPES: dict[str, type[Struct]] = {
    e.OPENED: Opened,
    e.RESUMED: Resumed,
    e.LEFT: Left,
    e.FINISHED: Finished,
    e.CONTINUED: Continued,
    e.SAVED_LATE: SavedLate,
    e.RECOVERED: Recovered,
    e.ADDENDUM: Addendum,
    e.UNDONE: Undone,
    e.NOTED: Noted,
    e.NOTED_LATE: NotedLate,
    e.CLOCK_STEPPED: ClockJump,
    e.CLOCK_SUSPENDED: ClockJump,
    **steps.SHAPES,
    **time.SHAPES,
    **bench.SHAPES,
    **follow_up.SHAPES,
}
"""The shape of the data of every kind of event, by kind."""
