"""The rinse: temperature against the fibre, how the water looks, and what it means when it will not clear."""

from __future__ import annotations

from studio.craft.rinse import (
    MEANINGS,
    ROUNDS_BEFORE_GUIDANCE,
    STAINING,
    STEP_LIMIT_C,
    guidance,
    temperature_step,
)
from studio.plan.work.energy import UNWRAP_C
from studio.session.live.cooling import newest_reading
from studio.session.live.given import NOTHING, Thought, clock_of, measured, warning
from studio.session.sheet import worked_now
from studio.session.state import State

FELTING = "common practice: wool is rinsed at its own warmth; the limit is a house rule"


def staining_words() -> str:
    """The five steps of rinse water, for the question."""
    return "   ".join(f"{s.grade} {s.words}" for s in STAINING)


def fibre_c(state: State) -> float | None:
    """Temperature of the fibre when it was last read since the heat."""
    read = newest_reading(state)
    return None if read is None else read.event.value


def water_c(state: State) -> float | None:
    """How warm the rinse water should be: as the fibre, and never above what hands may meet; None where nobody read."""
    fibre = fibre_c(state)
    return None if fibre is None or worked_now(state) is None else min(fibre, UNWRAP_C)


def think_rinse_water(state: State) -> Thought:
    """A warning where the rinse water is too far from the fibre; what is still too hot is warned of elsewhere."""
    fibre, water = fibre_c(state), measured(state, "rinse water", number=state.sets)
    if fibre is None or water is None or fibre != water_c(state):
        return NOTHING
    step = temperature_step(fibre, water)
    if not step.too_large:
        return NOTHING
    text = (
        f"The water is {abs(step.step_c):.0f} °C from the fibre and wool felts at a step of more than "
        f"{STEP_LIMIT_C:g}: bring it between {step.low_c:.0f} and {step.high_c:.0f} °C first."
    )
    return Thought((), (warning("rinse.step", text, FELTING),))


def rounds_now(state: State) -> tuple[int, ...]:
    """Grades of the rinse rounds of the present set."""
    return tuple(r.event.staining for r in state.rounds if r.event.set_number == state.sets)


def think_rounds(state: State) -> Thought:
    """After three rounds that are not clear: what it can mean, and that it can be set again."""
    grades = rounds_now(state)
    if len(grades) < ROUNDS_BEFORE_GUIDANCE or state.rounds[-1].event.clear:
        return NOTHING
    timer = clock_of(state, "hold")
    held = None if timer is None or timer.stopped_after_s is None else timer.stopped_after_s / 60
    depths = [c.plan.depth.value for c in state.choices.colours if c.plan.depth is not None]
    ids = guidance(
        grades,
        ph=measured(state, "pH"),
        held_min=held,
        hold_min=timer.minutes if timer is not None else None,
        depth_percent=max(depths, default=None),
    )
    return Thought((), tuple(warning(f"rinse.{i}", MEANINGS[i].sentence, MEANINGS[i].source) for i in ids))
