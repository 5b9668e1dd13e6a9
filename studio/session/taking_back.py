"""Undo: what may be taken back, or brought back, and which clocks would start, stop or be lost by it."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.clock import Reading
from studio.session.events import Event, parts
from studio.session.folding import Record, foreseen
from studio.session.kinds.heat import BathLooked, RinseRound, SetAdded, SteamAgain, SteamStopped
from studio.session.kinds.paint import BandPainted, LeftoverKept
from studio.session.kinds.steps import CautionAccepted, ClosesAStep, Corrected, GatePassed, OfAStep
from studio.session.live.given import record_of
from studio.session.state import State, TimerRecord, Undone

MOST_OFFERED = 9
"""In the list of what may be taken back. House rule: one digit chooses."""


class TakingBack(msgspec.Struct, frozen=True):
    """One event that may be taken back, and what becomes of the clocks then."""

    event: Record
    brings_back: bool
    """The event is an undo: what it took back counts again."""
    stopped: tuple[TimerRecord, ...]
    """Clocks that run and would not any more."""
    lost: tuple[TimerRecord, ...]
    """Clocks that were stopped, and would never have been started."""
    going_again: tuple[TimerRecord, ...]
    """Clocks that would run, as they will stand."""
    moved: tuple[TimerRecord, ...]
    """Clocks that run on with another time, as they will stand."""

    @property
    def asked_about(self) -> bool:
        """Whether it takes a second key, because a clock starts, stops, moves or is lost by it."""
        return bool(self.stopped or self.lost or self.going_again or self.moved)


def newest(state: State) -> Record | None:
    """The newest event that undo takes back; None where there is none."""
    return next((one for one in _newest_first(state) if not isinstance(one.told, Undone)), None)


def takes_back(state: State) -> bool:
    """Whether there is anything to take back or to bring back."""
    return next(_newest_first(state), None) is not None


def closes(event: Record, step_id: str) -> bool:
    """Whether an event closes that step, so that it is open again without it."""
    return any(isinstance(part, ClosesAStep) and part.step == step_id for part in parts(event.told))


def offered(state: State) -> tuple[Record, ...]:
    """What may be taken back or brought back now, newest first."""
    found: list[Record] = []
    for event in _newest_first(state):
        if needed_by(state, event) is None:
            found.append(event)
        if len(found) == MOST_OFFERED:
            break
    return tuple(found)


def _newest_first(state: State) -> Iterator[Record]:
    return (one for one in reversed(state.log) if one.n not in state.gone and _may_go(state, one))


def _may_go(state: State, event: Record) -> bool:
    """Whether an event that stands is one that undo may name at all."""
    if isinstance(event.told, CautionAccepted):
        return not record_of(state, "accept cautions").closed
    if isinstance(event.told, Undone):
        undone = state.log.find(event.told.ref)
        return undone is not None and not isinstance(undone.told, Undone)
    return event.told.undo != "never"


def _hangs_on_order(state: State, event: Record) -> bool:
    """Whether only the newest of its like may go: steps, gates, clocks, steam, sets."""
    told = event.told
    if isinstance(told, Undone):
        undone = state.log.find(told.ref)
        return undone is not None and _hangs_on_order(state, undone)
    with_step = any(isinstance(part, ClosesAStep) for part in parts(told))
    return told.undo == "last" or with_step or (isinstance(told, BathLooked) and bool(told.starts))


def needed_by(state: State, event: Record) -> Record | None:
    """The newest event that stands and without this one could not; None where there is none."""
    for later in reversed(state.log):
        if later.n <= event.n:
            return None
        if later.n not in state.gone and _needs(state, later, event):
            return later
    return None


def _needs(state: State, later: Record, event: Record) -> bool:
    told, then = event.told, later.told
    if isinstance(told, BandPainted):
        return isinstance(then, BandPainted) and bool(then.instead_of) and then.band == told.band
    if isinstance(told, LeftoverKept):
        step = state.find_step(then.step) if isinstance(then, GatePassed) else None
        return step is not None and step.role == "leftovers"
    if not _hangs_on_order(state, event):
        return False
    if isinstance(then, Undone) and not isinstance(told, Undone):
        return False  # What was taken back since hangs on nothing.
    return _may_go(state, later) and _hangs_on_order(state, later)


def taking_back(state: State, event: Record) -> TakingBack:
    """What would become of the clocks if that event were taken back."""
    undone = Undone(event.n, event.kind)
    before, after = state.timers, foreseen(state, undone, state.last).timers
    runs = {name for name, timer in after.items() if timer.running}
    ran = {name for name, timer in before.items() if timer.running}
    moved = (name for name in runs & ran if _time(before[name]) != _time(after[name]))
    return TakingBack(
        event=event,
        brings_back=isinstance(event.told, Undone),
        stopped=tuple(before[name] for name in sorted(ran - runs)),
        lost=tuple(timer for name, timer in before.items() if name not in after and name not in ran),
        going_again=tuple(after[name] for name in sorted(runs - ran)),
        moved=tuple(after[name] for name in sorted(moved)),
    )


def _time(timer: TimerRecord) -> tuple[object, ...]:
    return timer.minutes, timer.started, timer.head_start_s, timer.off


@c.rule(c.Undo)
def undo(state: State, command: c.Undo, now: Reading) -> list[Event]:
    """Take an event back, the newest where none is named; it stays in the record as taken back."""
    event = newest(state) if not command.ref else _named(state, command.ref)
    if event is None:
        raise Refused("There is nothing to take back yet.")
    later = needed_by(state, event)
    if later is not None:
        again = "Bring" if isinstance(later.told, Undone) else "Take"
        raise Refused(f"{again} back first what came after it: {_called(state, later)}.")
    return [Undone(event.n, event.kind)]


def _named(state: State, n: int) -> Record:
    event = state.log.find(n)
    if event is None or event.n in state.gone or not _may_go(state, event):
        raise Refused("That cannot be taken back.")
    return event


def _called(state: State, event: Record) -> str:
    """An event that hangs on order, in a few words."""
    told = event.told
    if isinstance(told, Undone):
        undone = state.log.find(told.ref)
        return _called(state, undone) if undone is not None else ""
    step = next((state.find_step(p.step) for p in parts(told) if isinstance(p, OfAStep)), None)
    if step is not None:
        return f"{'the correction of ' if isinstance(told, Corrected) else ''}'{step.done}'"
    timer = state.timers.get(getattr(told, "timer", ""))
    if timer is not None:
        return f"the clock '{timer.label}'"
    return _CALLED[type(told)]


_CALLED: dict[type[Event], str] = {
    CautionAccepted: "the warning you accepted",
    SteamStopped: "the loss of the steam",
    SteamAgain: "the steam rolling again",
    RinseRound: "the rinse that was graded",
    BathLooked: "the look at the bath",
    BandPainted: "the jar of the band put right",
    SetAdded: "the second set",
}
