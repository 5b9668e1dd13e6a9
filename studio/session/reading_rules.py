"""A temperature that is read beside the steps, and what it ends."""

from __future__ import annotations

from typing import get_args

from studio.session import commands as c
from studio.session.asked import value_of
from studio.session.clock import Reading, moment_of
from studio.session.events import Event, Head
from studio.session.kinds.steam import ReadAt, ReadingTaken
from studio.session.live.cooling import ended_by
from studio.session.path import is_free
from studio.session.refusals import Refused
from studio.session.state import State
from studio.session.step_rules import done_drafts

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
    seen = read.apply(state, Head(state.last_n + 1, moment_of(now)))
    return [read, *_ended(seen, now)]


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
