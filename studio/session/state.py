"""The state of a session, folded from its events; live, resumed and reviewed alike."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any, Literal

import msgspec

from studio.plan.shapes import Step, Worksheet
from studio.session import events as e
from studio.session.clock import Moment, wall_ns_of
from studio.session.records import (
    AlarmRecord,
    ClockEvent,
    Earlier,
    Note,
    StepRecord,
    TimerRecord,
    Undoable,
)

OPEN_STEP = StepRecord()


class State(msgspec.Struct, frozen=True):
    """Everything that is known of a session after some of its events."""

    title: str
    worksheet: Worksheet
    plan_text: str
    opened: Moment
    last: Moment
    last_n: int
    utc_offset_min: int = 0
    rehearsal_speed: float | None = None
    program: str = ""
    steps: Mapping[str, StepRecord] = {}
    timers: Mapping[str, TimerRecord] = {}
    alarms: tuple[AlarmRecord, ...] = ()
    notes: tuple[Note, ...] = ()
    accepted: Mapping[str, str] = {}
    """Cautions taken on with the reason given."""
    clock_events: tuple[ClockEvent, ...] = ()
    undo_stack: tuple[Undoable, ...] = ()
    resumed: int = 0
    outcome: Literal["", "finished", "abandoned"] = ""
    outcome_why: str = ""
    unknown_kinds: tuple[str, ...] = ()
    """Kinds of event this version does not know; kept and shown, never dropped."""

    def step(self, step_id: str) -> StepRecord:
        """How that step stands."""
        return self.steps.get(step_id, OPEN_STEP)

    def all_steps(self) -> Iterable[Step]:
        """The steps of the procedure, in order."""
        for stage in self.worksheet.procedure:
            yield from stage.steps

    def find_step(self, step_id: str) -> Step | None:
        """The step of the procedure with that id, or None."""
        return next((s for s in self.all_steps() if s.id == step_id), None)

    @property
    def closed(self) -> bool:
        """Whether the session has ended, well or not."""
        return bool(self.outcome)


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
    handler = _HANDLERS.get(event.kind)
    if handler is None:
        return msgspec.structs.replace(state, unknown_kinds=(*state.unknown_kinds, event.kind))
    return handler(state, event, when)


def _opened(event: e.Event) -> State:
    data = event.data
    try:
        worksheet = msgspec.convert(data["worksheet"], Worksheet)
        when = Moment(wall_ns_of(event.at), event.boot_ns, event.boot)
        clock = data.get("clock") or {}
        return State(
            title=str(data["title"]),
            worksheet=worksheet,
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
            value=data.get("value"),
            unit=data.get("unit", ""),
            typed=data.get("typed", ""),
            why=data.get("why", ""),
            flagged=bool(data.get("flagged", False)),
            earlier=state.step(data["step"]).earlier,
        )
        return _with_step(state, data["step"], record, event.n)

    return handler


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
    timers = state.timers
    if not entry.before.closed:
        timers = {k: _restart(t, entry.step) for k, t in timers.items() if t.by != entry.step}
    return msgspec.structs.replace(state, steps=steps, undo_stack=stack, timers=timers)


def _restart(timer: TimerRecord, step_id: str) -> TimerRecord:
    if timer.stopped_by != step_id:
        return timer
    return msgspec.structs.replace(timer, stopped_after_s=None, stopped_by="")


def _timer_started(state: State, event: e.Event, when: Moment) -> State:
    data = event.data
    timer = TimerRecord(
        id=data["timer"],
        label=data["label"],
        minutes=float(data["minutes"]),
        action=data["action"],
        priority=data["priority"],
        started=when,
        by=data.get("by", ""),
        round=int(data.get("round", 1)),
        repeats=bool(data.get("repeats", False)),
        with_timer=data.get("with", ""),
    )
    return msgspec.structs.replace(state, timers={**state.timers, timer.id: timer})


def _change_timer(state: State, timer_id: str, **changes: Any) -> State:
    timer = state.timers.get(timer_id)
    if timer is None:
        return state
    return msgspec.structs.replace(
        state, timers={**state.timers, timer_id: msgspec.structs.replace(timer, **changes)}
    )


def _timer_stopped(state: State, event: e.Event, when: Moment) -> State:
    data = event.data
    return _change_timer(
        state, data["timer"], stopped_after_s=float(data["elapsed_s"]), stopped_by=data.get("by", "")
    )


def _timer_extended(state: State, event: e.Event, when: Moment) -> State:
    timer = state.timers.get(event.data["timer"])
    if timer is None:
        return state
    minutes = timer.minutes + float(event.data["minutes"])
    return _change_timer(state, timer.id, minutes=minutes, raised=frozenset())


def _timer_confirmed(state: State, event: e.Event, when: Moment) -> State:
    return _change_timer(
        state, event.data["timer"], started=when, head_start_s=float(event.data["elapsed_s"])
    )


def _alarm_raised(state: State, event: e.Event, when: Moment) -> State:
    data = event.data
    alarm = AlarmRecord(
        n=event.n,
        timer=data["timer"],
        level=data["level"],
        priority=data["priority"],
        text=data["text"],
        raised=when,
        late_s=float(data["late_s"]),
    )
    state = msgspec.structs.replace(state, alarms=(*state.alarms, alarm))
    timer = state.timers.get(alarm.timer)
    if timer is None:
        return state
    return _change_timer(state, alarm.timer, raised=timer.raised | {alarm.level})


def _change_alarm(state: State, n: int, **changes: Any) -> State:
    alarms = tuple(msgspec.structs.replace(a, **changes) if a.n == n else a for a in state.alarms)
    return msgspec.structs.replace(state, alarms=alarms)


def _alarm_acknowledged(state: State, event: e.Event, when: Moment) -> State:
    return _change_alarm(state, event.data["alarm"], acknowledged_after_s=float(event.data["latency_s"]))


def _alarm_snoozed(state: State, event: e.Event, when: Moment) -> State:
    return _change_alarm(
        state, event.data["alarm"], snoozed_at=when, snoozed_min=float(event.data["minutes"])
    )


def _noted(state: State, event: e.Event, when: Moment) -> State:
    note = Note(
        n=event.n,
        at_ns=when.wall_ns,
        text=str(event.data["text"]),
        step=str(event.data.get("step", "")),
        addendum=event.kind == e.ADDENDUM,
    )
    return msgspec.structs.replace(state, notes=(*state.notes, note))


def _accepted(state: State, event: e.Event, when: Moment) -> State:
    return msgspec.structs.replace(
        state, accepted={**state.accepted, event.data["caution"]: event.data["why"]}
    )


def _clock_event(kind: Any) -> Callable[[State, e.Event, Moment], State]:
    def handler(state: State, event: e.Event, when: Moment) -> State:
        entry = ClockEvent(event.n, when.wall_ns, kind, float(event.data["seconds"]))
        return msgspec.structs.replace(state, clock_events=(*state.clock_events, entry))

    return handler


def _resumed(state: State, event: e.Event, when: Moment) -> State:
    return msgspec.structs.replace(state, resumed=state.resumed + 1)


def _finished(state: State, event: e.Event, when: Moment) -> State:
    return msgspec.structs.replace(
        state, outcome=event.data.get("outcome", "finished"), outcome_why=event.data.get("why", "")
    )


def _unchanged(state: State, event: e.Event, when: Moment) -> State:
    return state


_HANDLERS: dict[str, Callable[[State, e.Event, Moment], State]] = {
    e.STEP_DONE: _closes("done"),
    e.STEP_MEASURED: _closes("measured"),
    e.STEP_NOT_MEASURED: _closes("not measured"),
    e.STEP_SKIPPED: _closes("skipped"),
    e.GATE_PASSED: _closes("passed"),
    e.OVERRIDDEN: _closes("overridden"),
    e.CORRECTED: _corrected,
    e.UNDONE: _undone,
    e.TIMER_STARTED: _timer_started,
    e.TIMER_STOPPED: _timer_stopped,
    e.TIMER_EXTENDED: _timer_extended,
    e.TIMER_CONFIRMED: _timer_confirmed,
    e.ALARM_RAISED: _alarm_raised,
    e.ALARM_ACKNOWLEDGED: _alarm_acknowledged,
    e.ALARM_SNOOZED: _alarm_snoozed,
    e.NOTED: _noted,
    e.ADDENDUM: _noted,
    e.CAUTION_ACCEPTED: _accepted,
    e.CLOCK_STEPPED: _clock_event("stepped"),
    e.CLOCK_SUSPENDED: _clock_event("suspended"),
    e.RESUMED: _resumed,
    e.FINISHED: _finished,
    e.LEFT: _unchanged,
    e.RECOVERED: _unchanged,
    e.CONTINUED: _unchanged,
}
