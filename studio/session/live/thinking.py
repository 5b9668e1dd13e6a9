"""What the bench has to say at a step, and how the step itself moves with what was measured."""

from __future__ import annotations

import msgspec

from studio.craft.rinse import STEP_LIMIT_C
from studio.plan.painting import mix_text
from studio.plan.shapes import Step
from studio.plan.step_parts import near
from studio.session.clock import Reading
from studio.session.live import (
    bath,
    cooling,
    jars,
    paint_room,
    paint_strength,
    painting,
    pot_watch,
    rinsing,
    soak_ph,
    steam,
)
from studio.session.live.given import NOTHING, Thought, set_suffix, warning
from studio.session.state import State

PH_SHOWN = {"presoak": ("ph", "in", "wait"), "bath": ("ph", "in")}
"""Steps that show the pH as poured."""


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
    if rest in PH_SHOWN.get(stage, ()):
        return soak_ph.think_ph(state)
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
    slug, _, what = rest.rpartition(".")
    if what == "mix":
        return paint_room.think_room(state) + paint_room.mix_figures(state, slug)
    if rest == "apply":
        return (
            paint_room.think_room(state)
            + paint_strength.think_strength(state)
            + painting.think_painting(state)
        )
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
    """The step with what it expects moved to what was measured: paint by the squeezed weight, rinse
    water by the warmth of the fibre."""
    if step.id.startswith("paint.") and step.id.endswith(".mix"):
        slug = step.id.removeprefix("paint.").removesuffix(".mix")
        mix = next((m for m in paint_room.mixes(state) if m.colour.slug == slug), None)
        if mix is not None and paint_room.room_now(state) is not None:
            text = mix_text(mix.colour.name, mix.stock_ml, mix.water_ml)
            return msgspec.structs.replace(step, text=text, **near(mix.liquid_ml))
    if step.id == f"rinse{set_suffix(state)}.water":
        water = rinsing.water_c(state)
        if water is not None:
            low, high = max(0.0, water - STEP_LIMIT_C), water + STEP_LIMIT_C
            return msgspec.structs.replace(step, expected=water, low=low, high=high)
    if step.id in ("presoak.ph", "bath.ph") and (ph := soak_ph.ph_as_poured(state)) is not None:
        return msgspec.structs.replace(
            step, expected=round(ph, 2), low=max(0.0, ph - 1), high=min(14.0, ph + 1)
        )
    return step
