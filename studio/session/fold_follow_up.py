"""Folding what is planned, graded and called off after the session."""

from __future__ import annotations

import msgspec

from studio.session import events as e
from studio.session.clock import Moment
from studio.session.follow_up_records import FollowUp, Graded
from studio.session.state import Fold, State


def _text(event: e.Event, key: str) -> str:
    return str(event.data.get(key, ""))


def _planned(state: State, event: e.Event, when: Moment) -> State:
    number = event.data.get("number")
    old = next((f for f in state.follow_ups if f.number == number), None)
    if old is not None:
        moved = msgspec.structs.replace(
            old,
            due=_text(event, "due"),
            how=_text(event, "how"),
            note=_text(event, "note") or old.note,
            moved_from=(*old.moved_from, old.due),
        )
        return _put(state, moved)
    made = FollowUp(
        number=len(state.follow_ups) + 1,
        test=_text(event, "test"),
        n=event.n,
        at_ns=when.wall_ns,
        due=_text(event, "due"),
        how=_text(event, "how"),
        note=_text(event, "note"),
    )
    return msgspec.structs.replace(state, follow_ups=(*state.follow_ups, made))


def _graded(state: State, event: e.Event, when: Moment) -> State:
    told = Graded(
        event.n,
        when.wall_ns,
        *(_text(event, key) for key in ("change", "staining", "note", "why")),
    )
    found = _named(state, event)
    return (
        state if found is None else _put(state, msgspec.structs.replace(found, grades=(*found.grades, told)))
    )


def _cancelled(state: State, event: e.Event, when: Moment) -> State:
    found = _named(state, event)
    why = _text(event, "why") or "no reason given"
    return state if found is None else _put(state, msgspec.structs.replace(found, cancelled=why))


def _named(state: State, event: e.Event) -> FollowUp | None:
    number = event.data.get("number")
    return next((f for f in state.follow_ups if f.number == number), None)


def _put(state: State, changed: FollowUp) -> State:
    kept = tuple(changed if f.number == changed.number else f for f in state.follow_ups)
    return msgspec.structs.replace(state, follow_ups=kept)


HANDLERS: dict[str, Fold] = {
    e.FOLLOW_UP_PLANNED: _planned,
    e.FOLLOW_UP_GRADED: _graded,
    e.FOLLOW_UP_CANCELLED: _cancelled,
}
