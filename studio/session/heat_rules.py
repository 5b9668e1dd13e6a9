"""What is done at the heat: temperatures read, looks at the bath and acid into it."""

from __future__ import annotations

from typing import Literal, get_args

from studio.session import commands as c
from studio.session.asked import Refused, value_of
from studio.session.clock import Reading
from studio.session.events import Event
from studio.session.folding import foreseen
from studio.session.kinds.rinsing import AcidDosed, BathLooked
from studio.session.kinds.steam import ReadAt, ReadingTaken
from studio.session.kinds.steps import StepMeasured
from studio.session.live.cooling import ended_by
from studio.session.live.given import allowed, record_of
from studio.session.path import is_free
from studio.session.sheet import value_now
from studio.session.state import State
from studio.session.step_rules import done_drafts, open_step, timers_of
from studio.session.time_rules import start_draft
from studio.session.timers import ran_out

# What is seen and done at a dye bath: the white spoon, more acid; and the same look at a packet's
# liquid.

MOST_DOSES = 2.0
"""All acid that is added later, as a multiple of the plan's. House rule, catches a slipped unit."""


def look_at_bath(state: State, command: c.LookAtBath, now: Reading) -> list[Event]:
    """A look: clear closes the step; not clear starts the clock that holds on, and is kept."""
    step = open_step(state, command.step)
    text = command.text.strip()
    if step.quantity != "look" or text not in ("1", "2", "3", "4", "5"):
        raise Refused("Grade what is on the spoon from 1, as dark as at first, to 5, clear.")
    grade = int(text)
    clear = grade >= (step.low or 0.0)
    drafts: list[Event] = [BathLooked(step.id, grade, clear, state.sets)]
    more = next((t for t in state.worksheet.timers if t.id == step.stops), None)
    if clear:
        told = StepMeasured(step.id, float(grade), step.unit, text, False)
        return [*drafts, told, *timers_of(state, step, now)]
    running = state.timers.get(step.stops)
    idle = running is None or not running.running or ran_out(state, step.stops, now)
    if more is not None and idle:
        drafts.append(start_draft(more, step.id, minutes=more.minutes))
    return drafts


def dose_acid(state: State, command: c.DoseAcid, now: Reading) -> list[Event]:
    """More acid into a bath that will not clear."""
    acid, poured = state.choices.acid, [s.sets for s in state.all_steps() if s.role == "acid"]
    if acid is None or not poured or not allowed(state, "more acid"):
        raise Refused("Acid is added later only to a bath on the heat, of the acid its plan names.")
    if not record_of(state, "heat on").closed or record_of(state, "heat off").closed:
        raise Refused("Acid is added while the bath is on the heat; the first dose has a step of its own.")
    liquid = acid.row.state == "liquid"
    amount = value_of(command.text, "volume" if liquid else "mass")
    unit: Literal["mL", "g"] = "mL" if liquid else "g"
    most = MOST_DOSES * sum(value_now(state, path) or 0.0 for path in set(poured)) - sum(
        d.event.amount for d in state.acid_doses
    )
    if not 0 < amount <= most:
        limit = f"at most {max(0.0, most):.3g} {unit}" if most > 0 else "no more: note what happened instead"
        raise Refused(f"Write how much acid goes in, {limit}; half of the plan's is a usual dose.")
    return [AcidDosed(amount, unit, command.text.strip())]


# A temperature that is read beside the steps, and what it ends.

PLACES: tuple[ReadAt, ...] = get_args(ReadAt)


def take_reading(state: State, command: c.TakeReading, now: Reading) -> list[Event]:
    """A temperature at one of the known places; at or below its limit it ends the wait for cooling."""
    where = next((place for place in PLACES if place == command.where), None)
    if where is None:
        raise Refused(f"A reading is taken at the {', '.join(PLACES)}.")
    value, typed = value_of(command.text, "temperature"), command.text.strip()
    if not -30 <= value <= 130:
        raise Refused("A temperature at the pot lies between -30 and 130 degC, for example 92.")
    read = ReadingTaken(where, value, "degC", typed)
    return [read, *_ended(foreseen(state, read, now), now)]


def _ended(state: State, now: Reading) -> list[Event]:
    return [
        draft
        for stage in state.worksheet.procedure
        for step in stage.steps
        if not state.step(step.id).closed
        and ended_by(state, step) is not None
        and is_free(state, stage, step)
        for draft in done_drafts(state, step, now)
    ]
