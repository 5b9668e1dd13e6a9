"""The shortest order of a day's tasks for one pair of hands."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from studio.craft.day_order import (
    NOTHING,
    DayOrder,
    Partial,
    Task,
    checked,
    in_order,
    may_follow,
    order_of,
    with_next,
)

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
