"""The course of a session and of its file: opened, left, taken up again, closed; saved late, torn, continued."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

import msgspec
from msgspec import Meta, field

from studio.plaintext import clean
from studio.plan.settled import Settled, self_contained
from studio.plan.shapes import Figure, Worksheet
from studio.session.asked import Refused
from studio.session.clock import Reading
from studio.session.events import Event, Head, StepIdOrNone, Words, kind_of
from studio.session.kinds.clocks import TimerStopped
from studio.session.state import State
from studio.session.timers import minutes_text


class RehearsalClock(Reading, frozen=True, forbid_unknown_fields=True):
    """The fast clock of a rehearsal, from when it began. A session that has this is not a real one."""

    speed: Annotated[float, Meta(description="How many times as fast as the real clock.")]


class Opened(Event, frozen=True, tag="session.opened"):
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
        Settled, Meta(description="What the worksheet was worked out of, with what it needs of the shelf.")
    ]
    clock: RehearsalClock | None = None
    plan_file: Annotated[str, Meta(description="Name of the plan file it was begun from.")] = ""

    def says(self, state: State) -> str:
        return f"session opened: {clean(state.title, limit=100)}"


def opening(told: Opened) -> Opened:
    """The opening with all that its figures need, so that they can be worked out anew from what is measured; Refused
    where the worksheet holds a stop.
    """
    if told.worksheet.stops:
        raise Refused(f"This session cannot begin: {told.worksheet.stops[0].text}")
    return msgspec.structs.replace(told, choices=self_contained(told.choices))


class Resumed(Event, frozen=True, tag="session.resumed"):
    """The session was opened again."""

    pid: int
    program: str
    step: StepIdOrNone
    last_closed: StepIdOrNone

    def apply(self, state: State, head: Head) -> None:
        state.resumed.append((head.at.wall_ns, self.program))

    def says(self, state: State) -> str:
        return f"session resumed{by_version(state, self.program)}"


class Left(Event, frozen=True, tag="session.left"):
    """The bench was closed; the session stays open."""

    step: StepIdOrNone

    def says(self, state: State) -> str:
        return "bench left; the session stays open"


class Finished(Event, frozen=True, tag="session.finished"):
    """The closing event."""

    outcome: Literal["finished", "abandoned"]
    counts: Annotated[
        dict[str, int],
        Meta(description="`steps` in all, how many stand how (`done`, `measured`, ...), `notes`, `alarms`."),
    ]
    sha256: Annotated[
        str, Meta(description="SHA-256 of every byte before this line.", pattern="^[0-9a-f]{64}$")
    ]
    """Put in where the line is written."""
    figures: Annotated[
        tuple[Figure, ...],
        Meta(description="The figures that are not as they were begun: what they came to, and why."),
    ] = ()
    why: Words = ""
    stops: tuple[TimerStopped, ...] = ()

    def apply(self, state: State, head: Head) -> None:
        state.outcome, state.outcome_why, state.came_to = self.outcome, self.why, self.figures

    def says(self, state: State) -> str:
        why = clean(self.why, limit=400)
        return f"session {self.outcome}" + (f": {why}" if why else "")


class Continued(Event, frozen=True, tag="session.continued"):
    """The session goes on in this file; every event before this one was taken over from another."""

    after_the_end: ClassVar[bool] = True

    from_: str = field(name="from")
    sha256: Annotated[str, Meta(description="SHA-256 of what was kept of the old file, or of all of it.")]
    lines_kept: int
    why: str
    missing: tuple[tuple[int, int], ...] = ()
    breaks: tuple[int, ...] = ()

    def says(self, state: State) -> str:
        return "continued from another file"


class SavedLate(Event, frozen=True, tag="session.saved_late"):
    """So many entries before this one were written late into this file, because it could not be written."""

    after_the_end: ClassVar[bool] = True

    entries: Annotated[int, Meta(ge=1)]
    waited_s: Annotated[float, Meta(description="s; how long the first of them waited.", ge=0)]
    why: str

    def says(self, state: State) -> str:
        entries = "1 entry was" if self.entries == 1 else f"{self.entries} entries were"
        waited = minutes_text(self.waited_s)
        return f"{entries} saved late, after {waited}: {clean(self.why, limit=300)}"


class Recovered(Event, frozen=True, tag="recovered"):
    """A torn last line was set aside in a copy; its bytes stay in the file and belong to no event."""

    after_the_end: ClassVar[bool] = True

    offset: int
    length: int
    copy: Annotated[str, Meta(description="Name of the copy that was set aside.")]

    def says(self, state: State) -> str:
        return "an incomplete last line was set aside"


def by_version(state: State, program: str) -> str:
    """` by potside 0.3, begun with 0.2: its figures are worked out anew`; empty where that is the same version."""
    if program == state.program:
        return ""
    by, begun = clean(program, limit=40), clean(state.program, limit=40)
    return f" by potside {by}, begun with {begun}: what is not closed is worked out anew"


OPENED, FINISHED, CONTINUED = kind_of(Opened), kind_of(Finished), kind_of(Continued)
SAVED_LATE, RECOVERED = kind_of(SavedLate), kind_of(Recovered)
"""The kinds by which the store knows its way in a file."""
