"""Folding events about steps: closed, corrected, taken back."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import msgspec

from studio.session import events as e
from studio.session.clock import Moment
from studio.session.records import Earlier, StepRecord, Undoable
from studio.session.state import Fold, State
from studio.session.timers import clocks_of


def _with_step(state: State, step_id: str, record: StepRecord, n: int) -> State:
    before = state.step(step_id)
    return msgspec.structs.replace(
        state,
        steps={**state.steps, step_id: record},
        undo_stack=(*state.undo_stack, Undoable(n, step_id, before)),
    )


def _closes(how: Any) -> Callable[[State, e.Event, Moment], State]:
    def handler(state: State, event: e.Event, when: Moment) -> State:
        data = event.data
        record = StepRecord(
            state=how,
            n=event.n,
            at_ns=when.wall_ns,
            moment=when,
            value=data.get("value"),
            unit=data.get("unit", ""),
            typed=data.get("typed", ""),
            why=data.get("why", ""),
            read_c=data.get("read_c"),
            flagged=bool(data.get("flagged", False)),
            asked=data.get("asked"),
            fixed=data.get("fixed", {}),
            earlier=state.step(data["step"]).earlier,
        )
        return _with_step(state, data["step"], record, event.n)

    return handler


def _passed(state: State, event: e.Event, when: Moment) -> State:
    digit = int(event.data.get("digit", 0)) or state.gate_digit
    return msgspec.structs.replace(_closes("passed")(state, event, when), gate_digit=digit)


def _corrected(state: State, event: e.Event, when: Moment) -> State:
    data = event.data
    old = state.step(data["step"])
    record = msgspec.structs.replace(
        old,
        state="measured",
        value=data["value"],
        unit=data["unit"],
        typed=data["typed"],
        flagged=bool(data.get("flagged", False)),
        fixed=data.get("fixed", {}),
        earlier=(*old.earlier, Earlier(old.typed or old.state, when.wall_ns, data["why"])),
    )
    return _with_step(state, data["step"], record, event.n)


def _undone(state: State, event: e.Event, when: Moment) -> State:
    ref = event.data["ref"]
    entry = next((u for u in reversed(state.undo_stack) if u.n == ref), None)
    if entry is None:
        return state
    now = state.step(entry.step)
    taken_back = Earlier(now.typed or now.state, when.wall_ns, "undo")
    steps = {
        **state.steps,
        entry.step: msgspec.structs.replace(entry.before, earlier=(*now.earlier, taken_back)),
    }
    stack = tuple(u for u in state.undo_stack if u.n != ref)
    lost, again = clocks_of(state, entry)
    timers = {k: t for k, t in state.timers.items() if t not in lost}
    for timer in again:
        # One that is over when it goes on rings anew: what it rang for is open again.
        timers[timer.id] = msgspec.structs.replace(
            timer, stopped_after_s=None, stopped_by="", raised=frozenset()
        )
    return msgspec.structs.replace(state, steps=steps, undo_stack=stack, timers=timers)


HANDLERS: dict[str, Fold] = {
    e.STEP_DONE: _closes("done"),
    e.STEP_MEASURED: _closes("measured"),
    e.STEP_NOT_MEASURED: _closes("not measured"),
    e.STEP_SKIPPED: _closes("skipped"),
    e.GATE_PASSED: _passed,
    e.OVERRIDDEN: _closes("overridden"),
    e.CORRECTED: _corrected,
    e.UNDONE: _undone,
}
