"""One command, one event: the clocks it starts and stops, the alarms it ends and the step it closes lie in it.

So a process that is killed leaves a command whole or not at all, and undo takes it back whole. Rules name what
comes of a command as drafts, the leading one first; the folds meet its parts one by one, each with the number
and the time of the event they lie in.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import msgspec

from studio.session import events as e

WITHIN: dict[str, str] = {
    **dict.fromkeys(e.CLOSES_A_STEP, "closes"),
    e.TIMER_STOPPED: "stops",
    e.ALARM_ACKNOWLEDGED: "ends",
    e.TIMER_EXTENDED: "extends",
    e.TIMER_STARTED: "starts",
}
"""Where in an event that leads a part of that kind lies."""
_KIND_OF = {where: kind for kind, where in WITHIN.items() if where != "closes"}
_WHERE = frozenset(WITHIN.values())


class EventPart(msgspec.Struct, frozen=True):
    """What lies in an event, as an event of its own kind."""

    n: int
    kind: str
    at: str
    boot_ns: int
    boot: str
    data: dict[str, Any]


def joined(drafts: Sequence[e.Draft]) -> list[e.Draft]:
    """The drafts with each that may lie within another put into the one that leads it.

    >>> [draft] = joined([e.Draft("step.done", {"step": "a"}), e.Draft("timer.stopped", {"timer": "t"})])
    >>> draft.kind, draft.data
    ('step.done', {'step': 'a', 'stops': [{'timer': 't'}]})
    """
    leading: list[e.Draft] = []
    for draft in drafts:
        where = WITHIN.get(draft.kind)
        if where is None or not leading:
            leading.append(e.Draft(draft.kind, dict(draft.data)))
            continue
        kind = {"kind": draft.kind} if where == "closes" else {}
        leading[-1].data.setdefault(where, []).append({**kind, **draft.data})
    return leading


def parts(event: e.Event) -> Iterable[e.Event]:
    """The event and what lies in it: first the steps it closes, last the clocks it starts."""
    data = event.data
    if _WHERE.isdisjoint(data):
        return (event,)
    closes = [_part(event, data["closes"], "")] if "closes" in data else []
    others = [_part(event, data[where], kind) for where, kind in _KIND_OF.items() if where in data]
    return [*(p for found in closes for p in found), event, *(p for found in others for p in found)]


def _part(event: e.Event, within: list[dict[str, Any]], kind: str) -> list[EventPart]:
    return [
        EventPart(event.n, kind or one["kind"], event.at, event.boot_ns, event.boot, one) for one in within
    ]
