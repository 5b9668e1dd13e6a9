"""The events that stand, folded into a state; live, resumed and reviewed alike."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from studio.session.clock import Moment, wall_ns_of
from studio.session.events import Head, Recorded, parts
from studio.session.fitting import Misfit
from studio.session.kinds.clocks import AlarmAcknowledged, late_of, ringing_anew
from studio.session.kinds.course import OPENED, Opened
from studio.session.state import Log, State, Undone, place_of, taken_back


class NotASession(ValueError):
    """The events do not begin with an opening."""


def replay(events: Iterable[Recorded]) -> State:
    """The fold of the events that stand; NotASession where the opening is missing or unreadable."""
    return _folded(Log(list(events)))


def apply(state: State, event: Recorded) -> State:
    """The state after one more event; after an undo the fold of those that stand now."""
    log = state.log.then(event)
    if isinstance(event.told, Undone):
        return _folded(log)
    return msgspec.structs.replace(_fold(state, event), last=_when(event), last_n=event.n, log=log)


def _folded(log: Log) -> State:
    stream = iter(log)
    first = next(stream, None)
    if first is None or first.kind != OPENED:
        raise NotASession(
            "The file does not begin with the opening of a session, so there is nothing to show."
        )
    last, opened = next(reversed(log)), _opened(first)
    gone = taken_back(log)
    state = msgspec.structs.replace(opened, log=log, gone=gone, last=_when(last), last_n=last.n)
    for event in stream:
        if event.n not in gone:
            state = _fold(state, event)
    return state


def _fold(state: State, event: Recorded) -> State:
    """What the event and its parts do, from when it happened; an answer to an alarm that is gone does nothing."""
    whole, told = event.told, _when(event)
    late = late_of(whole)
    if isinstance(whole, AlarmAcknowledged) and place_of(state.alarms, whole.alarm) is None:
        return state
    head = Head(event.n, told if late is None else late.moment)
    for part in parts(whole):
        state = part.apply(state, head)
    return state if late is None else ringing_anew(state, told)


def _when(event: Recorded) -> Moment:
    return Moment(wall_ns_of(event.at), event.boot_ns, event.boot)


def _opened(event: Recorded) -> State:
    try:
        told = event.told
        assert isinstance(told, Opened)
    except Misfit as problem:
        raise NotASession(
            f"The opening of the session (line 1) cannot be read, {problem}; "
            "verify the file to see what is left of it."
        ) from None
    when = _when(event)
    return State(
        title=told.title,
        worksheet=told.worksheet,
        choices=told.choices,
        plan_text=told.plan,
        opened=when,
        last=when,
        last_n=event.n,
        utc_offset_min=told.utc_offset_min,
        rehearsal_speed=told.clock.speed if told.clock else None,
        program=told.program,
    )
