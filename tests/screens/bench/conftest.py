"""Hands at the bench: they press keys, wait for what those lead to, and move the session's clock."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from textual import events
from textual.keys import _character_to_key
from textual.widgets import Input

from studio.screens.bench.entry import Entry
from studio.session import alarms
from studio.session.kinds.paint import LeftoverKept
from studio.session.path import current_step
from studio.session.step_rules import gate_digit
from studio.session.timers import view
from tests.screens.conftest import drawn, text_of, until

CHARACTERS = {"enter": "\r", "escape": "\x1b", "plus": "+", "up": None, "down": None}
AMOUNT = re.compile(r"(.*?) ?([\d.]+) (mL|g|°C|min)")


class Gloves:
    """Presses keys and waits for what they lead to; moves the session's clock."""

    def __init__(self, app: Any, session: Any, pilot: Any) -> None:
        self.app, self.session, self.pilot = app, session, pilot

    async def until(self, predicate: Callable[[], bool], what: str = "") -> None:
        """Wait until it holds."""
        await until(self.pilot, predicate, what)

    def at(self) -> str:
        step = current_step(self.session.state, self.session.clock.now())
        return step.id if step else ""

    def shown(self) -> str:
        return " ".join(text_of(self.app).split())

    def holds(self, words: str) -> bool:
        """Those words, or a label with its amount drawn large beside it."""
        if words in self.shown():
            return True
        told = AMOUNT.fullmatch(words)
        return told is not None and told[1] in self.shown() and drawn(text_of(self.app), told[2], told[3])

    async def sees(self, *wanted: str) -> None:
        for words in wanted:
            await self.until(lambda words=words: self.holds(words), words)

    async def comes_to(self, step_id: str) -> None:
        await self.until(lambda: self.at() == step_id, f"{step_id}, but at {self.at()}")

    async def press(self, *keys: str) -> None:
        """Keys one after the other; the last is only sent, as what it leads to is waited for by the caller."""
        *first, last = keys
        if first:
            await self.pilot.press(*first)
        self.app.post_message(events.Key(last, CHARACTERS.get(last, last)))

    async def types(self, text: str) -> None:
        """Every character as a key of its own, as fast as they come, into the line that is asked; then Enter."""
        box = self.app.screen.query_one(Input)
        for character in text:
            self.app.post_message(events.Key(_character_to_key(character), character))
        await self.until(lambda: box.value == text, f"{text} in the line, not {box.value}")
        await self.press("enter")

    async def answer(self, text: str) -> None:
        """Type the answer to the question that comes up."""
        await self.until(self.is_asked, "a question")
        await self.types(text)

    def is_asked(self) -> bool:
        """Whether a line waits for an answer."""
        return any(entry.is_asking for entry in self.app.screen.query(Entry))

    async def say(self, key: str, text: str, *, again: str = "") -> None:
        """Open a question with a key, type the answer; `again`: what is asked before it is taken."""
        await self.until(lambda: not self.is_asked(), "the answer before taken")
        await self.press(key)
        await self.answer(text)
        if again:
            await self.sees(again)
            await self.press("enter")
        await self.until(lambda: not self.is_asked(), "an answer taken")

    async def step(self, next_id: str, text: str = "", *, twice: bool = False) -> None:
        """Answer the step of now, a tick or a value, and wait for the next."""
        if text:
            await self.say("enter", text, again="Really" if twice else "")
        else:
            await self.press("enter")
        await self.comes_to(next_id)

    async def gate(self, next_id: str) -> None:
        """Press the digit that the gate of now shows, and wait for the next step."""
        digit = gate_digit(self.session.state, self.at(), self.session.missed)
        await self.sees("Press the digit when it is so")
        await self.press(str(digit))
        await self.comes_to(next_id)

    async def minutes(self, count: float) -> None:
        """Let time pass on the session's clock, and answer whatever rings."""
        self.session.clock.advance(count * 60)
        self.session.tick()
        while alarms.standing(self.session.state):
            await self.sees("DUE")
            n = alarms.standing(self.session.state)[0].n
            await self.press("enter")
            await self.until(lambda n=n: n not in [a.n for a in alarms.standing(self.session.state)])

    def left_min(self, timer: str) -> float:
        return view(self.session.state.timers[timer], self.session.clock.now()).left_s / 60

    async def say_leftovers(self, answers: tuple[str, ...]) -> None:
        """The first question is asked for, each further one comes by itself, the digit of the gate last."""
        await self.press("enter")
        for answer, told in zip(answers, (1, 2), strict=True):
            await self.answer(answer)
            await self.until(lambda told=told: len(self.session.state.kept(LeftoverKept)) == told)
        await self.sees("when it is so")

    async def say_close(self) -> None:
        await self.sees("to close the record")
        await self.press(str(gate_digit(self.session.state, "record.close", self.session.missed)))
