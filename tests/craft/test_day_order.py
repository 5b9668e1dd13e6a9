"""One pair of hands and a steamer: what no order may do, and that the found one is the shortest."""

from __future__ import annotations

import math
from itertools import pairwise, permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.craft import day_order as day_search
from studio.craft.day_order import DayOrder, Task, Wait, best_order, in_order
from tests.conftest import examples


def piece(name: str, paint: float, steam: float, cool: float) -> list[Task]:
    """Painted, into the steam, out of it, rinsed."""
    return [
        Task(f"{name} paint", paint),
        Task(f"{name} in", 2, (Wait(f"{name} paint"),), 1),
        Task(f"{name} out", 3, (Wait(f"{name} in", steam, steam + 15),), -1),
        Task(f"{name} rinse", 10, (Wait(f"{name} out", cool),)),
    ]


@st.composite
def days(draw: st.DrawFn, most: int = 3) -> tuple[list[Task], int]:
    minutes = st.integers(1, 40).map(float)
    tasks = [
        task
        for number in range(draw(st.integers(1, most)))
        for task in piece(str(number), draw(minutes), draw(minutes), draw(minutes))
    ]
    return tasks, draw(st.integers(1, 3))


def must_hold(order: DayOrder, tasks: list[Task], places: int) -> None:
    """What the rules of the day are, said once more and differently: by looking at every minute's owner."""
    assert sorted(p.task.id for p in order.placed) == sorted(t.id for t in tasks)
    spans = sorted((p.start_min, p.end_min) for p in order.placed)
    assert all(end <= start + 1e-9 for (_, end), (start, _) in pairwise(spans))
    begins = {p.task.id: p.start_min for p in order.placed}
    ends = {p.task.id: p.end_min for p in order.placed}
    for task in tasks:
        for wait in task.after:
            assert begins[task.id] >= ends[wait.task] + wait.least_min - 1e-9
    inside = [(begins[t.id], 1) for t in tasks if t.places == 1]
    inside += [(ends[t.id], -1) for t in tasks if t.places == -1]
    held = 0
    for _, change in sorted(inside):
        held += change
        assert held <= places


@given(days())
def test_hands_do_one_thing_at_a_time_and_the_steamer_is_never_overfull(day) -> None:
    tasks, places = day
    one_by_one = [t.id for t in tasks]
    found = best_order(tasks, places, start_with=one_by_one)
    must_hold(found, tasks, places)
    plain = in_order(tasks, one_by_one, places)
    must_hold(plain, tasks, places)
    assert found.finish_min <= plain.finish_min + 1e-9
    assert found.late_min <= plain.late_min + 1e-9
    assert found.finish_min >= sum(t.hands_min for t in tasks) - 1e-9


def every_order(tasks: list[Task], places: int) -> tuple[float, float]:
    """The best of all orders there are, by trying each."""
    best = (math.inf, math.inf)
    for ids in permutations(t.id for t in tasks):
        try:
            order = in_order(tasks, ids, places)
        except ValueError:
            continue
        best = min(best, (round(order.late_min, 6), round(order.finish_min, 6)))
    return best


@given(days(most=2))
@examples(8)
def test_small_days_are_as_short_as_the_best_of_all_orders(day) -> None:
    tasks, places = day
    found = best_order(tasks, places)
    assert found.proven
    assert (found.late_min, found.finish_min) == pytest.approx(every_order(tasks, places))


def test_seven_jobs_of_the_literature_take_fifty() -> None:
    """One machine, seven jobs with heads and tails: the best order takes 50.

    Source: J. Carlier, The one-machine sequencing problem, European Journal of Operational Research 11
    (1982) 42, example with an optimum of 50 where the usual rule gives 53 (from memory). All 5 040 orders
    are tried here as well, by a formula that shares nothing with the program.
    """
    heads = (10, 13, 11, 20, 30, 0, 30)
    work = (5, 6, 7, 4, 3, 6, 2)
    tails = (7, 26, 24, 21, 8, 17, 0)

    def takes(order: tuple[int, ...]) -> int:
        free = longest = 0
        for job in order:
            free = max(free, heads[job]) + work[job]
            longest = max(longest, free + tails[job])
        return longest

    assert min(map(takes, permutations(range(7)))) == 50
    jobs = [Task(f"job {n}", work[n], (Wait("open", heads[n]),)) for n in range(7)]
    close = Task("close", 1, tuple(Wait(f"job {n}", tails[n]) for n in range(7)))
    found = best_order([Task("open", 1), *jobs, close], 1)
    assert found.proven and found.finish_min == 1 + 50 + 1


def test_longest_tails_first_where_all_may_start_at_once() -> None:
    """Source: J. R. Jackson, Scheduling a production line to minimize maximum tardiness, University of
    California Los Angeles, Management Science Research Project, report 43 (1955): decreasing tails (from memory)."""
    work, tails = (4, 2, 6, 5, 3, 7, 1, 2), (3, 18, 9, 22, 4, 12, 30, 1)
    free = longest = 0
    for job in sorted(range(8), key=lambda n: -tails[n]):
        free += work[job]
        longest = max(longest, free + tails[job])
    jobs = [Task(f"job {n}", work[n]) for n in range(8)]
    close = Task("close", 1, tuple(Wait(f"job {n}", tails[n]) for n in range(8)))
    assert best_order([*jobs, close], 1).finish_min == longest + 1


def test_by_hand_two_pieces_in_one_and_in_two_places() -> None:
    """One place: 5 in + 30 + 5 out, twice = 80. Two: in at 0 and 5, out at 35 and 40, so 45."""
    tasks = [Task(f"{n} in", 5, places=1) for n in "ab"]
    tasks += [Task(f"{n} out", 5, (Wait(f"{n} in", 30),), -1) for n in "ab"]
    assert best_order(tasks, 1).finish_min == 80
    assert best_order(tasks, 2).finish_min == 45


def test_a_packet_is_not_left_in_the_steam_for_the_sake_of_a_shorter_day() -> None:
    """Out is due between minute 12 and 17. Painting 30 min first would end sooner, but leave it in for 20 more."""
    tasks = [Task("in", 2, (), 1), Task("out", 2, (Wait("in", 10, 15),), -1), Task("paint", 30)]
    tasks.append(Task("close", 1, (Wait("out"), Wait("paint"))))
    found = best_order(tasks, 1, start_with=("in", "paint", "out", "close"))
    assert found.late_min == 0
    starts = {p.task.id: p.start_min for p in found.placed}
    assert 12 <= starts["out"] <= 17


@pytest.mark.parametrize(
    ("tasks", "said"),
    [
        ([Task("a", 0)], "more than 0"),
        ([Task("a", math.nan)], "more than 0"),
        ([Task("a", 1), Task("a", 1)], "name of its own"),
        ([Task("a", 1, (Wait("b"),))], "no task"),
        ([Task("a", 1, (Wait("b"),)), Task("b", 1, (Wait("a"),))], "waits for itself"),
        ([Task("a", 1, (Wait("b", 5, 4),)), Task("b", 1)], "cannot wait"),
        ([Task("a", 1, (), 2)], "No order is possible"),
    ],
)
def test_what_is_no_day_is_refused(tasks: list[Task], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        best_order(tasks, 1)


@pytest.mark.parametrize("ids", [("b", "a"), ("a",), ("a", "a"), ("a", "x")])
def test_an_order_that_cannot_be_is_refused(ids: tuple[str, ...]) -> None:
    with pytest.raises(ValueError):
        in_order([Task("a", 1), Task("b", 1, (Wait("a"),))], ids, 1)
    with pytest.raises(ValueError, match="1 place or more"):
        in_order([Task("a", 1)], ("a",), 0)


def test_an_order_is_proven_only_where_none_was_left_out(monkeypatch) -> None:
    """Two pieces leave several orders open after the first task; looked at one by one, nobody knows the best."""
    tasks = [*piece("a", 20, 36, 60), *piece("b", 30, 36, 60)]
    assert best_order(tasks, 1).proven
    monkeypatch.setattr(day_search, "WIDEST", 1)
    assert not best_order(tasks, 1).proven
