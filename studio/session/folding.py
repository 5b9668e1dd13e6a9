"""The events that stand, folded into a state; live, resumed and reviewed alike."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from studio.session import events as e
from studio.session import fold_bench, fold_follow_up, fold_steps, fold_time
from studio.session.clock import Moment, happened_at, wall_ns_of
from studio.session.event_shapes import Opened
from studio.session.fitting import Misfit, fitted
from studio.session.joining import parts
from studio.session.records import place_of
from studio.session.standing import Log, taken_back
from studio.session.state import Fold, State

HANDLERS: dict[str, Fold] = {
    **fold_steps.HANDLERS,
    **fold_time.HANDLERS,
    **fold_bench.HANDLERS,
    **fold_follow_up.HANDLERS,
}
"""Every kind of event that changes a state, with its fold."""


class NotASession(ValueError):
    """The events do not begin with an opening."""


def replay(events: Iterable[e.Event]) -> State:
    """The fold of the events that stand; NotASession where the opening is missing or unreadable."""
    return _folded(Log(list(events)))


def apply(state: State, event: e.Event) -> State:
    """The state after one more event; after an undo the fold of those that stand now."""
    log = state.log.then(event)
    if event.kind == e.UNDONE:
        return _folded(log)
    return msgspec.structs.replace(_fold(state, event), last=_when(event), last_n=event.n, log=log)


def _folded(log: Log) -> State:
    stream = iter(log)
    first = next(stream, None)
    if first is None or first.kind != e.OPENED:
        raise NotASession(
            "The file does not begin with the opening of a session, so there is nothing to show."
        )
    last, gone = next(reversed(log)), taken_back(log)
    state = msgspec.structs.replace(_opened(first), log=log, gone=gone, last=_when(last), last_n=last.n)
    for event in stream:
        if event.n not in gone:
            state = _fold(state, event)
    return state


def _fold(state: State, event: e.Event) -> State:
    """What the event and its parts do, from when it happened; an answer to an alarm that is gone does nothing."""
    told = _when(event)
    late = event.data.get("happened")
    when = told if late is None else happened_at(late)
    if event.kind == e.ALARM_ACKNOWLEDGED and place_of(state.alarms, event.data["alarm"]) is None:
        return state
    for part in parts(event):
        handler = HANDLERS.get(part.kind)
        if handler is None:
            state = msgspec.structs.replace(state, unknown_kinds=(*state.unknown_kinds, part.kind))
        else:
            state = handler(state, part, when)
    return state if late is None else fold_time.ringing_anew(state, told)


def _when(event: e.Event) -> Moment:
    return Moment(wall_ns_of(event.at), event.boot_ns, event.boot)


def _opened(event: e.Event) -> State:
    try:
        told: Opened = fitted(event.kind, event.data, newer=e.newer(event.data.get("format")))
    except Misfit as problem:
        raise NotASession(
            f"The opening of the session (line 1) cannot be read, {problem}; "
            "verify the file to see what is left of it."
        ) from None
    when = _when(event)
    return State(
        title=told.title,
        worksheet=told.worksheet,
        choices=told.choices or None,
        plan_text=told.plan,
        opened=when,
        last=when,
        last_n=event.n,
        utc_offset_min=told.utc_offset_min,
        rehearsal_speed=told.clock.speed if told.clock else None,
        program=told.program,
    )
