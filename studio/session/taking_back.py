"""Undo: what it would take back, and which clocks it would lose or set going again."""

from __future__ import annotations

from dataclasses import dataclass

from studio.plan.shapes import Step
from studio.session import commands as c
from studio.session import events as e
from studio.session.clock import Reading
from studio.session.gate_digit import CAUTIONS_STEP
from studio.session.records import StepRecord, TimerRecord, Undoable
from studio.session.refusals import Refused
from studio.session.state import State
from studio.session.timers import clocks_of


@dataclass(frozen=True, slots=True)
class TakingBack:
    """The newest thing that can be taken back."""

    entry: Undoable
    step: Step
    record: StepRecord
    """As the step stands now."""
    lost: tuple[TimerRecord, ...]
    """Clocks the step started; they go with it, whether they run or were stopped."""
    going_again: tuple[TimerRecord, ...]
    """Clocks the step stopped; they run on as if they had not been."""

    newer: bool
    """Something was done since, beside the steps, that would stay: a coat, a reading, a note."""

    @property
    def asked_about(self) -> bool:
        """Whether it takes a second key: a clock starts, stops or is lost by it, or it is not the newest thing."""
        return bool(self.lost or self.going_again or self.newer)


def taking_back(state: State) -> TakingBack | None:
    """What undo would take back now; None where it would take nothing back."""
    entry = state.undo_stack[-1] if state.undo_stack else None
    step = state.find_step(entry.step) if entry is not None else None
    if entry is None or step is None or step.id == CAUTIONS_STEP:
        return None
    lost, going_again = clocks_of(state, entry)
    newer = _newest_beside(state) > entry.n
    return TakingBack(entry, step, state.step(step.id), lost, going_again, newer)


def _newest_beside(state: State) -> int:
    """Number of the newest event beside the steps; 0 where there is none."""
    kept = (
        state.coats, state.paint_left.values(), state.batches, state.readings, state.refills, state.rounds,
        state.looks, state.acid_doses, state.leftovers, state.photos, state.notes, state.swatches,
        state.droppers, state.pot_left,
    )  # fmt: skip
    return max((one.n for records in kept for one in records), default=0)


def undo(state: State, command: c.Undo, now: Reading) -> list[e.Draft]:
    """Take back the newest step or correction; it stays in the record as taken back."""
    back = taking_back(state)
    if back is not None:
        return [e.Draft(e.UNDONE, {"ref": back.entry.n, "step": back.step.id, "why": "undo"})]
    if state.undo_stack:
        raise Refused("The warnings stay taken on; write a note (N) if one was taken on by mistake.")
    raise Refused("There is nothing to take back yet.")
