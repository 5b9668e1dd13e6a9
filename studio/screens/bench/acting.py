"""The line of a page that acts on a session: it carries out commands, asks, and says what stands against them."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from contextlib import suppress
from typing import Any, cast

import msgspec
from textual import events, on, work

from studio.report.telling import done
from studio.report.telling import question as question_of
from studio.screens.bench.entry import Entry
from studio.screens.keyed import Keyed
from studio.session import commands as c
from studio.session.asked import ReallyMeant, Refused
from studio.session.folding import Record
from studio.session.path import current_step
from studio.session.run import Running
from studio.session.step_rules import digit_asked
from studio.words.actions import Question
from studio.words.questions import asked

SLOW_SAVE_S = 0.5
SAVING_SLOWLY = "Saving is slow; the clocks go on."
DIGITS = "0123456789"
AFTER_WRONG_S = 0.7
"""Digits this soon after a wrong one at a gate were on their way already. House rule."""
READABLE_S = 0.7
"""A second key that confirms, sooner than this, came from a held or bouncing one. House rule."""
AGAIN = "again if it is so; it will be marked."
NOT_ASKED = (0, 0.0)
ANSWERED_S = 30.0
"""A second U later than this is another first one. House rule."""


class Acting(Entry):
    """What came of a command is told to the page at once, not by a message: the next key is on its way to it."""

    def __init__(self, running: Running, after: Callable[[c.Command], None]) -> None:
        """`after` is called when a command was carried out; it is on disk then, or waits to be saved."""
        super().__init__()
        self.running = running
        self._after = after
        self._busy = False
        self._doubted: c.Command | None = None
        self._doubted_at = 0.0
        self._wrong_at = -AFTER_WRONG_S
        self._undo_asked = NOT_ASKED
        """The event that undo was asked about last, and when, by the loop's own clock."""

    @property
    def page(self) -> Keyed[Any]:
        """Whose line it is."""
        return cast("Keyed[Any]", self.screen)

    def on_resize(self) -> None:
        """The rows that a question or a refusal takes are the page's to give up."""
        self.page.redraw()

    # -- commands ----------------------------------------------------------------------------------

    async def act(self, command: c.Command) -> bool:
        """Carry out a command off the drawing loop, one at a time; True when it was taken."""
        if self._busy:
            return False
        self.page.notice = ""
        self._undo_asked = NOT_ASKED
        command = self._meant(command, READABLE_S)
        try:
            await self._carry_out(command)
        except ReallyMeant as doubt:
            self._doubt(command)
            self.page.tell(f"{doubt} {{bench.go}} {AGAIN}")
        except Refused as refused:
            self.page.tell(str(refused))
        else:
            self._after(command)
            return True
        return False

    async def _carry_out(self, command: c.Command) -> None:
        """Off the drawing loop; where saving is slow that is said, for as long as it is."""
        self._busy, page = True, self.page  # It may be left meanwhile.
        slow = self.set_timer(SLOW_SAVE_S, self._say_saving)
        try:
            await asyncio.to_thread(self.running.do, command)
        finally:
            slow.stop()
            self._busy = False
            if page.notice == SAVING_SLOWLY:
                page.notice = ""

    def _say_saving(self) -> None:
        self.page.notice = SAVING_SLOWLY
        self.page.redraw()

    def _doubt(self, command: c.Command) -> None:
        self._doubted, self._doubted_at = command, asyncio.get_running_loop().time()

    def _meant(self, command: c.Command, least_s: float) -> c.Command:
        """The command; as one that is meant where it is the very one that was doubted, so many seconds ago or more."""
        doubted, self._doubted = self._doubted, None
        readable = asyncio.get_running_loop().time() - self._doubted_at >= least_s
        again = command == doubted and isinstance(command, c.Doubtful)
        return msgspec.structs.replace(command, meant=True) if again and readable else command

    # -- gates -------------------------------------------------------------------------------------

    def digit_asked(self) -> int | None:
        """The digit that opens the gate of now; None where none is asked for."""
        step = current_step(self.running.state, self.running.clock.now())
        return digit_asked(self.running.state, step, self.running.missed) if step is not None else None

    async def takes_digit(self, event: events.Key) -> bool:
        """Whether the key is a digit at a gate that a digit opens; it is tried then."""
        at_gate = not self.is_asking and self.digit_asked() is not None
        if not at_gate or event.character is None or event.character not in DIGITS:
            return False
        await self.press_digit(int(event.character))
        return True

    async def press_digit(self, digit: int) -> None:
        """Open the gate of now. After a wrong digit the next moment's presses were on their way and do nothing."""
        step = current_step(self.running.state, self.running.clock.now())
        now = asyncio.get_running_loop().time()
        if step is None or self.digit_asked() is None or now - self._wrong_at < AFTER_WRONG_S:
            return
        if not await self.act(c.PassGate(step.id, digit, self.running.missed)):
            self._wrong_at = now

    # -- taking back -------------------------------------------------------------------------------

    async def undo(self) -> None:
        """Take back the newest; where a clock hangs on it, only by a second key."""
        from studio.session.taking_back import newest

        event = newest(self.running.state)
        if event is None:
            await self.act(c.Undo())
        else:
            await self.take_back(event, f"{{{self.page.WHERE}.undo}} again")

    async def take_back(self, event: Record, again: str) -> bool:
        """Take an event back, or bring back what it took back; at once where no clock hangs on it. True when done."""
        from studio.session.taking_back import taking_back

        state, now = self.running.state, asyncio.get_running_loop().time()
        back, (asked, when) = taking_back(state, event), self._undo_asked
        if back.asked_about and not (asked == event.n and READABLE_S <= now - when <= ANSWERED_S):
            brings = "bring" if back.brings_back else "take"
            self.page.tell(f"{question_of(state, back)} {again}: {brings} it back.")
            self._undo_asked = (event.n, now)  # A held key asks and asks, and never answers.
            return False
        if not await self.act(c.Undo(event.n)):
            return False
        self.page.notice = done(state, back)
        self.page.redraw()
        return True

    # -- questions ---------------------------------------------------------------------------------

    def ask(self, question: Question) -> None:
        """Open the line with a question; a remark on the key before is over."""
        self._undo_asked, self._doubted = NOT_ASKED, None
        if self.page.notice == self.page.passing:
            self.page.notice = ""
        super().ask(question)
        self.page.redraw()

    def ask_for(self, what: str) -> None:
        """Open it with the question of an action."""
        self.ask(asked(what, self.running.state, self.running.clock.now()))

    def keep_half_typed(self) -> None:
        """It is kept as a note that says what it is."""
        if self.half_typed:
            with suppress(Refused):
                self.running.do(c.AddNote(f"Typed and not entered. {self.half_typed}"))

    def take(self, question: Question, text: str) -> None:
        """Answer it, by a command where it is the last question."""
        try:
            answer = question.answer(text)
        except Refused as problem:
            self.say(str(problem))
            return
        if isinstance(answer, Question):
            super().ask(answer)
            self.page.redraw()
        else:
            self._answer(question, cast("c.Command", answer))

    @work(group="answer")
    async def _answer(self, question: Question, command: c.Command) -> None:
        """Beside the page's own messages, so that its clocks go on however slow the disk is."""
        if self._busy or question is not self.question:
            return  # A second Enter, on its way while the first was carried out.
        command = self._meant(command, 0.0)
        try:
            await self._carry_out(command)
        except ReallyMeant as doubt:
            self._doubt(command)
            self.say(f"{doubt} {{field.take}} {AGAIN}")
        except Refused as problem:
            self.say(str(problem))
        else:
            self.page.notice = ""
            if question is self.question:
                self.close()
            self._after(command)

    @on(Entry.Closed)
    def _nothing_answered(self) -> None:
        self.page.redraw()

    def close(self) -> None:
        """Hide the line; the keys are the page's again."""
        self._doubted = None
        super().close()
