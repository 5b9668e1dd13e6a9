"""Folding events about time: timers, steam that came and went, alarms, clocks that were set."""

from __future__ import annotations

from typing import Any

import msgspec

from studio.session import events as e
from studio.session.clock import Moment, before, happened_at
from studio.session.records import AlarmRecord, ClockEvent, TimerRecord, place_of
from studio.session.state import Fold, State
from studio.session.timers import run_s

Span = tuple[Moment, Moment | None]


def _timer_started(state: State, event: e.Event, when: Moment) -> State:
    data = event.data
    before = state.timers.get(data["timer"])
    stands_still = before is not None and before.running and before.paused is not None
    timer = TimerRecord(
        id=data["timer"],
        label=data["label"],
        minutes=float(data["minutes"]),
        action=data["action"],
        priority=data["priority"],
        started=when,
        n=event.n,
        by=data.get("by", ""),
        role=data["role"],
        set_number=int(data["set"]),
        round=int(data.get("round", 1)),
        repeats=bool(data.get("repeats", False)),
        with_timer=data.get("with", ""),
        needs_steam=bool(data.get("needs_steam", False)),
        off=((when, None),) if stands_still else (),
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
    return _change_timer(state, data["timer"], stopped_after_s=float(data["elapsed_s"]), stopped=when)


def _timer_extended(state: State, event: e.Event, when: Moment) -> State:
    timer = state.timers.get(event.data["timer"])
    if timer is None:
        return state
    minutes = timer.minutes + float(event.data["minutes"])
    return _change_timer(state, timer.id, minutes=minutes, raised=frozenset())


def _timer_confirmed(state: State, event: e.Event, when: Moment) -> State:
    timer, gone_s = state.timers.get(event.data["timer"]), float(event.data["elapsed_s"])
    if timer is None:
        return state
    if "happened" in event.data:
        return _begun_at(state, timer, when)
    raised = timer.raised if gone_s >= timer.minutes * 60 else frozenset[str]()
    return _change_timer(state, timer.id, started=when, head_start_s=gone_s, off=(), raised=raised)


def _begun_at(state: State, timer: TimerRecord, when: Moment) -> State:
    """The clock, those that began with it and the step they began with, all from that moment on."""
    moved = {t.id: _moved(state, t, when) for t in state.timers.values() if t.n == timer.n}
    steps, record = state.steps, state.step(timer.by)
    if record.n == timer.n:
        at = msgspec.structs.replace(record, at_ns=when.wall_ns, moment=when)
        steps = {**steps, timer.by: at}
    return msgspec.structs.replace(state, timers={**state.timers, **moved}, steps=steps)


def _moved(state: State, timer: TimerRecord, when: Moment) -> TimerRecord:
    timer = msgspec.structs.replace(timer, started=when, head_start_s=0.0, off=())
    for stopped, again in state.steam_off if timer.needs_steam else ():
        timer = _stood_still(timer, stopped, again)
    return _stopped_anew(timer)


def _stood_still(timer: TimerRecord, stopped: Moment, again: Moment | None) -> TimerRecord:
    """With a time without steam, as far as the clock ran then."""
    ended = timer.stopped is not None and (again is None or not before(stopped, timer.stopped))
    if ended or (again is not None and not before(timer.started, again)):
        return timer
    begin = stopped if before(timer.started, stopped) else timer.started
    return msgspec.structs.replace(timer, off=in_order(timer.off, (begin, again)))


def _stopped_anew(timer: TimerRecord) -> TimerRecord:
    """What a clock that was stopped ran up to then, now that it began or stood still at another time."""
    if timer.stopped is None:
        return timer
    return msgspec.structs.replace(timer, stopped_after_s=max(0.0, run_s(timer, timer.stopped)[0]))


def _alarm_raised(state: State, event: e.Event, when: Moment) -> State:
    data = event.data
    timer = state.timers.get(data["timer"])
    if timer is None or timer.n != data["ref"]:
        return state  # The event that started its clock does not stand.
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
    return _change_timer(state, alarm.timer, raised=timer.raised | {alarm.level})


def _change_alarm(state: State, n: int, **changes: Any) -> State:
    at = place_of(state.alarms, n)
    if at is None:
        return state
    changed = msgspec.structs.replace(state.alarms[at], **changes)
    return msgspec.structs.replace(state, alarms=(*state.alarms[:at], changed, *state.alarms[at + 1 :]))


def _alarm_acknowledged(state: State, event: e.Event, when: Moment) -> State:
    data = event.data
    after_s, by = float(data["latency_s"]), str(data.get("by", ""))
    return _change_alarm(state, data["alarm"], acknowledged_after_s=after_s, ended_by=by)


def _alarm_snoozed(state: State, event: e.Event, when: Moment) -> State:
    return _change_alarm(
        state, event.data["alarm"], snoozed_at=when, snoozed_min=float(event.data["minutes"])
    )


def _steam_stopped(state: State, event: e.Event, when: Moment) -> State:
    """Lost; with `again` in the data, it has been back since then."""
    if "again" not in event.data:
        timers = {k: _paused(t, when) for k, t in state.timers.items()}
        return msgspec.structs.replace(state, timers=timers, steam_off=(*state.steam_off, (when, None)))
    again = happened_at(event.data["again"])
    timers = {
        k: _stopped_anew(_stood_still(t, when, again)) if t.needs_steam else t
        for k, t in state.timers.items()
    }
    return msgspec.structs.replace(state, timers=timers, steam_off=in_order(state.steam_off, (when, again)))


def _paused(timer: TimerRecord, when: Moment) -> TimerRecord:
    if not timer.needs_steam or not timer.running or timer.paused is not None:
        return timer
    return _stood_still(timer, when, None)


def _steam_again(state: State, event: e.Event, when: Moment) -> State:
    timers = {k: _going_on(t, when) for k, t in state.timers.items()}
    off = state.steam_off
    if off and off[-1][1] is None:
        off = (*off[:-1], (off[-1][0], when))
    return msgspec.structs.replace(state, timers=timers, steam_off=off)


def _going_on(timer: TimerRecord, when: Moment) -> TimerRecord:
    if timer.paused is None:
        return timer
    # Told late, it may have been back before this clock began; over a restart the wall clock decides nothing.
    never = timer.paused.boot == when.boot and not before(timer.paused, when)
    stood = () if never else ((timer.paused, when),)
    return msgspec.structs.replace(timer, off=(*timer.off[:-1], *stood))


def in_order(spans: tuple[Span, ...], span: Span) -> tuple[Span, ...]:
    """With one more of them, by the times they begin."""
    later = next((i for i, other in enumerate(spans) if before(span[0], other[0])), len(spans))
    return (*spans[:later], span, *spans[later:])


def ringing_anew(state: State, told: Moment) -> State:
    """After a late entry: clocks that have time left may ring for it once more."""
    timers = {
        k: msgspec.structs.replace(t, raised=frozenset())
        if t.running and run_s(t, told)[0] < t.minutes * 60
        else t
        for k, t in state.timers.items()
    }
    return msgspec.structs.replace(state, timers=timers)


def _clock_event(kind: Any) -> Fold:
    def handler(state: State, event: e.Event, when: Moment) -> State:
        entry = ClockEvent(event.n, when.wall_ns, kind, float(event.data["seconds"]))
        return msgspec.structs.replace(state, clock_events=(*state.clock_events, entry))

    return handler


HANDLERS: dict[str, Fold] = {
    e.TIMER_STARTED: _timer_started,
    e.TIMER_STOPPED: _timer_stopped,
    e.TIMER_EXTENDED: _timer_extended,
    e.TIMER_CONFIRMED: _timer_confirmed,
    e.STEAM_STOPPED: _steam_stopped,
    e.STEAM_AGAIN: _steam_again,
    e.ALARM_RAISED: _alarm_raised,
    e.ALARM_ACKNOWLEDGED: _alarm_acknowledged,
    e.ALARM_SNOOZED: _alarm_snoozed,
    e.CLOCK_STEPPED: _clock_event("stepped"),
    e.CLOCK_SUSPENDED: _clock_event("suspended"),
}
