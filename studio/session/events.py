"""What a session file tells: events, in file order.

An event never changes. A correction, an undo and a remark are events of their own that point back.
"""

from __future__ import annotations

import re
from typing import Any, Protocol

import msgspec

FORMAT = "potside-session/1"

OPENED = "session.opened"
RESUMED = "session.resumed"
LEFT = "session.left"
FINISHED = "session.finished"
CONTINUED = "session.continued"
SAVED_LATE = "session.saved_late"
RECOVERED = "recovered"
ADDENDUM = "addendum"
STEP_DONE = "step.done"
STEP_MEASURED = "step.measured"
STEP_NOT_MEASURED = "step.not_measured"
STEP_SKIPPED = "step.skipped"
GATE_PASSED = "gate.passed"
OVERRIDDEN = "step.overridden"
CAUTION_ACCEPTED = "caution.accepted"
CORRECTED = "corrected"
UNDONE = "undone"
NOTED = "noted"
TIMER_STARTED = "timer.started"
TIMER_STOPPED = "timer.stopped"
TIMER_EXTENDED = "timer.extended"
TIMER_CONFIRMED = "timer.confirmed"
ALARM_RAISED = "alarm.raised"
ALARM_ACKNOWLEDGED = "alarm.acknowledged"
ALARM_SNOOZED = "alarm.snoozed"
CLOCK_STEPPED = "clock.stepped"
CLOCK_SUSPENDED = "clock.suspended"
READING_TAKEN = "reading.taken"
STEAM_STOPPED = "steam.stopped"
STEAM_AGAIN = "steam.again"
POT_REFILLED = "pot.refilled"
BATCH_MIXED = "batch.mixed"
PAINT_LEFT = "paint.left"
BAND_PAINTED = "band.painted"
RINSE_ROUND = "rinse.round"
BATH_LOOKED = "bath.looked"
ACID_DOSED = "acid.dosed"
SET_ADDED = "set.added"
LEFTOVER_KEPT = "leftover.kept"
PHOTO_ADDED = "photo.added"
SWATCH_COUNTED = "swatch.counted"
DROPS_COUNTED = "drops.counted"
POT_READ = "pot.read"
NOTED_LATE = "noted.late"
FOLLOW_UP_PLANNED = "follow_up.planned"
FOLLOW_UP_GRADED = "follow_up.graded"
FOLLOW_UP_CANCELLED = "follow_up.cancelled"

CLOSES_A_STEP = frozenset(
    {STEP_DONE, STEP_MEASURED, STEP_NOT_MEASURED, STEP_SKIPPED, GATE_PASSED, OVERRIDDEN}
)
AFTER_THE_END = frozenset(
    {
        ADDENDUM,
        PHOTO_ADDED,
        SWATCH_COUNTED,
        DROPS_COUNTED,
        FOLLOW_UP_PLANNED,
        FOLLOW_UP_GRADED,
        FOLLOW_UP_CANCELLED,
        RECOVERED,
        CONTINUED,
        SAVED_LATE,
    }
)
"""What may follow the closing line, whose SHA-256 covers every byte before it and stays true."""


def newer(told: object) -> bool:
    """Whether a later version of the program wrote a file of that format: it may be read, never written.

    >>> newer(FORMAT), newer("potside-session/2"), newer(None)
    (False, True, True)
    """
    number = re.fullmatch(r"potside-session/([0-9]{1,6})", told) if isinstance(told, str) else None
    return told != FORMAT and (number is None or int(number[1]) > int(FORMAT.rpartition("/")[2]))


class Draft(msgspec.Struct, frozen=True):
    """An event that was decided on but is not yet in the file."""

    kind: str
    data: dict[str, Any]


class Event(Protocol):
    """An event as it was read back; the store's records have this shape."""

    @property
    def n(self) -> int: ...
    @property
    def kind(self) -> str: ...
    @property
    def at(self) -> str: ...
    @property
    def boot_ns(self) -> int: ...
    @property
    def boot(self) -> str: ...
    @property
    def data(self) -> dict[str, Any]: ...
