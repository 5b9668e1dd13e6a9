"""A temperature that is read beside the steps, and what it ends."""

from __future__ import annotations

import msgspec

from studio.session import commands as c
from studio.session import events as e
from studio.session.asked import value_of
from studio.session.clock import Reading, moment_of
from studio.session.live.cooling import ended_by
from studio.session.path import is_free
from studio.session.records import Read
from studio.session.refusals import Refused
from studio.session.state import State
from studio.session.step_rules import done_drafts

PLACES = ("packet", "lid", "bath", "room")


def take_reading(state: State, command: c.TakeReading, now: Reading) -> list[e.Draft]:
    """A temperature at one of the known places; at or below its limit it ends the wait for cooling."""
    if command.where not in PLACES:
        raise Refused(f"A reading is taken at the {', '.join(PLACES)}.")
    value, typed = value_of(command.text, "temperature"), command.text.strip()
    if not -30 <= value <= 130:
        raise Refused("A temperature at the pot lies between -30 and 130 degC, for example 92.")
    data = {"where": command.where, "value": value, "unit": "degC", "typed": typed}
    read = Read(state.last_n + 1, moment_of(now), command.where, value, typed)
    seen = msgspec.structs.replace(state, readings=(*state.readings, read))
    return [e.Draft(e.READING_TAKEN, data), *_ended(seen, now)]


def _ended(state: State, now: Reading) -> list[e.Draft]:
    return [
        draft
        for stage in state.worksheet.procedure
        for step in stage.steps
        if not state.step(step.id).closed
        and ended_by(state, step) is not None
        and is_free(state, stage, step)
        for draft in done_drafts(state, step, now)
    ]
