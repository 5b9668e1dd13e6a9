"""What the bench has to say at a step, and how the step itself moves with what was measured."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import chain

import msgspec

from studio.craft.rinse import STEP_LIMIT_C
from studio.plan.shapes import Caution, Figure, Role, Step
from studio.session.clock import Reading
from studio.session.live import bath, cooling, painting, steam
from studio.session.live.given import Thought, Told, gathered, warning
from studio.session.path import stage_of
from studio.session.sheet import sheet_now, step_now
from studio.session.state import State


class Behind(Thought, frozen=True):
    """What stands behind a step, as it stands now."""

    cautions: tuple[Caution, ...] = ()
    """Those of the sheet that belong to the step."""


def behind(state: State, step: Step, now: Reading) -> Behind:
    """Figures, warnings and cautions of a step; what the clock tells goes before what the sheet does."""
    step, sheet, thought = effective(state, step), sheet_now(state), think(state, step, now)
    anew = {f.instead_of for f in thought.figures}
    figures = (f for i in step.figures if i not in anew and (f := sheet.figure(i)) is not None)
    # A warning that was accepted at the first gate stays in the words in which it was accepted.
    named = (c for i in step.cautions if (c := sheet.caution(i) or state.worksheet.caution(i)) is not None)
    return Behind((*thought.figures, *figures), thought.warnings, tuple(named))


def think(state: State, step: Step, now: Reading) -> Thought:
    """Figures and warnings from what really happened, for the step at hand.

    Values that nothing can be worked out from (a wet weight below the dry one) give a warning that says so.
    """
    try:
        return gathered(_think(state, step, now))
    except ValueError as problem:
        text = (
            f"Nothing can be worked out here: {problem} If a value is wrong, correct it ({{bench.correct}})."
        )
        return gathered([warning("unclear", text, "the values of this session")])


def _think(state: State, step: Step, now: Reading) -> Told:
    stage = stage_of(state, step)
    if stage.kind == "stocks":
        yield from painting.think_stocks(state)
    elif stage.kind in ("cool", "rinse"):
        yield from cooling.think_hot(state, step)
        if stage.kind == "cool":
            yield from cooling.think_cooling(state, now)
        else:
            yield from chain(cooling.think_rinse_water(state), cooling.think_rounds(state))
    elif step.role in _OF_ROLE:
        yield from _OF_ROLE[step.role](state, now)


_OF_ROLE: dict[Role, Callable[[State, Reading], Iterable[Figure | Caution]]] = {
    "mix": lambda state, now: painting.think_depth(state),
    "paint": lambda state, now: chain(painting.think_depth(state), painting.think_painting(state)),
    "heat on": lambda state, now: steam.time_to_steam(state),
    "steam rolling": lambda state, now: steam.time_to_steam(state),
    "hold": lambda state, now: chain(
        steam.think_centre(state, now), steam.think_pot(state, now), bath.think_hold(state, now)
    ),
    "acid draws on": bath.think_ramp,
    "acid": bath.think_ramp,
    "dye in": bath.think_ramp,
    "ramp": bath.think_ramp,
    "at the top": bath.think_ramp,
    "look": lambda state, now: chain(bath.think_clear(state), bath.think_hold(state, now)),
}


def effective(state: State, step: Step) -> Step:
    """The step as the sheet of now asks for it; rinse water by the warmth of the fibre."""
    step = step_now(state, step)
    if step.role == "rinse water" and step.set_number == state.sets:
        water = cooling.water_c(state)
        if water is not None:
            low, high = max(0.0, water - STEP_LIMIT_C), water + STEP_LIMIT_C
            return msgspec.structs.replace(step, expected=water, low=low, high=high)
    return step
