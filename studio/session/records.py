"""What a state works out of the events about each step, clock and alarm, and of remarks."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from typing import Literal

import msgspec

from studio.plan.shapes import ClockRole
from studio.session.clock import Moment

AlarmLevel = Literal["due", "low", "dry", "60 s", "10 s"]
"""A clock ran out, or soon will; `low` and `dry` are the pot's, by what has boiled off."""

Urgency = Literal["high", "medium", "low"]
"""Of a clock and its alarms."""

StepState = Literal["open", "done", "measured", "not measured", "skipped", "passed", "overridden"]


class Earlier(msgspec.Struct, frozen=True):
    """A value or a tick that was taken back or corrected; kept so that nothing is obscured."""

    what: str
    at_ns: int
    why: str


class StepRecord(msgspec.Struct, frozen=True):
    """How one step stands."""

    state: StepState = "open"
    n: int = 0
    """Number of the event that closed it; 0 while open."""
    at_ns: int = 0
    """Wall time of closing."""
    moment: Moment | None = None
    """The same on every clock."""
    value: float | None = None
    unit: str = ""
    typed: str = ""
    why: str = ""
    read_c: float | None = None
    """degC last read of the goods: what ended a wait, or stood against a gate that was passed all the same."""
    flagged: bool = False
    """It was doubted, as a value outside the expected range is, and the dyer said that it is so."""
    asked: float | None = None
    """What the step asked for when it was closed, in its unit."""
    fixed: Mapping[str, float] = {}
    """Amounts that stand since it was closed, by the id of their figure: the value, and what was done as asked."""
    earlier: tuple[Earlier, ...] = ()

    @property
    def closed(self) -> bool:
        """Whether nothing more is to be done for it."""
        return self.state != "open"


class TimerRecord(msgspec.Struct, frozen=True):
    """One clock that was started."""

    id: str
    label: str
    minutes: float
    action: str
    priority: Urgency
    started: Moment
    n: int
    """Number of the event that started it, or its round."""
    by: str
    """The step that started it."""
    role: ClockRole
    """What it is for."""
    set_number: int = 1
    round: int = 1
    repeats: bool = False
    with_timer: str = ""
    head_start_s: float = 0.0
    """Seconds already run when `started` was set (after a person confirmed an unsure time)."""
    stopped_after_s: float | None = None
    stopped: Moment | None = None
    needs_steam: bool = False
    """Stands still while the steam is lost."""
    off: tuple[tuple[Moment, Moment | None], ...] = ()
    """When it stood still since `started`, in order of time."""
    raised: frozenset[str] = frozenset()
    """Levels already sounded in this round."""

    @property
    def running(self) -> bool:
        """Whether it has been started and not stopped."""
        return self.stopped_after_s is None

    @property
    def paused(self) -> Moment | None:
        """Since when it stands still."""
        return self.off[-1][0] if self.off and self.off[-1][1] is None else None


class AlarmRecord(msgspec.Struct, frozen=True):
    """One alarm that was raised."""

    n: int
    timer: str
    level: AlarmLevel
    priority: Urgency
    text: str
    raised: Moment
    late_s: float
    acknowledged_after_s: float | None = None
    ended_by: str = ""
    """What ended it in place of the dyer's word: a step, `refill`, `more time`, `true time`, `dry pot`."""
    snoozed_at: Moment | None = None
    snoozed_min: float = 0.0

    @property
    def ahead(self) -> bool:
        """Whether it only tells that a clock is about to come due, and waits for nobody."""
        return self.level in ("60 s", "10 s")

    @property
    def standing(self) -> bool:
        """Whether it still waits for the dyer."""
        return not self.ahead and self.acknowledged_after_s is None


def place_of(alarms: Sequence[AlarmRecord], n: int) -> int | None:
    """Where the alarm that event `n` raised lies among those raised, in the order of their numbers."""
    at = bisect_left(alarms, n, key=lambda alarm: alarm.n)
    return at if at < len(alarms) and alarms[at].n == n else None


class Note(msgspec.Struct, frozen=True):
    """A remark in the dyer's words."""

    n: int = 0
    at_ns: int = 0
    text: str = ""
    step: str = ""
    addendum: bool = False
    happened_at: str = ""
    """For a late entry: the time of day it happened at, `14:05`; `at_ns` is when it was written."""
