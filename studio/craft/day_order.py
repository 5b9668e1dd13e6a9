"""One pair of hands, several pieces: tasks in an order, with every wait and the steamer's places."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

MOST_TASKS = 80
"""More is no day of one pair of hands. House rule."""


@dataclass(frozen=True, slots=True)
class Wait:
    """What must lie between the end of an earlier task and the start of this one.

    **Source:** house rule; see `in_order`.
    """

    task: str
    least_min: float = 0.0
    most_min: float = math.inf
    """Longer is allowed, but counted as late."""


@dataclass(frozen=True, slots=True)
class Task:
    """Something both hands are needed for.

    **Source:** house rule; see `in_order`.
    """

    id: str
    hands_min: float
    """Above 0 to 1440."""
    after: tuple[Wait, ...] = ()
    places: int = 0
    """1 where it takes a place in the steamer, -1 where it gives one back."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A task with its time.

    **Source:** house rule; see `in_order`.
    """

    task: Task
    start_min: float

    @property
    def end_min(self) -> float:
        """When the hands are free again."""
        return self.start_min + self.task.hands_min


@dataclass(frozen=True, slots=True)
class DayOrder:
    """Tasks in the order of work, in minutes from the start of the day.

    **Source:** house rule; see `in_order`.
    """

    placed: tuple[Placed, ...]
    late_min: float
    """Minutes by which waits were longer than they should be, all together."""
    proven: bool = False
    """Whether every other order was looked at or could be ruled out."""

    @property
    def finish_min(self) -> float:
        """When the last task ends; 0 for none."""
        return max((p.end_min for p in self.placed), default=0.0)


@dataclass(frozen=True, slots=True)
class Partial:
    """An order as far as it has been laid.

    **Source:** house rule; see `in_order`.
    """

    chosen: tuple[str, ...]
    starts: tuple[float, ...]
    done: frozenset[str]
    ends: Mapping[str, float]
    now: float
    late: float
    places: int


def in_order(tasks: Sequence[Task], ids: Iterable[str], places: int) -> DayOrder:
    """The tasks one after the other in the given order, each as soon as it may start.

    start = max(end of the task before, end of each earlier task + the wait after it)

    `tasks`: at most 80, waits only on each other. `ids`: each task once. `places`: of the steamer, 1 or more.
    Returns starts in min, and how far waits were overrun.
    Refused (ValueError): an order that puts a task before one it waits for, or more into the steamer than
    it holds; a task that is missing or unknown; waits in a ring.

    >>> soak, paint = Task("soak", 5), Task("paint", 20, (Wait("soak", 30),))
    >>> [p.start_min for p in in_order([soak, paint], ["soak", "paint"], 1).placed]
    [0.0, 35.0]

    **Source:** serial schedule generation (Kolisch & Hartmann, in Weglarz (ed.), Project Scheduling, Kluwer
    1999, from memory); arithmetic.
    """
    known = checked(tasks, places)
    laid = NOTHING
    for task_id in ids:
        if task_id not in known or task_id in laid.done:
            raise ValueError(f"There is no task {task_id}, or it comes twice.")
        if not may_follow(laid, known[task_id], places):
            raise ValueError(f"{task_id} cannot come before what it waits for, or finds no place.")
        laid = with_next(laid, known[task_id])
    if len(laid.done) != len(known):
        raise ValueError("Every task has to be in the order.")
    return order_of(laid, known, proven=False)


NOTHING = Partial((), (), frozenset(), {}, 0.0, 0.0, 0)


def checked(tasks: Sequence[Task], places: int) -> dict[str, Task]:
    """The tasks by name; refused (ValueError) as in `in_order`.

    >>> sorted(checked([Task("paint", 20), Task("soak", 5)], 1))
    ['paint', 'soak']

    **Source:** house rule; see `in_order`.
    """
    known = {task.id: task for task in tasks}
    if len(known) != len(tasks) or len(tasks) > MOST_TASKS:
        raise ValueError(f"At most {MOST_TASKS} tasks make a day, each with a name of its own.")
    if places < 1:
        raise ValueError(f"The steamer must have 1 place or more, not {places}.")
    for task in tasks:
        if not 0 < task.hands_min <= 1440:
            raise ValueError(f"{task.id} must take more than 0 and at most 1440 min, not {task.hands_min:g}.")
        for wait in task.after:
            if wait.task not in known:
                raise ValueError(f"{task.id} waits for {wait.task}, which is no task.")
            if not 0 <= wait.least_min <= wait.most_min:
                raise ValueError(f"{task.id} cannot wait {wait.least_min:g} min or more for {wait.task}.")
    return known


def may_follow(laid: Partial, task: Task, places: int) -> bool:
    """Whether what it waits for is done, and a place is free where it takes one.

    >>> may_follow(NOTHING, Task("rinse", 5, (Wait("paint"),)), 1), may_follow(NOTHING, Task("in", 5, (), 1), 1)
    (False, True)

    **Source:** house rule; see `in_order`.
    """
    return all(wait.task in laid.done for wait in task.after) and laid.places + task.places <= places


def with_next(laid: Partial, task: Task) -> Partial:
    """The order with one task more, as soon as it may start.

    >>> with_next(with_next(NOTHING, Task("soak", 5)), Task("paint", 20, (Wait("soak", 30),))).starts
    (0.0, 35.0)

    **Source:** arithmetic; see `in_order`.
    """
    start = max([laid.now, *(laid.ends[wait.task] + wait.least_min for wait in task.after)])
    late = sum(max(0.0, start - laid.ends[wait.task] - wait.most_min) for wait in task.after)
    end = start + task.hands_min
    return Partial(
        (*laid.chosen, task.id),
        (*laid.starts, start),
        laid.done | {task.id},
        {**laid.ends, task.id: end},
        end,
        laid.late + late,
        laid.places + task.places,
    )


def order_of(laid: Partial, known: Mapping[str, Task], *, proven: bool) -> DayOrder:
    """What has been laid, as an order.

    >>> soak = Task("soak", 5)
    >>> order_of(with_next(NOTHING, soak), {"soak": soak}, proven=False).finish_min
    5.0

    **Source:** arithmetic; see `in_order`.
    """
    placed = tuple(
        Placed(known[task_id], start) for task_id, start in zip(laid.chosen, laid.starts, strict=True)
    )
    return DayOrder(placed, laid.late, proven)
