"""A session under way: a state, a clock and a keeper of events, joined.

The screen, the line mode and the unattended rehearsal all drive a session through this one object.
What is shown is `state`, and `state` only ever holds events that are on disk.
"""

from __future__ import annotations

import threading
from collections.abc import Sequence
from typing import Any, Protocol

from studio.session import commands as c
from studio.session import events as e
from studio.session.clock import Clock, Reading
from studio.session.decide import decide
from studio.session.folding import apply, replay
from studio.session.gate_digit import Missed, gate_digit
from studio.session.refusals import WrongDigit
from studio.session.state import State


class NotSaved(OSError):
    """An event could not be put on disk; `waiting` holds all that is not there yet."""

    def __init__(self, sentence: str, waiting: Sequence[e.Event]) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.waiting = tuple(waiting)

    def __str__(self) -> str:
        return self.sentence


class Keeper(Protocol):
    """Where events are put; the store's journal has this shape."""

    def append(self, kind: str, data: dict[str, Any], reading: Reading) -> e.Event:
        """Return once the event is on disk; NotSaved otherwise."""
        ...

    def retry(self) -> Sequence[e.Event]:
        """Try again to save what waits; the events that are now on disk. NotSaved if it still fails."""
        ...

    @property
    def events(self) -> Sequence[e.Event]:
        """Every event on disk."""
        ...

    def close(self) -> None: ...


class Running:
    """One session under way. Commands may come from any thread, one after the other."""

    def __init__(self, state: State, clock: Clock, keeper: Keeper, name: str = "") -> None:
        self.state = state
        """What is on disk, and so what is shown."""
        self.clock = clock
        self.name = name
        """What the session file is called, for people."""
        self.trouble = ""
        """The sentence of a save that failed; empty when all is saved."""
        self.last_events: tuple[e.Event, ...] = ()
        """What the newest command gave."""
        self.missed: Missed = ()
        """Wrong digits that were pressed at gates."""
        self._keeper = keeper
        self._ahead = state
        self._waiting = 0
        self._lock = threading.Lock()
        self._last_tick: Reading | None = None

    @property
    def known(self) -> State:
        """State with the events that still wait to be saved; alarms follow this one."""
        return self._ahead

    @property
    def waiting(self) -> int:
        """How many events are not saved."""
        return self._waiting

    def digit_at(self, gate: str) -> int:
        """The digit that gate shows now."""
        return gate_digit(self._ahead, gate, self.missed)

    def do(self, command: c.Command) -> tuple[e.Event, ...]:
        """Carry out a command; Refused or NotSaved where it cannot be done or kept."""
        with self._lock:
            if self._waiting:
                self._retry()
            now = self.clock.now()
            try:
                drafts = decide(self._ahead, command, now)
            except WrongDigit as wrong:
                self.missed = (*self.missed, (wrong.gate, wrong.digit))
                raise
            self.last_events = self._keep(drafts, now)
            return self.last_events

    def tick(self) -> tuple[e.Event, ...]:
        """Let time pass: raise what is due, notice clock jumps, retry what is not saved."""
        with self._lock:
            if self._waiting:
                try:
                    self._retry()
                except NotSaved:
                    pass
            now = self.clock.now()
            drafts = decide(self._ahead, c.Tick(self._last_tick), now)
            self._last_tick = now
            return self._keep(drafts, now)

    def _keep(self, drafts: list[e.Draft], now: Reading) -> tuple[e.Event, ...]:
        kept = []
        for draft in drafts:
            try:
                event = self._keeper.append(draft.kind, draft.data, now)
            except NotSaved as problem:
                self.trouble = problem.sentence
                self._waiting = len(problem.waiting)
                self._ahead = self._with(problem.waiting)
                raise
            self._ahead = apply(self._ahead, event)
            kept.append(event)
        if not self._waiting:
            self.state = self._ahead
        return tuple(kept)

    def _with(self, waiting: Sequence[e.Event]) -> State:
        """What is on disk, read anew, and what waits on top of it."""
        self.state = ahead = replay(self._keeper.events)
        for event in waiting:
            ahead = apply(ahead, event)
        return ahead

    def _retry(self) -> None:
        try:
            self._keeper.retry()
        except NotSaved as problem:
            self.trouble = problem.sentence
            self._waiting = len(problem.waiting)
            self._ahead = self._with(problem.waiting)
            raise
        self._waiting = 0
        self.trouble = ""
        self._ahead = self._with(())

    def close(self) -> None:
        """Let go of the file."""
        with self._lock:
            self._keeper.close()
