"""One pair of hands, several pieces: tasks in an order, with every wait and the steamer's places; and the
shortest such order.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence

import msgspec

# One pair of hands, several pieces: tasks in an order, with every wait and the steamer's places.

MOST_TASKS = 80
"""More is no day of one pair of hands. House rule."""


class Wait(msgspec.Struct, frozen=True):
    """What must lie between the end of an earlier task and the start of this one.

    **Source:** house rule; see `in_order`.
    """

    task: str
    least_min: float = 0.0
    most_min: float = math.inf
    """Longer is allowed, but counted as late."""


class Task(msgspec.Struct, frozen=True):
    """Something both hands are needed for.

    **Source:** house rule; see `in_order`.
    """

    id: str
    hands_min: float
    """Above 0 to 1440."""
    after: tuple[Wait, ...] = ()
    places: int = 0
    """1 where it takes a place in the steamer, -1 where it gives one back."""


class Placed(msgspec.Struct, frozen=True):
    """A task with its time.

    **Source:** house rule; see `in_order`.
    """

    task: Task
    start_min: float

    @property
    def end_min(self) -> float:
        """When the hands are free again."""
        return self.start_min + self.task.hands_min


class DayOrder(msgspec.Struct, frozen=True):
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


class Partial(msgspec.Struct, frozen=True):
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


# The shortest order of a day's tasks for one pair of hands.

WIDEST = 250
"""Orders that are followed side by side. House rule."""
SAME_MIN = 1e-9


def best_order(tasks: Sequence[Task], places: int, *, start_with: Sequence[str] = ()) -> DayOrder:
    """The order with the least overrun waits and then the earliest finish, nothing being put off.

    `tasks`, `places`: as in `in_order`. `start_with`: an order that is known to be possible; the answer is
    never longer than it.
    Returns the order; `proven` where no other could be shorter.
    Refused (ValueError): as in `in_order`; where no order is possible at all.

    >>> from studio.craft.day_order import Wait
    >>> pieces = [Task(f"{n} in", 5, places=1) for n in "ab"]
    >>> pieces += [Task(f"{n} out", 5, (Wait(f"{n} in", 30),), -1) for n in "ab"]
    >>> best_order(pieces, 2).finish_min, best_order(pieces, 1).finish_min
    (45.0, 80.0)

    **Source:** beam search over orders, a state dropped where another with the same tasks done is nowhere
    later (dominance); house rule of width. Breaks, by a few minutes, where putting a task off on purpose
    would spare a wait elsewhere: such orders are not looked at.
    """
    known = checked(tasks, places)
    tails = _tails(known)
    best = in_order(tasks, start_with, places) if start_with else None
    front, whole = [NOTHING], True
    for _ in known:
        wider = [
            with_next(laid, task)
            for laid in front
            for task in known.values()
            if task.id not in laid.done and may_follow(laid, task, places)
        ]
        ranked = sorted(_undominated(wider, known), key=lambda laid: _bound(laid, known, tails))
        if best is not None:
            limit = (best.late_min + SAME_MIN, best.finish_min + SAME_MIN)
            ranked = [laid for laid in ranked if _bound(laid, known, tails)[:2] <= limit]
        whole = whole and len(ranked) <= WIDEST
        front = ranked[:WIDEST]
    found = [order_of(laid, known, proven=whole) for laid in front]
    found += [] if best is None else [best]
    if not found:
        raise ValueError(
            "No order is possible: something waits for itself, or for a place that never comes free."
        )
    shortest = min(found, key=lambda order: (order.late_min, order.finish_min))
    return DayOrder(shortest.placed, shortest.late_min, whole)


def _tails(known: Mapping[str, Task]) -> dict[str, float]:
    """From the start of each task to the end of all that waits for it, at the soonest."""
    followers: dict[str, list[tuple[str, float]]] = {task_id: [] for task_id in known}
    for task in known.values():
        for wait in task.after:
            followers[wait.task].append((task.id, wait.least_min))
    tails: dict[str, float] = {}
    on_the_way: set[str] = set()

    def tail(task_id: str) -> float:
        if task_id in on_the_way:
            raise ValueError(f"{task_id} waits for itself.")
        if task_id not in tails:
            on_the_way.add(task_id)
            behind = max((least + tail(other) for other, least in followers[task_id]), default=0.0)
            on_the_way.discard(task_id)
            tails[task_id] = known[task_id].hands_min + behind
        return tails[task_id]

    for task_id in known:
        tail(task_id)
    return tails


def _bound(
    laid: Partial, known: Mapping[str, Task], tails: Mapping[str, float]
) -> tuple[float, float, float]:
    """The least that an order beginning like this can overrun and take; what it has used breaks ties."""
    late, finish, hands = laid.late, laid.now, 0.0
    for task in known.values():
        if task.id in laid.done:
            continue
        hands += task.hands_min
        soonest = laid.now
        for wait in task.after:
            if wait.task in laid.done:
                soonest = max(soonest, laid.ends[wait.task] + wait.least_min)
                late += max(0.0, laid.now - laid.ends[wait.task] - wait.most_min)
        finish = max(finish, soonest + tails[task.id])
    return late, max(finish, laid.now + hands), laid.now


def _undominated(laid: Sequence[Partial], known: Mapping[str, Task]) -> Iterator[Partial]:
    """Of those with the same tasks done, the ones that no other beats in everything that still matters."""
    groups: dict[tuple[frozenset[str], tuple[float, ...]], list[tuple[tuple[float, ...], Partial]]] = {}
    for one in laid:
        open_ends, bounded = _still_matters(one, known)
        others = groups.setdefault((one.done, bounded), [])
        times = (one.late, one.now, *open_ends)
        if any(all(a <= b for a, b in zip(other, times, strict=True)) for other, _ in others):
            continue
        others[:] = [kept for kept in others if not all(b <= a for a, b in zip(kept[0], times, strict=True))]
        others.append((times, one))
    for others in groups.values():
        yield from (one for _, one in others)


def _still_matters(laid: Partial, known: Mapping[str, Task]) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Ends that open tasks wait for: those where sooner is better, and those with a latest time as well."""
    free: set[str] = set()
    bounded: set[str] = set()
    for task in known.values():
        if task.id in laid.done:
            continue
        for wait in task.after:
            if wait.task in laid.done:
                (free if math.isinf(wait.most_min) else bounded).add(wait.task)
    return (
        tuple(laid.ends[task_id] for task_id in sorted(free)),
        tuple(laid.ends[task_id] for task_id in sorted(bounded)),
    )
