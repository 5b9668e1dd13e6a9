"""One order of work for a day: when each thing is done, where the hands wait, when it is finished."""

from __future__ import annotations

import re

import msgspec

from studio.craft.day_order import in_order
from studio.craft.day_search import best_order
from studio.plaintext import clean
from studio.plan.day_piece import DayTask
from studio.plan.day_work import DayWork

WORTH_TELLING_MIN = 1.0
"""Shorter pauses are not listed. House rule."""


class DayLine(msgspec.Struct, frozen=True, kw_only=True):
    """A task with its time, and the pause before it."""

    task: DayTask
    start_min: float
    """From the start of the day's work."""
    pause_min: float
    """Free hands before it."""

    @property
    def end_min(self) -> float:
        """When the hands are free again."""
        return self.start_min + self.task.task.hands_min


class DaySheet(msgspec.Struct, frozen=True, kw_only=True):
    """The day, laid out."""

    lines: tuple[DayLine, ...]
    places: int
    pieces: int
    finish_min: float
    hands_min: float
    one_by_one_min: float
    """How long it takes one piece after the other."""
    late_min: float
    """Minutes that packets stay in the steam beyond what is allowed for, all together."""
    proven: bool
    """Whether no other order finishes sooner."""
    start_of_day_min: float | None = None
    """Minute of the day at which work begins; None where no time was given."""

    def at(self, minute: float) -> float:
        """Minute of the day of a minute of the work; the same minute where no time was given."""
        return (self.start_of_day_min or 0.0) + minute


_CLOCK = re.compile(r"([0-9]{1,2})(?:[:.h]([0-9]{2}))?", re.ASCII)


def minute_of_day(text: str) -> float:
    """A time of day as its minute; ValueError, one sentence, where it is none.

    >>> minute_of_day("9:40"), minute_of_day(" 17 ")
    (580.0, 1020.0)
    """
    told = _CLOCK.fullmatch(text.strip())
    if told is None or int(told[1]) > 23 or int(told[2] or 0) > 59:
        raise ValueError(f'"{clean(text, limit=20)}" is no time of day; write for example 9:00 or 17:30.')
    return int(told[1]) * 60.0 + int(told[2] or 0)


def lay_out(work: DayWork, *, start_min: float | None = None, finish_by_min: float | None = None) -> DaySheet:
    """The shortest order found.

    start_min, finish_by_min: minutes of the day, 0 to 1440, one of them at most.
    ValueError, one sentence: both given; a finish that would need a start before midnight; too many tasks.
    **Source:** `craft.day_search`.
    """
    if start_min is not None and finish_by_min is not None:
        raise ValueError("Give a start or a finish, not both.")
    tasks = [t.task for t in work.tasks]
    order = best_order(tasks, work.places, start_with=work.one_by_one)
    known = {t.task.id: t for t in work.tasks}
    lines, free = [], 0.0
    for placed in order.placed:
        line = DayLine(
            task=known[placed.task.id], start_min=placed.start_min, pause_min=placed.start_min - free
        )
        lines.append(line)
        free = line.end_min
    start = start_min
    if finish_by_min is not None:
        start = finish_by_min - order.finish_min
        if start < 0:
            raise ValueError(
                f"That is {order.finish_min / 60:.1f} h of work: too much to be finished by then on one day."
            )
    return DaySheet(
        lines=tuple(lines),
        places=work.places,
        pieces=work.pieces,
        finish_min=order.finish_min,
        hands_min=sum(t.hands_min for t in tasks),
        one_by_one_min=in_order(tasks, work.one_by_one, work.places).finish_min,
        late_min=order.late_min,
        proven=order.proven,
        start_of_day_min=start,
    )
