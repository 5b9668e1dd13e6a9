"""Folding events about time: timers, steam that came and went, alarms, clocks that were set."""

from __future__ import annotations

from typing import Any

import msgspec

from studio.session import events as e
from studio.session.clock import Moment, elapsed_since
from studio.session.records import AlarmRecord, ClockEvent, TimerRecord, place_of
from studio.session.state import Fold, State


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
        round=int(data.get("round", 1)),
        repeats=bool(data.get("repeats", False)),
        with_timer=data.get("with", ""),
        needs_steam=bool(data.get("needs_steam", False)),
        paused=when if stands_still else None,
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
    return _change_timer(state, data["timer"], stopped_after_s=float(data["elapsed_s"]))


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
    raised = timer.raised if gone_s >= timer.minutes * 60 else frozenset[str]()
    return _change_timer(state, timer.id, started=when, head_start_s=gone_s, raised=raised)


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
    timers = {k: _paused(t, when) for k, t in state.timers.items()}
    return msgspec.structs.replace(state, timers=timers, steam_off=(*state.steam_off, (when, None)))


def _paused(timer: TimerRecord, when: Moment) -> TimerRecord:
    if not timer.needs_steam or not timer.running or timer.paused is not None:
        return timer
    return msgspec.structs.replace(timer, paused=when)


def _steam_again(state: State, event: e.Event, when: Moment) -> State:
    timers = {k: _going_on(t, when) for k, t in state.timers.items()}
    off = state.steam_off
    if off and off[-1][1] is None:
        off = (*off[:-1], (off[-1][0], when))
    return msgspec.structs.replace(state, timers=timers, steam_off=off)


def _going_on(timer: TimerRecord, when: Moment) -> TimerRecord:
    if timer.paused is None:
        return timer
    gone = timer.head_start_s + elapsed_since(timer.started, timer.paused).seconds
    return msgspec.structs.replace(timer, started=when, head_start_s=gone, paused=None)


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
