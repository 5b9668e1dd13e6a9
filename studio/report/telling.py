"""Events as sentences, for printing and for the line mode; and how steps and bands stand, in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from studio.plaintext import clean, counted
from studio.plan.shapes import Step, listed
from studio.session.asked import asked_in
from studio.session.bands import FACES
from studio.session.clock import Reading, time_of_day
from studio.session.events import parts
from studio.session.folding import Record
from studio.session.kinds.clocks import late_of
from studio.session.kinds.paint import Face, colour_name
from studio.session.kinds.steps import value_text
from studio.session.path import LEFT_OUT, closed_as, current_step, last_closed, place_of, stage_of
from studio.session.state import State, StepRecord, TimerRecord, Undone
from studio.session.timers import TimerView, minutes_text

if TYPE_CHECKING:
    from studio.session.bands import BandNow
    from studio.session.run import Running
    from studio.session.taking_back import TakingBack


def tell(event: Record, state: State) -> str:
    """One sentence for an event and what lies in it, as `told_apart` has them."""
    return "; ".join(told_apart(event, state))


def told_apart(event: Record, state: State) -> tuple[str, ...]:
    """A sentence for an event, then one for each step, clock and alarm in it.

    `state` is the state after the event. Text from the file is cleaned.
    """
    whole = event.told
    first, *others = (part.says(state) for part in sorted(parts(whole), key=lambda part: part is not whole))
    late = late_of(whole)
    return (first if late is None else f"{first} at {clean(late.time, limit=5)}, entered later", *others)


def not_saved(session: Running) -> str:
    """What is said for as long as a save fails; empty while every entry is on disk."""
    if not session.waiting:
        return ""
    waits = "1 entry waits" if session.waiting == 1 else f"{session.waiting} entries wait"
    return clean(f"NOT SAVED: {session.trouble}. {waits} to be saved.", limit=600)


def end_words(clock: TimerView, utc_offset_min: int) -> str:
    """When a clock ends, as a time of day, or why it has none."""
    if not clock.sure:
        return "computer lost count"
    if clock.paused:
        return "stands still: no steam"
    return f"{'was due' if clock.due else 'ends'} {time_of_day(clock.ends_wall_ns, utc_offset_min)}"


def outcome(step: Step, record: StepRecord) -> str:
    """How a closed step ended where that is more than done: `41.5 g`, `left out: no scale`, `(marked)`."""
    marked = "(marked)" if record.flagged else ""
    if record.state == "measured":
        return f"{value_text(record.value, record.unit, step)} {marked}".rstrip()
    return f"{closed_as(step, record)}: {clean(record.why)}" if record.state in LEFT_OUT else marked


def where_you_were(state: State, now: Reading) -> str:
    """`You were at 3 of 7 in presoak. Last done: Unwrapped cool, passed with a reason: the bus leaves, at 21:57.`

    For the first look after an interruption or a resume; empty when nothing is left to do.
    """
    step = current_step(state, now)
    if step is None:
        return ""
    stage = stage_of(state, step)
    told, last = f"You were at {place_of(stage, step)} in {stage.stage}.", last_closed(state)
    if last is None:
        return told
    done, at_ns = last
    ended = ", ".join(part for part in (clean(done.done), outcome(done, state.step(done.id))) if part)
    return f"{told} Last done: {ended}, at {time_of_day(at_ns, state.utc_offset_min)}."


def given(step: Step, record: StepRecord) -> str:
    """A value that was asked for, by what was given: `Rust powder weighed, 0.43 g`."""
    return f"{clean(step.done, limit=60)}, {outcome(step, record)}"


def correcting(step: Step, record: StepRecord) -> str:
    """`Rust powder weighed, 0.43 g: the right value in g`, to ask for a better one."""
    wanted = {
        "ph": "the right pH",
        "rating": "the right number from 1 to 5",
        "look": "the right number from 1 to 5",
        "count": f"the right number of {step.unit}",
    }.get(step.quantity, f"the right value in {asked_in(step)}")
    return f"{given(step, record)}: {wanted}"


def band_words(state: State, band: BandNow) -> str:
    """`to paint`, `1 coat`, `2 coats on the back`, and the jars where one is not the planned one."""
    if band.bare:
        return "to paint"
    return listed([_coats_words(state, band, face) for face in FACES if band.on(face)])


def _coats_words(state: State, band: BandNow, face: Face) -> str:
    coats = band.on(face)
    told = counted(len(coats), "coat")
    if face == "back" or len(band.faces) > 1:
        told += f" on the {face}"
    jars = " and ".join(dict.fromkeys(colour_name(state, coat.jar) for coat in coats))
    return f"{told} from {jars}" if any(coat.jar != band.jar for coat in coats) else told


# What undo would take back or bring back, in words: asked before it is done, told once it is.


def named(state: State, event: Record) -> str:
    """What is taken back, as the record tells it: `Dry fibre weighed: 101 g`."""
    return clean(told_apart(event, state)[0], limit=120)


def offer(state: State, event: Record) -> str:
    """One row of the list: `band 7 painted, rust`, or `bring back Steam is rolling`."""
    undone = _undone(state, event)
    return f"bring back {named(state, undone)}" if undone is not None else named(state, event)


def question(state: State, back: TakingBack) -> str:
    """What would happen, clocks and all; ends in a full stop."""
    undone = _undone(state, back.event)
    what = f"'{named(state, undone or back.event)}'"
    parts = [f"brings back {what}" if back.brings_back else f"takes back {what}"]
    for verb, after, timers in (
        ("stops", "", back.stopped),
        ("loses", "", back.lost),
        ("sets", " going again", back.going_again),
        ("gives", f" {'its' if len(back.moved) == 1 else 'their'} former time", back.moved),
    ):
        if timers:
            parts.append(f"{verb} {_clocks(timers)}{after}")
    told = f"{', '.join(parts[:-1])} and {parts[-1]}" if len(parts) > 1 else parts[0]
    return f"This {told}."


def done(state: State, back: TakingBack) -> str:
    """What was done, in a sentence."""
    undone = _undone(state, back.event)
    if undone is not None:
        return f"Brought back: '{named(state, undone)}'."
    return f"Taken back: '{named(state, back.event)}'. It stays in the record."


def corrected(state: State, step_id: str) -> str:
    """`pH read corrected: pH 3.9 to pH 10.`"""
    step, record = state.find_step(step_id), state.step(step_id)
    what = clean(step.done if step is not None else step_id, limit=60)
    return f"{what} corrected: {record.earlier[-1].what} to {value_text(record.value, record.unit, step)}."


def _undone(state: State, event: Record) -> Record | None:
    """What an undo took back."""
    return state.log.find(event.told.ref) if isinstance(event.told, Undone) else None


def _clocks(timers: Sequence[TimerRecord]) -> str:
    told = [f"'{clean(timer.label, limit=40)}' of {minutes_text(timer.minutes * 60)}" for timer in timers]
    if len(told) == 1:
        return f"the clock {told[0]}"
    return f"the clocks {', '.join(told[:-1])} and {told[-1]}"
