"""The finish page: four ratings, a last note, and the close."""

from __future__ import annotations

from typing import ClassVar

from textual import events, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import Static

from studio.plaintext import clean
from studio.plan.shapes import Step
from studio.screens.acting import ActingScreen
from studio.screens.draw.bench import check_row
from studio.screens.entry import Entry, Question
from studio.screens.questions import note_question
from studio.session import commands as c
from studio.session.path import current_step


class FinishScreen(ActingScreen):
    """Judging: digits rate the line that is marked; the record is closed with the digit it shows."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,space", "go", "go on", show=False),
        Binding("m", "not_judged", "not judged", show=False),
        Binding("n", "note", "note", show=False),
        Binding("u", "undo", "undo", show=False),
        Binding("escape,q", "back", "back", show=False),
    ]

    def compose(self) -> ComposeResult:
        yield Static(id="finish-title", markup=False)
        yield Static(id="finish-body", markup=False)
        yield Static(id="finish-notice", markup=False)
        yield Entry(id="entry")
        keys = " 1 to 5 rate   M not judged   N note   U undo   Esc back to the bench"
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
        digit = self.digit_asked()
        hint = f" Press {digit} to close the record." if digit is not None else ""
        told = Content.styled(f" {clean(self.notice, limit=300)}\n" if self.notice else "", "bold $due")
        self.query_one("#finish-notice", Static).update(told + Content.styled(hint, "$focus"))

    def after(self, command: c.Command) -> None:
        """The last gate closes the record as well."""
        self.redraw()
        if self.running.state.closed:
            self.dismiss()
        elif isinstance(command, c.PassGate):
            self.close_record()

    @work
    async def close_record(self) -> None:
        """Write the closing event."""
        await self.act(c.Finish())

    async def key_rating(self, digit: str) -> None:
        """Give the marked line a rating."""
        step = self._current()
        if step is not None and step.quantity == "rating":
            await self.act(c.Measure(step.id, digit))

    async def on_key(self, event: events.Key) -> None:
        if self.entry.is_asking or event.character is None or event.character not in "0123456789":
            return
        event.stop()
        await self.press_digit(int(event.character))
        await self.key_rating(event.character)

    def action_go(self) -> None:
        step = self._current()
        if step is not None and step.id == "record.close":
            self.ask(f"Nothing but {self.digit_asked()} closes the record.")
        elif step is not None and step.quantity == "rating":
            self.notice = "A number from 1 to 5 rates the marked line; M leaves it unjudged."
            self.redraw()
        else:
            self.dismiss()

    def action_not_judged(self) -> None:
        step = self._current()
        if step is not None and step.quantity == "rating":
            self.ask(Question("Why not judged?", lambda why: c.NotMeasured(step.id, why)))

    def action_note(self) -> None:
        self.ask(note_question())

    def action_back(self) -> None:
        self.dismiss()
