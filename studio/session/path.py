"""Which step comes next, and how far each stage has come."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import msgspec

from studio.plan.shapes import Stage, Step
from studio.session.clock import Reading
from studio.session.state import State, StepRecord
from studio.session.timers import ran_out

LEFT_OUT = ("skipped", "overridden", "not measured")


def closed_as(step: Step, record: StepRecord) -> str:
    """How a step stands, in the word of the key it was closed with: `left out`, `passed with a reason`."""
    if record.state == "not measured" and step.quantity in ("rating", "look"):
        return "not judged"
    return {"skipped": "left out", "overridden": "passed with a reason"}.get(record.state, record.state)


class StageProgress(msgspec.Struct, frozen=True):
    """How one stage stands."""

    stage: str
    closed: int
    total: int
    standing: Literal["done", "waiting", "now", "ahead"]
    """`waiting`: done, but not all of it is saved."""
    left_out: int = 0
    """Skipped, overridden or not measured, each with a reason."""


def is_free(state: State, stage: Stage, step: Step) -> bool:
    """Whether nothing the step depends on is still open."""
    for earlier in stage.steps:
        if earlier.id == step.id:
            break
        if not state.step(earlier.id).closed:
            return False
    return all(state.step(needed).closed for needed in step.after)


def current_step(state: State, now: Reading) -> Step | None:
    """The step to do now, or None when all are closed.

    A wait whose timer still runs does not stand in the way of steps that do not depend on it: while the
    fibre soaks, the stocks can be mixed. Only when nothing else is free does the wait itself come up.
    """
    waiting: Step | None = None
    for stage in state.worksheet.procedure:
        for step in stage.steps:
            if state.step(step.id).closed:
                continue
            if not is_free(state, stage, step):
                continue
            if step.kind == "wait" and not ran_out(state, step.timer, now):
                waiting = waiting or step
                continue
            return step
    return waiting


def stage_of(state: State, step: Step) -> Stage:
    """The stage that holds a step of this session."""
    return next(stage for stage in state.worksheet.procedure if any(s.id == step.id for s in stage.steps))


def place_of(stage: Stage, step: Step) -> str:
    """`3 of 7`, in its stage."""
    return f"{[s.id for s in stage.steps].index(step.id) + 1} of {len(stage.steps)}"


def progress(state: State, now: Reading, unsaved: frozenset[str] = frozenset()) -> tuple[StageProgress, ...]:
    """Every stage with its count of closed steps; `unsaved` steps wait to be on disk."""
    step = current_step(state, now)
    current = stage_of(state, step) if step else None
    rows = []
    for stage in state.worksheet.procedure:
        closed = sum(state.step(s.id).closed for s in stage.steps)
        total = len(stage.steps)
        standing: Literal["done", "waiting", "now", "ahead"] = "ahead"
        if closed == total:
            standing = "waiting" if any(s.id in unsaved for s in stage.steps) else "done"
        elif current is not None and stage.stage == current.stage:
            standing = "now"
        left_out = sum(state.step(s.id).state in LEFT_OUT for s in stage.steps)
        rows.append(StageProgress(stage.stage, closed, total, standing, left_out))
    return tuple(rows)


def share_done(stages: Sequence[StageProgress]) -> float:
    """How much of a session is done, 0 to 1: each stage counts alike."""
    return sum(stage.closed / stage.total for stage in stages) / len(stages)


def last_closed(state: State) -> tuple[Step, int] | None:
    """The step closed last and the wall time of it, for "last done …" after an interruption."""
    newest: tuple[Step, int] | None = None
    newest_n = 0
    for step in state.all_steps():
        record = state.step(step.id)
        if record.closed and record.n > newest_n:
            newest, newest_n = (step, record.at_ns), record.n
    return newest
