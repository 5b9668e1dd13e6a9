"""What undo would take back or bring back, in words: asked before it is done, told once it is."""

from __future__ import annotations

from collections.abc import Sequence

from studio.plaintext import clean
from studio.report.telling import told_apart
from studio.session import events as e
from studio.session.records import TimerRecord
from studio.session.state import State
from studio.session.taking_back import TakingBack
from studio.session.timers import minutes_text


def named(state: State, event: e.Event) -> str:
    """What is taken back, as the record tells it: `Dry fibre weighed: 101 g`."""
    return clean(told_apart(event, state)[0], limit=120)


def offer(state: State, event: e.Event) -> str:
    """One row of the list: `band 7 painted, rust`, or `bring back Steam is rolling`."""
    undone = state.log.find(event.data["ref"]) if event.kind == e.UNDONE else None
    return f"bring back {named(state, undone)}" if undone is not None else named(state, event)


def question(state: State, back: TakingBack) -> str:
    """What would happen, clocks and all; ends in a full stop."""
    undone = state.log.find(back.event.data["ref"]) if back.brings_back else None
    what = f"'{named(state, undone or back.event)}'"
    parts = [f"brings back {what}" if back.brings_back else f"takes back {what}"]
    for verb, after, timers in (
        ("stops", "", back.stopped),
        ("loses", "", back.lost),
        ("sets", " going again", back.going_again),
        ("gives", " its former time", back.moved),
    ):
        if timers:
            parts.append(f"{verb} {_clocks(timers)}{after}")
    told = f"{', '.join(parts[:-1])} and {parts[-1]}" if len(parts) > 1 else parts[0]
    return f"This {told}."


def done(state: State, back: TakingBack) -> str:
    """What was done, in a sentence."""
    undone = state.log.find(back.event.data["ref"]) if back.brings_back else None
    if undone is not None:
        return f"Brought back: '{named(state, undone)}'."
    return f"Taken back: '{named(state, back.event)}'. It stays in the record."


def _clocks(timers: Sequence[TimerRecord]) -> str:
    told = [f"'{clean(timer.label, limit=40)}' of {minutes_text(timer.minutes * 60)}" for timer in timers]
    if len(told) == 1:
        return f"the clock {told[0]}"
    return f"the clocks {', '.join(told[:-1])} and {told[-1]}"
