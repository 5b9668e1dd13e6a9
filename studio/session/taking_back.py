"""Undo: what may be taken back, or brought back, and which clocks would start, stop or be lost by it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from studio.session import commands as c
from studio.session import events as e
from studio.session.clock import Reading
from studio.session.folding import apply
from studio.session.joining import EventPart, parts
from studio.session.live.given import record_of
from studio.session.records import TimerRecord
from studio.session.refusals import Refused
from studio.session.standing import FREE, LAST
from studio.session.state import State

MOST_OFFERED = 9
"""In the list of what may be taken back. House rule: one digit chooses."""


@dataclass(frozen=True, slots=True)
class TakingBack:
    """One event that may be taken back, and what becomes of the clocks then."""

    event: e.Event
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


def newest(state: State) -> e.Event | None:
    """The newest event that undo takes back; None where there is none."""
    return next((one for one in _newest_first(state) if one.kind != e.UNDONE), None)


def takes_back(state: State) -> bool:
    """Whether there is anything to take back or to bring back."""
    return next(_newest_first(state), None) is not None


def closes(event: e.Event, step_id: str) -> bool:
    """Whether an event closes that step, so that it is open again without it."""
    return any(part.kind in e.CLOSES_A_STEP and part.data["step"] == step_id for part in parts(event))


def offered(state: State) -> tuple[e.Event, ...]:
    """What may be taken back or brought back now, newest first."""
    found: list[e.Event] = []
    for event in _newest_first(state):
        if needed_by(state, event) is None:
            found.append(event)
        if len(found) == MOST_OFFERED:
            break
    return tuple(found)


def _newest_first(state: State) -> Iterator[e.Event]:
    return (one for one in reversed(state.log) if one.n not in state.gone and _may_go(state, one))


def _may_go(state: State, event: e.Event) -> bool:
    """Whether an event that stands is one that undo may name at all."""
    if event.kind == e.CAUTION_ACCEPTED:
        return not record_of(state, "accept cautions").closed
    if event.kind == e.UNDONE:
        undone = state.log.find(event.data["ref"])
        return undone is not None and undone.kind != e.UNDONE
    return event.kind in FREE | LAST


def _hangs_on_order(state: State, event: e.Event) -> bool:
    """Whether only the newest of its like may go: steps, gates, clocks, steam, sets."""
    if event.kind == e.UNDONE:
        undone = state.log.find(event.data["ref"])
        return undone is not None and _hangs_on_order(state, undone)
    with_step = any(part.kind in e.CLOSES_A_STEP for part in parts(event))
    return event.kind in LAST or with_step or (event.kind == e.BATH_LOOKED and "starts" in event.data)


def needed_by(state: State, event: e.Event) -> e.Event | None:
    """The newest event that stands and without this one could not; None where there is none."""
    for later in reversed(state.log):
        if later.n <= event.n:
            return None
        if later.n not in state.gone and _needs(state, later, event):
            return later
    return None


def _needs(state: State, later: e.Event, event: e.Event) -> bool:
    if event.kind == e.BAND_PAINTED:
        return (
            later.kind == e.BAND_PAINTED
            and "instead_of" in later.data
            and later.data["band"] == event.data["band"]
        )
    if event.kind == e.LEFTOVER_KEPT:
        step = state.find_step(later.data["step"]) if later.kind == e.GATE_PASSED else None
        return step is not None and step.role == "leftovers"
    if not _hangs_on_order(state, event):
        return False
    if later.kind == e.UNDONE and event.kind != e.UNDONE:
        return False  # What was taken back since hangs on nothing.
    return _may_go(state, later) and _hangs_on_order(state, later)


def taking_back(state: State, event: e.Event) -> TakingBack:
    """What would become of the clocks if that event were taken back."""
    before, after = state.timers, apply(state, _undoing(state, event)).timers
    runs = {name for name, timer in after.items() if timer.running}
    ran = {name for name, timer in before.items() if timer.running}
    moved = (name for name in runs & ran if _time(before[name]) != _time(after[name]))
    return TakingBack(
        event=event,
        brings_back=event.kind == e.UNDONE,
        stopped=tuple(before[name] for name in sorted(ran - runs)),
        lost=tuple(timer for name, timer in before.items() if name not in after and name not in ran),
        going_again=tuple(after[name] for name in sorted(runs - ran)),
        moved=tuple(after[name] for name in sorted(moved)),
    )


def _time(timer: TimerRecord) -> tuple[object, ...]:
    return timer.minutes, timer.started, timer.head_start_s, timer.off


def _undoing(state: State, event: e.Event) -> e.Event:
    last = state.last
    at = next(reversed(state.log)).at
    return EventPart(state.last_n + 1, e.UNDONE, at, last.boot_ns, last.boot, _data(event))


def _data(event: e.Event) -> dict[str, object]:
    return {"ref": event.n, "undone": event.kind}


def undo(state: State, command: c.Undo, now: Reading) -> list[e.Draft]:
    """Take an event back, the newest where none is named; it stays in the record as taken back."""
    event = newest(state) if not command.ref else _named(state, command.ref)
    if event is None:
        raise Refused("There is nothing to take back yet.")
    later = needed_by(state, event)
    if later is not None:
        again = "Bring" if later.kind == e.UNDONE else "Take"
        raise Refused(f"{again} back first what came after it: {_called(state, later)}.")
    return [e.Draft(e.UNDONE, _data(event))]


def _named(state: State, n: int) -> e.Event:
    event = state.log.find(n)
    if event is None or event.n in state.gone or not _may_go(state, event):
        raise Refused("That cannot be taken back.")
    return event


def _called(state: State, event: e.Event) -> str:
    """An event that hangs on order, in a few words."""
    if event.kind == e.UNDONE:
        undone = state.log.find(event.data["ref"])
        return _called(state, undone) if undone is not None else ""
    step = next((state.find_step(p.data["step"]) for p in parts(event) if p.kind in e.CLOSES_A_STEP), None)
    if event.kind == e.CORRECTED:
        step = state.find_step(event.data["step"])
    if step is not None:
        return f"{'the correction of ' if event.kind == e.CORRECTED else ''}'{step.done}'"
    timer = state.timers.get(str(event.data.get("timer")))
    if timer is not None:
        return f"the clock '{timer.label}'"
    return _KINDS[event.kind]


_KINDS = {
    e.CAUTION_ACCEPTED: "the warning that was taken on",
    e.STEAM_STOPPED: "the loss of the steam",
    e.STEAM_AGAIN: "the steam rolling again",
    e.RINSE_ROUND: "the rinse that was graded",
    e.BATH_LOOKED: "the look at the bath",
    e.BAND_PAINTED: "the jar of the band put right",
    e.SET_ADDED: "the second set",
}
