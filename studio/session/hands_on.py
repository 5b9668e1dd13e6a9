"""How long hands were at work: the time between ticks, without the waits and without what was a break."""

from __future__ import annotations

from dataclasses import dataclass

from studio.session.clock import elapsed_since
from studio.session.state import State

LONGEST_GAP_MIN = 20.0
"""Between two ticks; what is longer was a break or a wait, and counts as this. House rule."""
WAITED_FOR = frozenset({"steam rolling", "at the top", "look", "goods temperature", "unravel", "dyed weight"})
"""Steps that close when water has boiled, a packet has cooled or yarn has dried: what is before them is no
work of hands."""


@dataclass(frozen=True, slots=True)
class MeasuredHands:
    """Minutes of hands-on work in one stage."""

    stage: str
    minutes: float


def hands_on(state: State) -> tuple[MeasuredHands, ...]:
    """Hands-on minutes of each stage that was worked in, in the order of the procedure.

    The time from one closed step to the next belongs to the later one, at most 20 min of it; nothing before a
    step that waits for a clock, for the boil, for cooling or drying. What is done while a clock runs counts as
    work, once.
    **Source:** arithmetic on the times of the ticks; what is a wait and what a break are house rules.
    """
    stage_of = {step.id: stage.stage for stage in state.worksheet.procedure for step in stage.steps}
    waits = {step.id for step in state.all_steps() if step.kind == "wait" or step.role in WAITED_FOR}
    closed = sorted(
        ((record.n, record.moment, step_id) for step_id, record in state.steps.items() if record.closed),
        key=lambda row: row[0],
    )
    spent: dict[str, float] = {}
    before = state.opened
    for _, moment, step_id in closed:
        if moment is None or step_id not in stage_of:
            continue
        gap_min = min(LONGEST_GAP_MIN, max(0.0, elapsed_since(before, moment).seconds / 60.0))
        before = moment
        if step_id not in waits:
            spent[stage_of[step_id]] = spent.get(stage_of[step_id], 0.0) + gap_min
        else:
            spent.setdefault(stage_of[step_id], 0.0)
    order = [stage.stage for stage in state.worksheet.procedure]
    return tuple(MeasuredHands(stage, spent[stage]) for stage in order if stage in spent)


def hands_on_min(state: State) -> float:
    """All of it, min; 0 where no step was closed."""
    return sum(stage.minutes for stage in hands_on(state))
