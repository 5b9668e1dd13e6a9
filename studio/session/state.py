"""The state of a session, folded from its events; live, resumed and reviewed alike."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import cache
from typing import Literal

import msgspec

from studio.plan.shapes import Step, Worksheet
from studio.session import events as e
from studio.session.clock import Moment, wall_ns_of
from studio.session.records import (
    AlarmRecord,
    Batch,
    ClockEvent,
    Kept,
    Note,
    Photo,
    Poured,
    Read,
    RinseRound,
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
    sound_heard: bool | None = None
    """Answer of the sound check; None before it."""
    readings: tuple[Read, ...] = ()
    steam_off: tuple[tuple[Moment, Moment | None], ...] = ()
    """When the steam stopped, and when it rolled again."""
    refills: tuple[Poured, ...] = ()
    batches: tuple[Batch, ...] = ()
    paint_left: Mapping[str, float] = {}
    """mL left in each jar, as last read."""
    bands: Mapping[int, int] = {}
    """Coats on each band, by its place in the layout."""
    rounds: tuple[RinseRound, ...] = ()
    sets: int = 1
    """How many times the goods are or were set."""
    leftovers: tuple[Kept, ...] = ()
    photos: tuple[Photo, ...] = ()
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
    handler = _handlers().get(event.kind)
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


Fold = Callable[[State, e.Event, Moment], State]


@cache
def _handlers() -> Mapping[str, Fold]:
    """Every kind of event with its fold; gathered at first use, because the folds import this module."""
    from studio.session import fold_bench, fold_steps, fold_time

    return {**fold_steps.HANDLERS, **fold_time.HANDLERS, **fold_bench.HANDLERS}
