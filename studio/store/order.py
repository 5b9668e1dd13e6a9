"""Puts the whole lines of a session file in the order of their numbers and names what does not fit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

import msgspec

from studio.session.events import CONTINUED
from studio.store.line import FIRST_PREV, Record
from studio.store.scan import Found

ProblemKind = Literal[
    "bad line",
    "tail",
    "merged",
    "missing",
    "repeated",
    "conflict",
    "out of order",
    "chain",
    "empty",
    "opening",
]


class Problem(msgspec.Struct, frozen=True):
    """One thing that is not as it was written."""

    kind: ProblemKind
    line: int
    """Line of the file, from 1; for missing events the line they would stand before."""
    text: str
    """One sentence."""
    healed: bool = False
    """Known and harmless: nothing is lost by it, or a later event already accounts for it."""


@dataclass(slots=True)
class Order:
    """The records by number, and what was found on the way."""

    kept: list[Found] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    missing: list[tuple[int, int]] = field(default_factory=list)
    """First and last number of each run of events that are not there."""
    breaks: list[int] = field(default_factory=list)
    """Numbers of events that do not continue the event before them."""


def put_in_order(found: Sequence[Found]) -> Order:
    """Every event once, by number; gaps, repeats, swaps and broken chains are named."""
    order = Order()
    by_number = _one_for_each_number(found, order.problems)
    order.kept = sorted(by_number.values(), key=lambda item: item.record.n)
    _name_swaps(found, by_number, order.problems)
    missing, breaks = _accounted_for(item.record for item in order.kept)
    number, crc = 0, FIRST_PREV
    for item in order.kept:
        record = item.record
        if record.n > number + 1:
            gap = (number + 1, record.n - 1)
            order.missing.append(gap)
            order.problems.append(_gap(gap, item.line, gap in missing))
        elif record.prev != crc:
            order.breaks.append(record.n)
            text = f"Line {item.line} (event {record.n}) does not continue the event before it."
            order.problems.append(Problem("chain", item.line, text, record.n in breaks))
        number, crc = record.n, record.crc
    return order


def follows(before: Record | None, after: Record) -> bool:
    """Whether `after` continues `before` with nothing between them."""
    if before is None:
        return after.n == 1 and after.prev == FIRST_PREV
    return after.n == before.n + 1 and after.prev == before.crc


def _one_for_each_number(found: Sequence[Found], problems: list[Problem]) -> dict[int, Found]:
    by_number: dict[int, Found] = {}
    for item in found:
        number = item.record.n
        first = by_number.setdefault(number, item)
        if first is item:
            continue
        if first.record == item.record:
            text = f"Line {item.line} repeats line {first.line} (event {number})."
            problems.append(Problem("repeated", item.line, text))
            continue
        before = by_number.get(number - 1)
        later_fits = before is not None and follows(before.record, item.record)
        if later_fits and before is not None and not follows(before.record, first.record):
            by_number[number] = item
        text = (
            f"Lines {first.line} and {item.line} are two different events numbered {number}; "
            f"line {by_number[number].line} is kept."
        )
        problems.append(Problem("conflict", item.line, text))
    return by_number


def _name_swaps(found: Sequence[Found], by_number: dict[int, Found], problems: list[Problem]) -> None:
    highest = 0
    for item in found:
        number = item.record.n
        if by_number[number] is not item:
            continue
        if number < highest:
            text = f"Line {item.line} (event {number}) stands after event {highest}; it was put back."
            problems.append(Problem("out of order", item.line, text))
        highest = max(highest, number)


def _gap(gap: tuple[int, int], line: int, healed: bool) -> Problem:
    first, last = gap
    what = f"Event {first} is" if first == last else f"Events {first} to {last} are"
    return Problem("missing", line, f"{what} missing before line {line}.", healed)


def _accounted_for(records: Iterable[Record]) -> tuple[set[tuple[int, int]], set[int]]:
    """Gaps and breaks that a `session.continued` event already names."""
    missing: set[tuple[int, int]] = set()
    breaks: set[int] = set()
    for record in records:
        if record.kind != CONTINUED:
            continue
        for gap in _list(record.data.get("missing")):
            if isinstance(gap, list) and len(gap) == 2 and all(type(end) is int for end in gap):
                missing.add((gap[0], gap[1]))
        breaks.update(number for number in _list(record.data.get("breaks")) if type(number) is int)
    return missing, breaks


def _list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []
