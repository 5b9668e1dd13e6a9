"""Folding events about steps: closed, corrected, taken back."""

from __future__ import annotations

from collections.abc import Callable

import msgspec

from studio.session import events as e
from studio.session.clock import Moment
from studio.session.joining import parts
from studio.session.records import Earlier, StepRecord, StepState
from studio.session.state import Fold, State


def _with_step(state: State, step_id: str, record: StepRecord) -> State:
    return msgspec.structs.replace(state, steps={**state.steps, step_id: record})


def _closes(how: StepState) -> Callable[[State, e.Event, Moment], State]:
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
        return _with_step(state, data["step"], record)

    return handler


def _passed(state: State, event: e.Event, when: Moment) -> State:
    digit = int(event.data.get("digit", 0)) or state.gate_digit
    return msgspec.structs.replace(_closes("passed")(state, event, when), gate_digit=digit)


def _corrected(state: State, event: e.Event, when: Moment) -> State:
    data = event.data
    old = state.step(data["step"])
    if not old.closed:
        return state  # What it corrects does not stand.
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
    return _with_step(state, data["step"], record)


def _undone(state: State, event: e.Event, when: Moment) -> State:
    """What was taken back stays with its step; a clock that goes again, and is over, rings anew."""
    undone = state.log.find(event.data["ref"])
    for part in parts(undone) if undone is not None and undone.n in state.gone else ():
        state = _kept(state, part, when)
    return state


def _kept(state: State, part: e.Event, when: Moment) -> State:
    data = part.data
    if part.kind in CLOSED:
        record = state.step(data["step"])
        taken_back = Earlier(data.get("typed") or CLOSED[part.kind], when.wall_ns, "undo")
        state = _with_step(
            state, data["step"], msgspec.structs.replace(record, earlier=(*record.earlier, taken_back))
        )
    if part.kind == e.GATE_PASSED:
        return msgspec.structs.replace(state, gate_digit=int(data["digit"]) or state.gate_digit)
    timer = state.timers.get(data["timer"]) if part.kind == e.TIMER_STOPPED else None
    if timer is None or not timer.running:
        return state
    again = msgspec.structs.replace(timer, raised=frozenset())
    return msgspec.structs.replace(state, timers={**state.timers, timer.id: again})


CLOSED: dict[str, StepState] = {
    e.STEP_DONE: "done",
    e.STEP_MEASURED: "measured",
    e.STEP_NOT_MEASURED: "not measured",
    e.STEP_SKIPPED: "skipped",
    e.GATE_PASSED: "passed",
    e.OVERRIDDEN: "overridden",
    e.CORRECTED: "measured",
}
"""How a step stands after each of these kinds."""

HANDLERS: dict[str, Fold] = {
    **{kind: _closes(how) for kind, how in CLOSED.items()},
    e.GATE_PASSED: _passed,
    e.CORRECTED: _corrected,
    e.UNDONE: _undone,
}
