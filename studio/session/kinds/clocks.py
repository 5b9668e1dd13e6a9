"""Clocks and alarms: started, stopped, given time, put right; raised, answered, put off. And the computer's clocks."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar

import msgspec
from msgspec import Meta, Struct, field

from studio.plaintext import clean
from studio.plan.shapes import ClockRole
from studio.quantity.reading_in import as_read
from studio.session.clock import Moment, before
from studio.session.events import Event, EventN, Head, Minutes, Seconds, StepIdOrNone, Undo, Words
from studio.session.state import AlarmLevel, AlarmRecord, State, TimerRecord, Urgency, place_of
from studio.session.timers import minutes_text, run_s

TimerId = Annotated[str, Meta(description="Id of a clock, `steam`; with its set or packet, `steam-2`.")]
LAST_NS = 9_000_000_000_000_000_000
"""In the year 2255; a later day than that is damage."""
Span = tuple[Moment, Moment | None]


class Happened(Struct, frozen=True, forbid_unknown_fields=True):
    """When something happened that was told later: the time of day as it was told, and that on the clocks."""

    time: Annotated[str, Meta(description="Time of day where the session was opened, `14:05`.")]
    wall_ns: Annotated[int, Meta(ge=0, le=LAST_NS)]
    boot_ns: Annotated[int, Meta(ge=0, le=LAST_NS, description="As `wall_ns` where `boot` is empty.")]
    boot: Annotated[str, Meta(description="Empty where the clocks were set or restarted since.")]

    @property
    def moment(self) -> Moment:
        """That on the clocks."""
        return Moment(self.wall_ns, self.boot_ns, self.boot)


def late_of(event: Event) -> Happened | None:
    """When an event happened that was told later, and from when on it counts; None for one told at once."""
    return getattr(event, "happened", None)


class TimerStarted(Event, frozen=True, tag="timer.started"):
    """A clock was started, or its next round."""

    undo: ClassVar[Undo] = "last"
    within: ClassVar[str] = "starts"

    timer: TimerId
    role: Annotated[ClockRole, Meta(description="What the clock is for.")]
    set_number: Annotated[int, Meta(description="The set it belongs to.", ge=1)] = field(name="set")
    label: str
    minutes: Minutes
    action: Annotated[str, Meta(description="What to do when it runs out.")]
    priority: Urgency
    repeats: bool
    with_timer: Annotated[str, Meta(description="Clock it starts and stops with, or empty.")] = field(
        name="with"
    )
    needs_steam: bool
    by: StepIdOrNone
    round: Annotated[int, Meta(ge=1)]

    def apply(self, state: State, head: Head) -> None:
        old = state.timers.get(self.timer)
        stands_still = old is not None and old.running and old.paused is not None
        if old is not None:
            state.rounds_over.append(_over(old, head.at))
        state.timers[self.timer] = TimerRecord(
            id=self.timer,
            n=head.n,
            started=head.at,
            off=((head.at, None),) if stands_still else (),
            **{name: getattr(self, name) for name in self.__struct_fields__ if name != "timer"},
        )

    def says(self, state: State) -> str:
        return f"clock started: {clean(self.label)}, {minutes_text(self.minutes * 60)}"


class TimerStopped(Event, frozen=True, tag="timer.stopped"):
    """A clock was stopped, and how long it had run. With the last packet the clocks stop that looked after it."""

    undo: ClassVar[Undo] = "last"
    within: ClassVar[str] = "stops"

    timer: TimerId
    elapsed_s: Seconds
    stops: tuple[TimerStopped, ...] = ()

    def apply(self, state: State, head: Head) -> None:
        _change_timer(state, self.timer, stopped_after_s=self.elapsed_s, stopped=head.at)

    def taken_back(self, state: State, head: Head) -> None:
        """A clock that goes again, and is over, rings anew."""
        timer = state.timers.get(self.timer)
        if timer is not None and timer.running:
            _change_timer(state, self.timer, raised=frozenset())

    def says(self, state: State) -> str:
        return f"clock stopped: {_label(state, self.timer)} after {minutes_text(self.elapsed_s)}"


class AlarmAcknowledged(Event, frozen=True, tag="alarm.acknowledged"):
    """An alarm was answered, or ended by what was done; its clock begins anew, or stops and the next one starts."""

    within: ClassVar[str] = "ends"

    alarm: EventN
    latency_s: Seconds
    by: Annotated[
        str,
        Meta(
            max_length=64,
            description="A step, `refill`, `more time`, `true time`, `dry pot`; left out where it was heard.",
        ),
    ] = ""
    stops: tuple[TimerStopped, ...] = ()
    starts: tuple[TimerStarted, ...] = ()

    def apply(self, state: State, head: Head) -> None:
        _change_alarm(state, self.alarm, acknowledged_after_s=self.latency_s, ended_by=self.by)

    def says(self, state: State) -> str:
        after = minutes_text(self.latency_s)
        if not self.by:
            return f"alarm answered after {after}"
        step, timer = state.find_step(self.by), state.timers.get(self.by)
        ended = {
            "refill": "water went in",
            "more time": "more time given",
            "true time": "its clock had run less",
            "dry pot": "the pot should have boiled dry",
        }.get(self.by, self.by)
        named = step.done if step is not None else f"{timer.label} over" if timer is not None else ended
        return f"alarm ended after {after}: {clean(named, limit=80)}"


class Ends(Event, frozen=True, kw_only=True):
    """An event with which alarms end."""

    ends: tuple[AlarmAcknowledged, ...] = ()


class TimerExtended(Ends, frozen=True, tag="timer.extended"):
    """A clock was given more time, or less."""

    undo: ClassVar[Undo] = "last"
    within: ClassVar[str] = "extends"

    timer: TimerId
    minutes: Annotated[float, Meta(description="min; below 0 it was made shorter.")]
    why: Words

    def apply(self, state: State, head: Head) -> None:
        timer = state.timers.get(self.timer)
        if timer is not None:
            _change_timer(state, self.timer, minutes=timer.minutes + self.minutes, raised=frozenset())

    def says(self, state: State) -> str:
        given = f"{minutes_text(abs(self.minutes) * 60)} {'less' if self.minutes < 0 else 'more'}"
        return f"clock {_label(state, self.timer)}: {given} - {clean(self.why, limit=400)}"


class TimerConfirmed(Ends, frozen=True, tag="timer.confirmed"):
    """The dyer said how long a clock has run, after a restart of the machine, or when it began."""

    undo: ClassVar[Undo] = "last"

    timer: TimerId
    elapsed_s: Seconds
    clock_said_s: Annotated[float, Meta(description="s; what the clock had said.")]
    happened: Happened | None = None

    def apply(self, state: State, head: Head) -> None:
        timer = state.timers.get(self.timer)
        if timer is None:
            return
        if self.happened is not None:
            _begin_at(state, timer, head.at)
            return
        raised = timer.raised if self.elapsed_s >= timer.minutes * 60 else frozenset[str]()
        _change_timer(state, timer.id, started=head.at, head_start_s=self.elapsed_s, off=(), raised=raised)

    def says(self, state: State) -> str:
        told = "began" if self.happened is not None else f"confirmed at {minutes_text(self.elapsed_s)}"
        return f"{_label(state, self.timer)} {told}"


class AlarmRaised(Ends, frozen=True, tag="alarm.raised"):
    """A clock came due or is about to, or the pot is low or dry by what has boiled off."""

    timer: TimerId
    level: AlarmLevel
    priority: Urgency
    text: str
    late_s: Seconds
    round: Annotated[int, Meta(ge=1)]
    ref: Annotated[
        int, Meta(description="Number of the event that started this round; it stands with it.", ge=1)
    ]

    def apply(self, state: State, head: Head) -> None:
        timer = state.timers.get(self.timer)
        if timer is None or timer.n != self.ref:
            return  # The event that started its clock does not stand.
        alarm = AlarmRecord(head.n, self.timer, self.level, self.priority, self.text, head.at, self.late_s)
        state.alarms.append(alarm)
        _change_timer(state, self.timer, raised=timer.raised | {self.level})

    def says(self, state: State) -> str:
        late = self.late_s >= 2 and self.level not in ("60 s", "10 s")
        told = f", {minutes_text(self.late_s)} late" if late else ""
        return f"alarm{told}: {as_read(self.text, limit=200)}"


class AlarmSnoozed(Event, frozen=True, tag="alarm.snoozed"):
    """An alarm was put off."""

    alarm: EventN
    minutes: Minutes

    def apply(self, state: State, head: Head) -> None:
        _change_alarm(state, self.alarm, snoozed_at=head.at, snoozed_min=self.minutes)

    def says(self, state: State) -> str:
        return "alarm put off"


class ClockStepped(Event, frozen=True, tag="clock.stepped"):
    """The wall clock was set by so many seconds."""

    seconds: Seconds

    def says(self, state: State) -> str:
        return f"the computer's clock was set by {self.seconds:+g} s; no clock here moved"


class ClockSuspended(Event, frozen=True, tag="clock.suspended"):
    """The machine slept for so many seconds."""

    seconds: Seconds

    def says(self, state: State) -> str:
        return f"the computer slept {minutes_text(self.seconds)}; clocks went on"


def _label(state: State, timer_id: str) -> str:
    """What the dyer calls a clock; its id where it does not stand."""
    timer = state.timers.get(timer_id)
    return clean(timer_id if timer is None else timer.label)


# -- folding -------------------------------------------------------------------------------------


def _over(timer: TimerRecord, now: Moment) -> TimerRecord:
    """The round that ends as the next one of its clock begins, with what it ran."""
    if not timer.running:
        return timer
    return msgspec.structs.replace(timer, stopped=now, stopped_after_s=max(0.0, run_s(timer, now)[0]))


def _change_timer(state: State, timer_id: str, **changes: Any) -> None:
    timer = state.timers.get(timer_id)
    if timer is not None:
        state.timers[timer_id] = msgspec.structs.replace(timer, **changes)


def _change_alarm(state: State, n: int, **changes: Any) -> None:
    at = place_of(state.alarms, n)
    if at is not None:
        state.alarms[at] = msgspec.structs.replace(state.alarms[at], **changes)


def _begin_at(state: State, timer: TimerRecord, when: Moment) -> None:
    """The clock, those that began with it and the step they began with, all from that moment on."""
    record = state.step(timer.by)
    if record.n == timer.n:
        state.steps[timer.by] = msgspec.structs.replace(record, at_ns=when.wall_ns, moment=when)
    state.timers |= {t.id: _moved(state, t, when) for t in state.timers.values() if t.n == timer.n}


def _moved(state: State, timer: TimerRecord, when: Moment) -> TimerRecord:
    timer = msgspec.structs.replace(timer, started=when, head_start_s=0.0, off=())
    for stopped, again in state.steam_off if timer.needs_steam else ():
        timer = stood_still(timer, stopped, again)
    return stopped_anew(timer)


def stood_still(timer: TimerRecord, stopped: Moment, again: Moment | None) -> TimerRecord:
    """With a time without steam, as far as the clock ran then."""
    ended = timer.stopped is not None and (again is None or not before(stopped, timer.stopped))
    if ended or (again is not None and not before(timer.started, again)):
        return timer
    begin = stopped if before(timer.started, stopped) else timer.started
    return msgspec.structs.replace(timer, off=in_order(timer.off, (begin, again)))


def stopped_anew(timer: TimerRecord) -> TimerRecord:
    """What a clock that was stopped ran up to then, now that it began or stood still at another time."""
    if timer.stopped is None:
        return timer
    return msgspec.structs.replace(timer, stopped_after_s=max(0.0, run_s(timer, timer.stopped)[0]))


def in_order(spans: tuple[Span, ...], span: Span) -> tuple[Span, ...]:
    """With one more of them, by the times they begin."""
    later = next((i for i, other in enumerate(spans) if before(span[0], other[0])), len(spans))
    return (*spans[:later], span, *spans[later:])


def ring_anew(state: State, told: Moment) -> None:
    """After a late entry: clocks that have time left may ring for it once more."""
    state.timers = {
        k: msgspec.structs.replace(t, raised=frozenset())
        if t.running and run_s(t, told)[0] < t.minutes * 60
        else t
        for k, t in state.timers.items()
    }
