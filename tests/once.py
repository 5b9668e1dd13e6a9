"""What tests begin with and is worked once for all of a run: sheets, and sessions walked to a step."""

from __future__ import annotations

import json
import random
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

import msgspec

from studio.plan import sheet
from studio.plan.settled import Settled
from studio.plan.shapes import Worksheet
from studio.plan.shelf import Shelf
from studio.plan.work.worked import Worked
from studio.session import sheet as session_sheet
from studio.session.asked import Refused
from studio.session.clock import Reading, SteppedClock
from studio.session.events import Event, data_of
from studio.session.folding import Record, drafted, replay
from studio.session.path import current_step
from studio.session.run import Running
from studio.session.simulated_dyer import next_move
from studio.session.state import State
from studio.shelf import reading

SHEETS: dict[bytes, tuple[Worksheet, Worked]] = {}
_laid_out = sheet.laid_out


def laid_out_once(
    choices: Settled, measured: Mapping[str, float] = {}, *, sets: int = 1
) -> tuple[Worksheet, Worked]:
    """A sheet is the sum of what it is worked from, to the last digit, and thousands of tests ask for a few hundred."""
    key = msgspec.msgpack.encode((choices, measured, sets))
    if key not in SHEETS:
        if len(SHEETS) == 500:
            SHEETS.clear()
        SHEETS[key] = _laid_out(choices, measured, sets=sets)
    return SHEETS[key]


sheet.laid_out = session_sheet.laid_out = laid_out_once

SHELVES: dict[tuple[str, str, str], Shelf] = {}
_read_shelf = reading.read_shelf


def read_shelf_once(files: Mapping[str, str], unread: Mapping[str, str] = {}, read_on: str = "") -> Shelf:
    """The studio of a test is a copy of the sample one, and each command reads its shelf anew."""
    key = f"{files}", f"{unread}", read_on
    if key not in SHELVES:
        SHELVES[key] = _read_shelf(files, unread, read_on)
    return SHELVES[key]


reading.read_shelf = read_shelf_once


@dataclass
class MemoryKeeper:
    """Keeps events in a list; can be told to fail."""

    events: list[Record] = field(default_factory=list)
    waiting: list[Record] = field(default_factory=list)
    failing: bool = False
    closed: bool = False
    name: str = ""
    moved: str = ""
    tries: list[bool] = field(default_factory=list)
    """Whether each try to save what waits was made elsewhere as well."""

    @property
    def trouble(self) -> str:
        return "the disk is full" if self.failing and self.waiting else ""

    def check(self, kind: str, data: dict[str, Any], at: Reading) -> None:
        """Memory keeps anything but half a character, which no file takes either."""
        try:
            msgspec.json.encode(data)
        except UnicodeEncodeError as problem:
            raise Refused("Not taken. It holds half of a character.") from problem

    def append(self, kind: str, data: dict[str, Any], at: Reading) -> Record:
        n = len(self.events) + len(self.waiting) + 1
        written = json.loads(msgspec.json.encode(data))
        if kind == "session.finished":
            written["sha256"] = "0" * 64  # As the journal adds it.
        kept = drafted(n, kind, written, at)
        assert kept.told.kind == kind
        self.waiting.append(kept)
        self._save()
        return kept

    def retry(self, at: Reading, *, elsewhere: bool) -> None:
        self.tries.append(elsewhere)
        self._save()

    def _save(self) -> None:
        if not self.failing:
            self.events.extend(self.waiting)
            self.waiting.clear()

    def close(self) -> None:
        self.closed = True


def steps_walked(session: Running) -> Iterator[str]:
    """The step that is the current one, each time the practised hand has let time pass or done something."""
    chance, clock = random.Random(1), session.clock

    def here() -> str:
        step = current_step(session.state, clock.now())
        return step.id if step else ""

    yield here()
    for _ in range(600):
        if (move := next_move(session.state, clock.now(), chance)) is None:
            return
        clock.advance(move.wait_s)  # type: ignore[attr-defined]
        session.tick()
        fresh = next_move(session.state, clock.now(), chance)
        yield here()
        if move.command is not None and fresh is not None and fresh.command is not None:
            session.do(fresh.command)
            yield here()


Hand = Callable[[Running], Iterator[str]]
"""One that works a session, and tells the step it comes to each time."""


class Walk:
    """A session under a hand, as far as any test has asked for yet, and what it was at each step."""

    def __init__(self, told: Event, now: Reading, hand: Hand) -> None:
        self._kept = MemoryKeeper()
        self._came: dict[str, tuple[list[Record], State, Reading]] = {}
        self._kept.append(told.kind, data_of(told), now)
        self._session = Running(replay(self._kept.events), SteppedClock(now), self._kept)
        self._steps = hand(self._session)

    def to(self, step_id: str) -> tuple[list[Record], State, Reading]:
        """Events, state and time when it came to the step."""
        while step_id not in self._came:
            here, session = next(self._steps, None), self._session
            assert here is not None, f"never reached {step_id}"
            self._came.setdefault(here, ([*self._kept.events], session.state, session.clock.now()))
        return self._came[step_id]


WALKS: dict[tuple[bytes, str], Walk] = {}
"""By the opening and the hand: each is walked once a run."""
