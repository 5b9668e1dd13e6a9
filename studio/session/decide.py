"""`decide(state, command, now)`: the one door through which anything happens to a session."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import msgspec

from studio.session import bench_rules, follow_up_rules, late, note_rules, step_rules, taking_back, time_rules
from studio.session import commands as c
from studio.session import heat_rules as bath_rules
from studio.session import heat_rules as reading_rules
from studio.session import note_rules as counting_rules
from studio.session import note_rules as swatch_rules
from studio.session import time_rules as packet_rules
from studio.session.after.real_cost import spent
from studio.session.asked import Refused, reason
from studio.session.clock import Reading
from studio.session.events import Event, joined
from studio.session.kinds.course import Finished, Left, Resumed
from studio.session.path import current_step, last_closed
from studio.session.sheet import sheet_now
from studio.session.state import State
from studio.session.timers import elapsed_s


def decide(state: State, command: c.Command, now: Reading) -> list[Event]:
    """The event a command gives, or those of a tick; Refused, with nothing changed, where a rule stands against it."""
    if state.closed:
        return _after_the_end(state, command, now)
    handler = _RULES[type(command)]
    return joined(handler(state, command, now))


def _after_the_end(state: State, command: c.Command, now: Reading) -> list[Event]:
    if isinstance(command, (c.Tick, c.Leave)):
        return []
    if (rule := _AFTER_THE_END.get(type(command))) is not None:
        return rule(state, command, now)
    raise Refused(
        "This session is closed; only remarks, pictures, counts and fastness tests can be added to it."
    )


def _leave(state: State, command: c.Leave, now: Reading) -> list[Event]:
    step = current_step(state, now)
    return [Left(step.id if step else "")]


def _resume(state: State, command: c.Resume, now: Reading) -> list[Event]:
    step = current_step(state, now)
    last = last_closed(state)
    at, closed = step.id if step else "", last[0].id if last else ""
    return [Resumed(command.pid, command.program, at, closed)]


def _finish(state: State, command: c.Finish, now: Reading) -> list[Event]:
    still_open = current_step(state, now)
    if still_open is not None:
        raise Refused(f"Not everything is closed yet: {still_open.text} Close or skip it first.")
    return _closing(state, Finished("finished", counts(state), ""), now)


def _abandon(state: State, command: c.Abandon, now: Reading) -> list[Event]:
    return _closing(state, Finished("abandoned", counts(state), "", why=reason(command.why)), now)


def _closing(state: State, told: Finished, now: Reading) -> list[Event]:
    """With the session end all its clocks; what its figures came to stands in the file from then on."""
    ran = {t.id: elapsed_s(t, now)[0] for t in state.timers.values() if t.running}
    stopped = {i: msgspec.structs.replace(state.timers[i], stopped_after_s=s) for i, s in ran.items()}
    ended = msgspec.structs.replace(state, timers={**state.timers, **stopped})
    begun = {figure.id: figure for figure in state.worksheet.figures}
    moved = tuple(f for f in sheet_now(ended, spent(ended)).figures if begun.get(f.id) != f)
    return [
        msgspec.structs.replace(told, figures=moved),
        *(time_rules.stop_draft(i, s) for i, s in ran.items()),
    ]


def counts(state: State) -> dict[str, int]:
    """How many steps stand how, and how many alarms and notes there are, for the closing line."""
    tally: dict[str, int] = {"steps": 0, "open": 0, "notes": len(state.notes), "alarms": len(state.alarms)}
    for step in state.all_steps():
        tally["steps"] += 1
        kind = state.step(step.id).state
        tally[kind] = tally.get(kind, 0) + 1
    return tally


_RULES: dict[type, Callable[[State, Any, Reading], list[Event]]] = {
    c.Close: step_rules.close,
    c.Measure: step_rules.measure,
    c.NotMeasured: step_rules.not_measured,
    c.PassGate: step_rules.pass_gate,
    c.Override: step_rules.override,
    c.Skip: step_rules.skip,
    c.AcceptCaution: step_rules.accept_caution,
    c.Correct: step_rules.correct,
    c.Undo: taking_back.undo,
    c.AddNote: note_rules.add_note,
    c.ExtendTimer: time_rules.extend,
    c.ConfirmElapsed: time_rules.confirm_elapsed,
    c.Acknowledge: time_rules.acknowledge,
    c.Snooze: time_rules.snooze,
    c.Tick: time_rules.tick,
    c.Leave: _leave,
    c.Resume: _resume,
    c.Finish: _finish,
    c.Abandon: _abandon,
    c.TakeReading: reading_rules.take_reading,
    c.ToggleSteam: bench_rules.toggle_steam,
    c.Refill: bench_rules.refill,
    c.MixMore: bench_rules.mix_more,
    c.PaintLeft: bench_rules.paint_left,
    c.PaintBand: bench_rules.paint_band,
    c.PacketIn: packet_rules.packet_in,
    c.PacketOut: packet_rules.packet_out,
    c.Rinsed: bench_rules.rinsed,
    c.LookAtBath: bath_rules.look_at_bath,
    c.DoseAcid: bath_rules.dose_acid,
    c.SetAgain: bench_rules.set_again,
    c.KeepLeftover: bench_rules.keep_leftover,
    c.AddPhoto: note_rules.add_photo,
    c.NoteLate: late.note_late,
    c.CountSwatch: swatch_rules.count_swatch,
    c.CountDrops: counting_rules.count_drops,
    c.ReadPot: counting_rules.read_pot,
    **follow_up_rules.BEFORE_THE_END,
}
_AFTER_THE_END: dict[type, Callable[[State, Any, Reading], list[Event]]] = {
    **{kind: _RULES[kind] for kind in (c.AddNote, c.AddPhoto, c.CountSwatch, c.CountDrops)},
    **follow_up_rules.AFTER_THE_END,
}
