"""Reading a session afterwards: planned against actual, and how long each stage took."""

from __future__ import annotations

from dataclasses import dataclass

from studio.plan.shapes import Step
from studio.session.records import StepRecord, TimerRecord
from studio.session.state import State


@dataclass(frozen=True, slots=True)
class Compared:
    """One value as it was planned, asked for at the bench, and measured."""

    step: Step
    record: StepRecord
    planned: float | None
    asked: float | None
    """What followed, at that moment, from what had been measured before; the planned where nothing had moved."""
    actual: float | None
    difference_percent: float | None
    """Of what was asked, for that is what the hand can be held to; None where either is missing or 0 was asked."""


@dataclass(frozen=True, slots=True)
class StageTime:
    """When a stage was worked in."""

    stage: str
    first_ns: int
    last_ns: int

    @property
    def minutes(self) -> float:
        """From its first closed step to its last."""
        return (self.last_ns - self.first_ns) / 60e9


@dataclass(frozen=True, slots=True)
class TimerRun:
    """How long a clock was set for and how long it ran."""

    timer: TimerRecord
    ran_min: float | None
    """None where it was never stopped."""


def planned_and_actual(state: State) -> tuple[Compared, ...]:
    """Every step that asks for a value, in order."""
    rows = []
    for step in state.all_steps():
        record = state.step(step.id)
        if step.kind != "measure" or not record.closed:
            continue
        asked = step.expected if record.asked is None else record.asked
        difference = None
        if record.value is not None and asked:
            difference = 100 * (record.value - asked) / asked
        rows.append(Compared(step, record, step.expected, asked, record.value, difference))
    return tuple(rows)


def stage_times(state: State) -> tuple[StageTime, ...]:
    """Stages that were worked in, with first and last closing time; the first begins at the opening."""
    rows: list[StageTime] = []
    begun = state.opened.wall_ns
    for stage in state.worksheet.procedure:
        times = [state.step(s.id).at_ns for s in stage.steps if state.step(s.id).closed]
        if times:
            rows.append(StageTime(stage.stage, min(begun, *times) if not rows else min(times), max(times)))
    return tuple(rows)


def timer_runs(state: State) -> tuple[TimerRun, ...]:
    """Every clock that was started, in order of its start."""
    timers = sorted(state.timers.values(), key=lambda t: t.started.wall_ns)
    return tuple(TimerRun(t, None if t.stopped_after_s is None else t.stopped_after_s / 60) for t in timers)


def overridden(state: State) -> tuple[tuple[Step, StepRecord], ...]:
    """Steps that were passed, skipped or left unmeasured, with the reason given."""
    kinds = ("overridden", "skipped", "not measured")
    return tuple((s, state.step(s.id)) for s in state.all_steps() if state.step(s.id).state in kinds)


def doubted(state: State) -> tuple[Step, ...]:
    """Steps that were said to be done, or ended early, although that could hardly be."""
    kinds = ("done", "overridden")
    return tuple(s for s in state.all_steps() if state.step(s.id).flagged and state.step(s.id).state in kinds)


def ratings(state: State) -> dict[str, int]:
    """The ratings given, 1 to 5, by the good end that was rated: `{"rinsed clear": 5}`."""
    given = {}
    for step in state.all_steps():
        record = state.step(step.id)
        if step.quantity == "rating" and record.value is not None:
            given[step.of] = int(record.value)
    return given
