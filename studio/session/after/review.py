"""Reading a session afterwards: planned against actual, stages, clocks, and what was overridden."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from studio.plan.shapes import Step
from studio.session.events import Recorded
from studio.session.state import State, StepRecord, TimerRecord
from studio.trouble import OK

# What happened beside the steps, added up.


def steam_lost_min(state: State) -> float:
    """Minutes without steam, all losses together; one that never ended counts up to the last event.

    **Source:** the wall clock of the events.
    """
    spans = ((again or state.last).wall_ns - stopped.wall_ns for stopped, again in state.steam_off)
    return sum(max(0, span) for span in spans) / 60e9


def min_in_steam(state: State) -> float:
    """Minutes in which at least one packet's clock ran; packets beside each other count once.

    **Source:** the clocks' own times, laid where the wall clock says they were started.
    """
    spans = sorted(
        (timer.started.wall_ns / 60e9 - timer.head_start_s / 60.0, timer.stopped_after_s / 60.0)
        for timer in state.timers.values()
        if timer.needs_steam and not timer.repeats and timer.stopped_after_s is not None
    )
    total, covered = 0.0, float("-inf")
    for begin, minutes in spans:
        total += max(0.0, begin + minutes - max(begin, covered))
        covered = max(covered, begin + minutes)
    return total


# Reading a session afterwards: its file, planned against actual, and how long each stage took.


class ReadSession(msgspec.Struct, frozen=True):
    """A session file read whole."""

    name: str
    state: State
    remarks: tuple[str, ...] = ()
    """What is wrong with the file, if anything, one sentence each."""
    may_continue: bool = False
    """Damaged before its end: it can go on from what is whole, in a new file."""
    events: Sequence[Recorded] = ()
    exit_code: int = OK
    sha256: str = ""
    """Of the very bytes it was read from."""
    told: tuple[str, ...] = ()
    """The remarks, each with the name of the file, safe to show."""


class Compared(msgspec.Struct, frozen=True):
    """One value as it was planned, asked for at the bench, and measured."""

    step: Step
    record: StepRecord
    planned: float | None
    asked: float | None
    """What followed, at that moment, from what had been measured before; the planned where nothing had moved."""
    actual: float | None
    difference_percent: float | None
    """Of what was asked, for that is what the hand can be held to; None where either is missing or 0 was asked."""


class StageTime(msgspec.Struct, frozen=True):
    """When a stage was worked in."""

    stage: str
    first_ns: int
    last_ns: int

    @property
    def minutes(self) -> float:
        """From its first closed step to its last."""
        return (self.last_ns - self.first_ns) / 60e9


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


def timer_runs(state: State) -> list[tuple[TimerRecord, float | None]]:
    """Every clock that was started, in order of its start, and the minutes it ran; None where it was never stopped."""
    timers = sorted(state.timers.values(), key=lambda t: t.started.wall_ns)
    return [(t, None if t.stopped_after_s is None else t.stopped_after_s / 60) for t in timers]


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
