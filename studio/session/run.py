"""A session under way: a state, a clock and a keeper of events, joined; and the one door to it, `decide`.

The rules are loaded by the first tick or command, so that a bench is drawn before them.

The screen, the line mode and the unattended rehearsal all drive a session through this one object. Every
rule decides against `state`, which holds what waits to be saved as well; what is on disk is `saved`, and only
that may be shown as done.
"""

from __future__ import annotations

import threading
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Protocol

from studio.session import commands as c
from studio.session import events as e
from studio.session.asked import Refused, WrongDigit
from studio.session.clock import Clock, Moment, Reading, elapsed_since, moment_of
from studio.session.folding import Record, apply, foreseen
from studio.session.state import State

if TYPE_CHECKING:
    from studio.session.step_rules import Missed

ELSEWHERE_AFTER_S = 60.0
"""Seconds of the dyer's own time that saving may fail before the session goes on in another folder. House rule."""


def decide(state: State, command: c.Command, now: Reading) -> list[e.Event]:
    """The event a command gives, or those of a tick; Refused, with nothing changed, where a rule stands against it."""
    if state.closed and isinstance(command, c.Tick | c.Leave):
        return []
    if state.closed and not isinstance(command, c.AfterTheEnd):
        raise Refused(
            "This session is closed; only remarks, pictures, counts and fastness tests can be added to it."
        )
    if not state.closed and isinstance(command, c.AboutATest):
        raise Refused("The session is still open; tests are planned and graded once it is finished.")
    from studio.session import course_rules  # noqa: F401 - so that every rule is there

    return e.joined(c.RULES[type(command)](state, command, now))


def as_it_stands(state: State, now: Reading) -> State:
    """With the alarms that came due since its last event; nobody may have been there to raise them."""
    for told in decide(state, c.Tick(None), now):
        state = foreseen(state, told, now)
    return state


class Keeper(Protocol):
    """Where events are put; the store's journal has this shape."""

    @property
    def name(self) -> str:
        """Name of the file that is written now, for people."""
        ...

    @property
    def events(self) -> Sequence[Record]:
        """Every event on disk, in order."""
        ...

    @property
    def waiting(self) -> Sequence[Record]:
        """Events taken but not on disk yet, in the order in which they will follow."""
        ...

    @property
    def trouble(self) -> str:
        """Why the last save failed, in a sentence; empty where it did not."""
        ...

    @property
    def moved(self) -> str:
        """Where the session goes on when it had to leave its file or its folder, in a sentence; else empty."""
        ...

    def check(self, kind: str, data: dict[str, Any], at: Reading) -> None:
        """Refused where such an event cannot be kept at all."""
        ...

    def append(self, kind: str, data: dict[str, Any], at: Reading) -> Record:
        """Take an event: it is on disk, or waits behind those that wait already."""
        ...

    def retry(self, at: Reading, *, elsewhere: bool) -> None:
        """Try to save what waits; `elsewhere` also in a new file, in whatever folder takes one."""
        ...

    def close(self) -> None: ...


class Running:
    """One session under way. Commands may come from any thread, one after the other."""

    def __init__(self, state: State, clock: Clock, keeper: Keeper) -> None:
        """`state` is the fold of `keeper.events`."""
        self.state = state
        """All that was taken, saved or not; every rule and every alarm follows this one."""
        self.saved = state
        """What is on disk; a step is shown as done only where it is done here."""
        self.clock = clock
        self.last_events: tuple[Record, ...] = ()
        """What the newest command gave."""
        self.missed: Missed = ()
        """Wrong digits that were pressed at gates."""
        self._keeper = keeper
        self._on_disk = len(keeper.events)
        self._waits = 0
        self._failing_since: Moment | None = None
        self._lock = threading.Lock()
        self._last_tick: Reading | None = None

    @property
    def name(self) -> str:
        """What the session file is called, for people."""
        return self._keeper.name

    @property
    def waiting(self) -> int:
        """How many events are not saved."""
        return self._waits

    @property
    def unsaved_steps(self) -> frozenset[str]:
        """The steps of which something waits to be saved; none of them may be shown as done."""
        if not self._waits:
            return frozenset()
        state, saved = self.state, self.saved
        return frozenset(s.id for s in state.all_steps() if state.step(s.id) != saved.step(s.id))

    @property
    def trouble(self) -> str:
        """The sentence of a save that failed; empty when all is saved."""
        return self._keeper.trouble

    @property
    def moved(self) -> str:
        """Where the session goes on, if it had to leave its own file; else empty."""
        return self._keeper.moved

    def do(self, command: c.Command) -> tuple[Record, ...]:
        """Carry out a command; Refused where it cannot be. What cannot be saved waits, see `waiting`."""
        with self._lock:
            now = self.clock.now()
            try:
                told = decide(self.state, command, now)
            except WrongDigit as wrong:
                self.missed = (*self.missed, (wrong.gate, wrong.digit))
                raise
            self.last_events = self._keep(told, now)
            return self.last_events

    def tick(self) -> tuple[Record, ...]:
        """Let time pass: save what waits, raise what is due, notice clock jumps."""
        with self._lock:
            now = self.clock.now()
            if self._waits:
                self._keeper.retry(now, elsewhere=self._failed_for_long(now))
                self._look(now)
            told = decide(self.state, c.Tick(self._last_tick), now)
            self._last_tick = now
            return self._keep(told, now)

    def save_elsewhere(self) -> None:
        """Save what waits now, in whatever folder takes a new file; see `waiting` for whether one did."""
        with self._lock:
            if self._waits:
                now = self.clock.now()
                self._keeper.retry(now, elsewhere=True)
                self._look(now)

    def _keep(self, told: Sequence[e.Event], now: Reading) -> tuple[Record, ...]:
        drafts = [(event.kind, e.data_of(event)) for event in told]
        for kind, data in drafts:
            # All or none of a command: the first event must not be on disk when the second is refused.
            self._keeper.check(kind, data, now)
        events = tuple(self._keeper.append(kind, data, now) for kind, data in drafts)
        if events:
            self._look(now)
        return events

    def _look(self, now: Reading) -> None:
        """Fold what the keeper has saved since, and what waits on top of it."""
        events, waiting = self._keeper.events, self._keeper.waiting
        if len(events) == self._on_disk and len(waiting) == self._waits:
            return
        for event in events[self._on_disk :]:
            self.saved = apply(self.saved, event)
        self._on_disk, self._waits = len(events), len(waiting)
        state = self.saved
        for event in waiting:
            state = apply(state, event)
        self.state = state
        if not waiting:
            self._failing_since = None
        elif self._failing_since is None:
            self._failing_since = moment_of(now)

    def _failed_for_long(self, now: Reading) -> bool:
        since, speed = self._failing_since, self.state.rehearsal_speed or 1.0
        return since is not None and elapsed_since(since, now).seconds >= ELSEWHERE_AFTER_S * speed

    def close(self) -> None:
        """Let go of the file."""
        with self._lock:
            self._keeper.close()
