"""A screen that acts on a running session: carries out commands, asks, and says what stands against it."""

from __future__ import annotations

import asyncio
from contextlib import suppress
from typing import TYPE_CHECKING

import msgspec
from textual import events, on, work
from textual.actions import parse

from studio.report.telling import done, question
from studio.screens.bench.entry import Entry, Question
from studio.screens.keyed import Keyed
from studio.session import commands as c
from studio.session import events as e
from studio.session.asked import ReallyMeant, Refused
from studio.session.path import current_step
from studio.session.run import Running
from studio.session.step_rules import digit_asked
from studio.words.table import rows_of

if TYPE_CHECKING:
    from studio.session.live.applies import Here
    from studio.words.actions import Action

SLOW_SAVE_S = 0.5
SAVING_SLOWLY = "Saving is slow; the clocks go on."
DIGITS = "0123456789"
AFTER_WRONG_S = 0.7
"""Digits this soon after a wrong one at a gate were on their way already. House rule."""
READABLE_S = 0.7
"""A second key that confirms, sooner than this, came from a held or bouncing one. House rule."""
AGAIN = "Enter again if it is so; it will be marked."
NOT_ASKED = (0, 0.0)
ANSWERED_S = 30.0
"""A second U later than this is another first one. House rule."""


class ActingScreen(Keyed[str]):
    """Base of the bench and the pages over it, which may answer with a sentence. Needs an `Entry` among its widgets."""

    AUTO_FOCUS = ""
    IN_TURN = True

    def __init__(self, running: Running, *, notice: str = "") -> None:
        super().__init__()
        self.running = running
        self.notice = notice
        self._passing = ""
        self._here: Here | None = None
        self._busy = False
        self._doubted: c.Command | None = None
        self._doubted_at = 0.0
        self._wrong_at = -AFTER_WRONG_S
        self._undo_asked = NOT_ASKED
        """The event that undo was asked about last, and when, by the loop's own clock."""

    @property
    def entry(self) -> Entry:
        """The line where something is typed."""
        return self.query_one(Entry)

    def tell(self, sentence: str) -> None:
        """Of the key just pressed, in the line for it: no question that is asked after it has to do with it."""
        self.notice = self._passing = sentence
        self.redraw()

    def holds(self, condition: str) -> bool:
        """The bench's conditions are those of the session."""
        from studio.session.live.applies import CONDITIONS

        known = CONDITIONS.get(condition)
        return super().holds(condition) if known is None else known(self._here or self._now())

    def keys_now(self) -> list[Action]:
        """All of them asked about at one reading of the clock."""
        self._here = self._now()
        try:
            return super().keys_now()
        finally:
            self._here = None

    def _now(self) -> Here:
        from studio.session.live.applies import Here

        return Here(self.running.state, self.running.clock.now())

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While a question stands, its field takes the keys; those of the screen wait."""
        asking = self.query(Entry) and self.entry.is_asking
        own = asking and any(
            parse(row.call)[1] == action for row in rows_of(self.WHERE) if row.where == self.WHERE
        )
        return False if own else super().check_action(action, parameters)

    def after(self, command: c.Command) -> None:
        """A command was carried out; it is on disk, or waits to be saved."""
        self.redraw()

    async def act(self, command: c.Command) -> bool:
        """Carry out a command off the drawing loop, one at a time; True when it was taken."""
        if self._busy:
            return False
        self.notice = ""
        self._undo_asked = NOT_ASKED
        command = self._meant(command, READABLE_S)
        try:
            await self._carry_out(command)
        except ReallyMeant as doubt:
            self._doubt(command)
            self.tell(f"{doubt} {AGAIN}")
        except Refused as refused:
            self.tell(str(refused))
        else:
            self.after(command)
            return True
        return False

    async def _carry_out(self, command: c.Command) -> None:
        """Off the drawing loop; where saving is slow that is said, for as long as it is."""
        self._busy = True
        slow = self.set_timer(SLOW_SAVE_S, self._say_saving)
        try:
            await asyncio.to_thread(self.running.do, command)
        finally:
            slow.stop()
            self._busy = False
            if self.notice == SAVING_SLOWLY:
                self.notice = ""

    def _doubt(self, command: c.Command) -> None:
        self._doubted, self._doubted_at = command, asyncio.get_running_loop().time()

    def _meant(self, command: c.Command, least_s: float) -> c.Command:
        """The command; as one that is meant where it is the very one that was doubted, so many seconds ago or more."""
        doubted, self._doubted = self._doubted, None
        readable = asyncio.get_running_loop().time() - self._doubted_at >= least_s
        again = command == doubted and isinstance(command, c.Doubtful)
        return msgspec.structs.replace(command, meant=True) if again and readable else command

    def digit_asked(self) -> int | None:
        """The digit that opens the gate of now; None where none is asked for."""
        step = current_step(self.running.state, self.running.clock.now())
        return digit_asked(self.running.state, step, self.running.missed) if step is not None else None

    async def takes_digit(self, event: events.Key) -> bool:
        """Whether the key is a digit at a gate that a digit opens; it is tried then."""
        at_gate = not self.entry.is_asking and self.digit_asked() is not None
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

    async def action_undo(self) -> None:
        """Take back the newest; where a clock hangs on it, only by a second key."""
        from studio.session.taking_back import newest

        event = newest(self.running.state)
        if event is None:
            await self.act(c.Undo())
        else:
            await self.take_back(event, "U again")

    async def take_back(self, event: e.Recorded, again: str) -> bool:
        """Take an event back, or bring back what it took back; at once where no clock hangs on it. True when done."""
        from studio.session.taking_back import taking_back

        state, now = self.running.state, asyncio.get_running_loop().time()
        back, (asked, when) = taking_back(state, event), self._undo_asked
        if back.asked_about and not (asked == event.n and READABLE_S <= now - when <= ANSWERED_S):
            self.ask(f"{question(state, back)} {again}: {'bring' if back.brings_back else 'take'} it back.")
            self._undo_asked = (event.n, now)  # A held key asks and asks, and never answers.
            return False
        if not await self.act(c.Undo(event.n)):
            return False
        self.notice = done(state, back)
        self.redraw()
        return True

    def keep_half_typed(self) -> None:
        """The program is being ended: what was typed and not entered is kept as a note that says so."""
        if self.entry.half_typed:
            with suppress(Refused):
                self.running.do(
                    c.AddNote(f"Not finished when the program was stopped. {self.entry.half_typed}")
                )

    def _say_saving(self) -> None:
        self.notice = SAVING_SLOWLY
        self.redraw()

    def ask(self, question: Question | str) -> None:
        """Open the entry line, or say why there is nothing to ask."""
        self._undo_asked = NOT_ASKED
        if isinstance(question, str):
            self.tell(question)
            return
        self._doubted = None
        if self.notice == self._passing:
            self.notice = ""
        self.entry.ask(question)
        self.redraw()

    @on(Entry.Answered)
    @work(group="answer")
    async def _answered(self, message: Entry.Answered) -> None:
        """Beside the screen's own messages, so that its clocks go on however slow the disk is."""
        if self._busy or message.question is not self.entry.question:
            return  # A second Enter, on its way while the first was carried out.
        try:
            answer = message.question.answer(message.text)
            if isinstance(answer, Question):
                self.entry.ask(answer)
                self.redraw()
                return
            command = self._meant(answer, 0.0)
            await self._carry_out(command)
        except ReallyMeant as doubt:
            self._doubt(command)
            self.entry.say(f"{doubt} {AGAIN}")
        except Refused as problem:
            self.entry.say(str(problem))
        else:
            self.notice = ""
            self._close_entry()
            self.after(command)

    @on(Entry.Closed)
    def _nothing_answered(self) -> None:
        self._close_entry()
        self.redraw()

    def _close_entry(self) -> None:
        self._doubted = None
        self.entry.close()
        self.set_focus(None)
