"""How a session is left, taken up again and ended; with it every rule is loaded."""

from __future__ import annotations

import msgspec

from studio.session import commands as c
from studio.session import heat_rules, late, paint_rules, taking_back, time_rules  # noqa: F401 - to have rules
from studio.session.after.real_cost import spent
from studio.session.asked import Refused, reason
from studio.session.clock import Reading
from studio.session.events import Event
from studio.session.kinds import fastness, notes  # noqa: F401 - likewise
from studio.session.kinds.course import Finished, Left, Resumed
from studio.session.path import current_step, last_closed
from studio.session.sheet import figures_moved
from studio.session.state import State
from studio.session.timers import elapsed_s


@c.rule(c.Leave)
def _leave(state: State, command: c.Leave, now: Reading) -> list[Event]:
    step = current_step(state, now)
    return [Left(step.id if step else "")]


@c.rule(c.Resume)
def _resume(state: State, command: c.Resume, now: Reading) -> list[Event]:
    step = current_step(state, now)
    last = last_closed(state)
    at, closed = step.id if step else "", last[0].id if last else ""
    return [Resumed(command.pid, command.program, at, closed)]


@c.rule(c.Finish)
def _finish(state: State, command: c.Finish, now: Reading) -> list[Event]:
    still_open = current_step(state, now)
    if still_open is not None:
        raise Refused(f"Not everything is closed yet: {still_open.text} Close it or leave it out first.")
    return _closing(state, Finished("finished", counts(state), ""), now)


@c.rule(c.Abandon)
def _abandon(state: State, command: c.Abandon, now: Reading) -> list[Event]:
    return _closing(state, Finished("abandoned", counts(state), "", why=reason(command.why)), now)


def _closing(state: State, told: Finished, now: Reading) -> list[Event]:
    """With the session end all its clocks; what its figures came to stands in the file from then on."""
    going = [t for t in state.timers.values() if t.running]
    stopped = {t.id: msgspec.structs.replace(t, stopped_after_s=elapsed_s(t, now)[0]) for t in going}
    ended = msgspec.structs.replace(state, timers={**state.timers, **stopped})
    return [
        msgspec.structs.replace(told, figures=figures_moved(ended, spent(ended))),
        *(time_rules.stop_draft(t, now) for t in going),
    ]


def counts(state: State) -> dict[str, int]:
    """How many steps stand how, and how many alarms and notes there are, for the closing line."""
    tally: dict[str, int] = {"steps": 0, "open": 0, "notes": len(state.notes), "alarms": len(state.alarms)}
    for step in state.all_steps():
        tally["steps"] += 1
        kind = state.step(step.id).state
        tally[kind] = tally.get(kind, 0) + 1
    return tally
