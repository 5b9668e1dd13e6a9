"""Events folded into a state; live, resumed and reviewed alike."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from studio.plan.settled import Settled
from studio.plan.shapes import Worksheet
from studio.session import events as e
from studio.session import fold_bench, fold_follow_up, fold_steps, fold_time
from studio.session.clock import Moment, wall_ns_of
from studio.session.joining import parts
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
    """Fold all events into a state; NotASession where the opening is missing or unreadable."""
    stream = iter(events)
    first = next(stream, None)
    if first is None or first.kind != e.OPENED:
        raise NotASession(
            "The file does not begin with the opening of a session, so there is nothing to show."
        )
    state = _opened(first)
    for event in stream:
        state = apply(state, event)
    return state


def apply(state: State, event: e.Event) -> State:
    """The state after one more event."""
    when = Moment(wall_ns_of(event.at), event.boot_ns, event.boot)
    state = msgspec.structs.replace(state, last=when, last_n=event.n)
    for part in parts(event):
        handler = HANDLERS.get(part.kind)
        if handler is None:
            state = msgspec.structs.replace(state, unknown_kinds=(*state.unknown_kinds, part.kind))
        else:
            state = handler(state, part, when)
    return state


def _opened(event: e.Event) -> State:
    data = event.data
    try:
        worksheet = msgspec.convert(data["worksheet"], Worksheet)
        when = Moment(wall_ns_of(event.at), event.boot_ns, event.boot)
        clock = data.get("clock") or {}
        choices = data.get("choices")
        return State(
            title=str(data["title"]),
            worksheet=worksheet,
            choices=None if choices is None else msgspec.convert(choices, Settled),
            plan_text=str(data["plan"]),
            opened=when,
            last=when,
            last_n=event.n,
            utc_offset_min=int(data.get("utc_offset_min", 0)),
            rehearsal_speed=clock.get("speed"),
            program=str(data.get("program", "")),
        )
    except (KeyError, TypeError, ValueError, msgspec.ValidationError) as problem:
        raise NotASession(
            f"The opening of the session cannot be read ({problem}); verify the file to see what is left of it."
        ) from problem
