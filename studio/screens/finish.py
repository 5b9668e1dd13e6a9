"""The finish page: four ratings, a last note, and the close."""

from __future__ import annotations

import asyncio
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from studio.plaintext import clean
from studio.plan.shapes import Step
from studio.screens.draw.bench import check_row
from studio.screens.entry import Entry, Question
from studio.screens.questions import note_question
from studio.session import commands as c
from studio.session.path import current_step
from studio.session.refusals import Refused
from studio.session.run import NotSaved, Running


class FinishScreen(Screen[None]):
    """Judging: digits rate the line that is marked; the record is closed with its word."""

    AUTO_FOCUS = ""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("1,2,3,4,5", "rate", "rate", show=False),
        Binding("enter,space", "go", "go on", show=False),
        Binding("m", "not_judged", "not judged", show=False),
        Binding("n", "note", "note", show=False),
        Binding("u", "undo", "undo", show=False),
        Binding("escape,q", "back", "back", show=False),
    ]

    def __init__(self, running: Running) -> None:
        super().__init__()
        self.running = running
        self.notice = ""

    def compose(self) -> ComposeResult:
        yield Static(id="finish-title", markup=False)
        yield Static(id="finish-body", markup=False)
        yield Static(id="finish-notice", markup=False)
        yield Entry(id="entry")
        keys = (
            " 1 to 5 rate   M not judged   N note   U undo   Enter close the record   Esc back to the bench"
        )
        yield Static(Content.styled(keys, "$quiet"), id="keys")

    def on_mount(self) -> None:
        self.redraw()

    def _current(self) -> Step | None:
        return current_step(self.running.state, self.running.clock.now())

    def redraw(self) -> None:
        """Ratings given and still to give, notes, and what comes next."""
        state = self.running.state
        current = self._current()
        title = Content.assemble(
            (f" {clean(state.title, limit=60)}", "bold $text"), ("   how did it come out?", "$quiet")
        )
        self.query_one("#finish-title", Static).update(title)
        lines: list[Content] = []
        for step in state.all_steps():
            if step.quantity == "rating":
                here = current is not None and current.id == step.id
                lines.append(check_row(step, state.step(step.id), current=here).pad_left(1))
                lines.append(Content.styled(f"     {step.text}", "$text" if here else "$quiet"))
        lines.append(Content(""))
        lines.extend(Content.styled(f" note  {clean(n.text, limit=200)}", "$text") for n in state.notes[-4:])
        self.query_one("#finish-body", Static).update(Content("\n").join(lines))
        judged = current is not None and current.id == "record.close"
        hint = " Enter: close the record with its word." if judged else ""
        self.query_one("#finish-notice", Static).update(
            Content.styled(
                f" {self.notice}" if self.notice else hint, "bold $due" if self.notice else "$focus"
            )
        )

    async def act(self, command: c.Command) -> bool:
        """Carry out a command and say what stands against it."""
        self.notice = ""
        try:
            await asyncio.to_thread(self.running.do, command)
        except (Refused, NotSaved) as problem:
            self.notice = str(problem)
            self.redraw()
            return False
        self.redraw()
        return True

    async def key_rating(self, digit: str) -> None:
        """Give the marked line a rating."""
        step = self._current()
        if step is not None and step.quantity == "rating":
            await self.act(c.Measure(step.id, digit))

    async def on_key(self, event) -> None:  # type: ignore[no-untyped-def]
        if event.key in "12345" and not self.query_one(Entry).is_asking:
            event.stop()
            await self.key_rating(event.key)

    def action_go(self) -> None:
        step = self._current()
        if step is not None and step.id == "record.close":
            self.query_one(Entry).ask(
                Question(f'Type the word "{step.word}" to close the record', lambda w: c.PassGate(step.id, w))
            )
        elif step is not None and step.quantity == "rating":
            self.notice = "A number from 1 to 5 rates the marked line; M leaves it unjudged."
            self.redraw()
        else:
            self.dismiss()

    def action_not_judged(self) -> None:
        step = self._current()
        if step is not None and step.quantity == "rating":
            self.query_one(Entry).ask(Question("Why not judged?", lambda why: c.NotMeasured(step.id, why)))

    def action_note(self) -> None:
        self.query_one(Entry).ask(note_question())

    async def action_undo(self) -> None:
        await self.act(c.Undo())

    def action_back(self) -> None:
        self.dismiss()

    @on(Entry.Answered)
    async def _answered(self, message: Entry.Answered) -> None:
        entry = self.query_one(Entry)
        try:
            command = message.question.answer(message.text)
            await asyncio.to_thread(self.running.do, command)  # type: ignore[arg-type]
            if isinstance(command, c.PassGate):
                await asyncio.to_thread(self.running.do, c.Finish())
        except (Refused, NotSaved) as problem:
            entry.say(str(problem))
            return
        entry.close()
        self.set_focus(None)
        self.redraw()
        if self.running.state.closed:
            self.dismiss()

    @on(Entry.Closed)
    def _closed(self) -> None:
        self.set_focus(None)
