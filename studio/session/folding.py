"""The events that stand, folded into a state; live, resumed and reviewed alike."""

from __future__ import annotations

from collections.abc import Iterable

from studio.session.clock import Reading, utc_text
from studio.session.events import Draft, Event, Head, Recorded, parts
from studio.session.fitting import Misfit
from studio.session.kinds.clocks import AlarmAcknowledged, late_of, ring_anew
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
    state = state.copied()
    state.last, state.last_n, state.log = event.moment, event.n, log
    _fold(state, event)
    return state


def foreseen(state: State, told: Event, now: Reading) -> State:
    """The state as it would be once that were told now."""
    return apply(state, Draft(state.last_n + 1, utc_text(now.wall_ns), now.boot_ns, now.boot, told))


def _folded(log: Log) -> State:
    stream = iter(log)
    first = next(stream, None)
    if first is None or first.kind != OPENED:
        raise NotASession(
            "The file does not begin with the opening of a session, so there is nothing to show."
        )
    state, last = _opened(first), next(reversed(log))
    state.log, state.gone, state.last, state.last_n = log, taken_back(log), last.moment, last.n
    for event in stream:
        if event.n not in state.gone:
            _fold(state, event)
    return state


def _fold(state: State, event: Recorded) -> None:
    """What the event and its parts do, from when it happened; an answer to an alarm that is gone does nothing."""
    whole = event.told
    late = late_of(whole)
    if isinstance(whole, AlarmAcknowledged) and place_of(state.alarms, whole.alarm) is None:
        return
    head = Head(event.n, event.moment if late is None else late.moment)
    for part in parts(whole):
        part.apply(state, head)
    if late is not None:
        ring_anew(state, event.moment)


def _opened(event: Recorded) -> State:
    try:
        told = event.told
        assert isinstance(told, Opened)
    except Misfit as problem:
        raise NotASession(
            f"The opening of the session (line 1) cannot be read, {problem}; "
            "verify the file to see what is left of it."
        ) from None
    when = event.moment
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
