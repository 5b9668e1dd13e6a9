"""What the events of fastness tests hold in their `data`; they follow the closing line."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import UNSET, Meta, Struct, UnsetType

from studio.session import events as e
from studio.session.event_shapes_time import EventData, Words

Number = Annotated[int, Meta(description="Which test of the session, 1 for the first planned.", ge=1)]
Test = Literal["light", "wash", "wet rub"]
Day = Annotated[
    str, Meta(description="Day by the calendar of the place, `2026-10-10`.", pattern=r"^[0-9]{4}-")
]
Grade = Annotated[
    Literal["5", "4-5", "4", "3-4", "3", "2-3", "2", "1-2", "1", ""],
    Meta(description="Grade on the grey scale, 5 best; empty where it was not graded for this."),
]
WordsOrNone = Annotated[str, Meta(description="In the dyer's words, or empty.")]


class FollowUpPlanned(EventData, frozen=True):
    """A home test of fastness was planned; with the number of one that waits, it was moved to another day."""

    number: Number
    test: Test
    due: Day
    how: Words
    note: WordsOrNone


class FollowUpGraded(EventData, frozen=True):
    """A test was graded by eye; a later one counts in place of an earlier, and both stay."""

    number: Number
    test: Test
    change: Grade
    staining: Grade
    note: WordsOrNone
    why: Words | UnsetType = UNSET


class FollowUpCancelled(EventData, frozen=True):
    """A test that was planned will not be done."""

    number: Number
    test: Test
    why: Words


SHAPES: dict[str, type[Struct]] = {
    e.FOLLOW_UP_PLANNED: FollowUpPlanned,
    e.FOLLOW_UP_GRADED: FollowUpGraded,
    e.FOLLOW_UP_CANCELLED: FollowUpCancelled,
}
"""By kind of event."""
