"""Driving the line mode in memory: lines and pauses from a list, a clock that moves with the waiting."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import pytest

from studio.alerts.awake import KeptAwake
from studio.lines.prompt import Arrival
from studio.lines.session import PlainSession
from studio.session import commands as c
from studio.session.clock import SteppedClock
from studio.session.path import current_step
from studio.session.run import Running
from studio.session.step_rules import gate_digit

DIGIT = "(the digit of the gate)"


@dataclass
class ListedLines:
    """Text is a line that is there; a number lets that many seconds pass; a call does something between.

    The line `DIGIT` is the digit that the gate of now shows.
    """

    clock: SteppedClock
    session: Running
    items: list[str | float | Callable[[], object]]
    by_hand: bool = False
    stride_s: float = 0.25
    unfinished: str = ""

    def next(self, wait_s: float) -> str | Arrival:
        while self.items:
            item = self.items.pop(0)
            if item == DIGIT:
                step = current_step(self.session.state, self.clock.now())
                return str(gate_digit(self.session.state, step.id if step else "", self.session.missed))
            if isinstance(item, str):
                return item
            if callable(item):
                item()
                continue
            step_s = min(item, wait_s)
            self.clock.advance(step_s)
            if item > step_s:
                self.items.insert(0, item - step_s)
            return Arrival.NOTHING_YET
        return Arrival.END

    def rest(self, wait_s: float) -> None:
        self.clock.advance(self.stride_s)


@dataclass
class Heard:
    """What was said and rung; the rings in between the lines, in order."""

    lines: list[str] = field(default_factory=list)
    rings: list[tuple[float, str, str, bool]] = field(default_factory=list)
    code: int = -1

    def after(self, beginning: str) -> str:
        """The line said after the first one that begins so."""
        index = next(i for i, line in enumerate(self.lines) if line.startswith(beginning))
        return self.lines[index + 1]

    def starting(self, beginning: str) -> list[str]:
        return [line for line in self.lines if line.startswith(beginning)]


@pytest.fixture
def talk(clock: SteppedClock) -> Callable[..., Heard]:
    """Run the line mode on a session with listed lines."""

    def _talk(
        session: Running,
        *items: str | float | Callable[[], object],
        by_hand: bool = False,
        stride_s: float = 0.25,
        unfinished: str = "",
        awake: KeptAwake | None = None,
    ) -> Heard:
        heard = Heard()
        began = clock.now().boot_ns

        def ring(priority: str, text: str, escalated: bool) -> None:
            heard.rings.append(((clock.now().boot_ns - began) / 1e9, priority, text, escalated))

        lines = ListedLines(clock, session, list(items), by_hand, stride_s, unfinished)
        heard.code = PlainSession(session, lines, heard.lines.append, ring, awake).run()
        return heard

    return _talk


@pytest.fixture
def in_the_soak(begin: Callable[..., Running]) -> Running:
    """A session whose 30-minute soak has just begun; the stocks are the step of now."""
    session = begin(to="presoak.in")
    session.do(c.Close("presoak.in"))
    return session
