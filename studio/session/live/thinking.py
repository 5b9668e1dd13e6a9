"""What the bench has to say at a step, and how the step itself moves with what was measured."""

from __future__ import annotations

from dataclasses import dataclass

import msgspec

from studio.craft.rinse import STEP_LIMIT_C
from studio.plan.shapes import Caution, Figure, Step
from studio.session.clock import Reading
from studio.session.live import (
    bath,
    cooling,
    jars,
    paint_room,
    painting,
    pot_watch,
    rinsing,
    steam,
)
from studio.session.live.given import NOTHING, Thought, set_suffix, warning
from studio.session.sheet import sheet_now, step_now
from studio.session.state import State


@dataclass(frozen=True, slots=True)
class Behind:
    """What stands behind a step, as it stands now."""

    figures: tuple[Figure, ...]
    warnings: tuple[Caution, ...]
    """What follows from what really happened."""
    cautions: tuple[Caution, ...]
    """Those of the sheet that belong to the step."""


def behind(state: State, step: Step, now: Reading) -> Behind:
    """Figures, warnings and cautions of a step; what the clock tells goes before what the sheet does."""
    step, sheet, thought = effective(state, step), sheet_now(state), think(state, step, now)
    anew = {f.id.removeprefix("live.") for f in thought.figures}
    figures = (f for i in step.figures if i not in anew and (f := sheet.figure(i)) is not None)
    # A warning that was accepted at the first gate stays in the words in which it was accepted.
    named = (c for i in step.cautions if (c := sheet.caution(i) or state.worksheet.caution(i)) is not None)
    return Behind((*thought.figures, *figures), thought.warnings, tuple(named))


def think(state: State, step: Step, now: Reading) -> Thought:
    """Figures and warnings from what really happened, for the step at hand.

    Values that nothing can be worked out from (a wet weight below the dry one) give a warning that says so.
    """
    try:
        return _think(state, step, now)
    except ValueError as problem:
        text = f"Nothing can be worked out here: {problem} If a value is wrong, correct it (K)."
        return Thought((), (warning("unclear", text, "the values of this session"),))


def _think(state: State, step: Step, now: Reading) -> Thought:
    stage, _, rest = step.id.partition(".")
    stage = stage.split("-")[0]
    if stage == "stocks":
        return jars.think_jars(state)
    if stage == "paint":
        return _paint(state, rest)
    if stage == "steam":
        return _steam(state, rest, now)
    if stage == "heat":
        return _heat(state, rest, now)
    if stage == "microwave":
        return bath.think_clear(state) if rest == "clear" else NOTHING
    if stage == "cool":
        return cooling.think_hot(state, step) + cooling.think_cooling(state, now)
    if stage == "rinse":
        return cooling.think_hot(state, step) + rinsing.think_rinse_water(state) + rinsing.think_rounds(state)
    return NOTHING


def _paint(state: State, rest: str) -> Thought:
    if rest.endswith(".mix"):
        return paint_room.think_depth(state)
    if rest == "apply":
        return paint_room.think_depth(state) + painting.think_painting(state)
    return NOTHING


def _steam(state: State, rest: str, now: Reading) -> Thought:
    if rest in ("on", "rolling"):
        return steam.time_to_steam(state)
    if rest == "hold":
        return steam.think_centre(state, now) + pot_watch.think_pot(state, now)
    return NOTHING


def _heat(state: State, rest: str, now: Reading) -> Thought:
    if rest == "clear":
        return bath.think_clear(state) + bath.think_hold(state, now)
    if rest == "hold":
        return bath.think_hold(state, now)
    return NOTHING if rest in ("safe", "on", "off", "bath") else bath.think_ramp(state, now)


def effective(state: State, step: Step) -> Step:
    """The step as the sheet of now asks for it; rinse water by the warmth of the fibre."""
    step = step_now(state, step)
    if step.id == f"rinse{set_suffix(state)}.water":
        water = rinsing.water_c(state)
        if water is not None:
            low, high = max(0.0, water - STEP_LIMIT_C), water + STEP_LIMIT_C
            return msgspec.structs.replace(step, expected=water, low=low, high=high)
    return step
