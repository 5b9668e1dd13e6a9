"""The finish page: four ratings, a last note, and the close."""

from __future__ import annotations

from textual import events, work
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from studio.plaintext import clean
from studio.plan.shapes import Step
from studio.screens.bench.acting import ActingScreen
from studio.screens.bench.clock import SavingLine
from studio.screens.bench.entry import Entry, Question
from studio.screens.bench.questions import note_question
from studio.screens.draw.bench import check_row
from studio.screens.keyed import KeyLine
from studio.session import commands as c
from studio.session.path import current_step


class FinishScreen(ActingScreen, where="finish"):
    """Judging: digits rate the line that is marked; the record is closed with the digit it shows."""

    def compose(self) -> ComposeResult:
        yield SavingLine(self.running)
        yield Static(id="finish-title", markup=False)
        yield Static(id="finish-body", markup=False)
        yield Static(id="finish-hint", markup=False)
        yield Entry(id="entry")
        yield KeyLine()

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
        self.refresh_bindings()
        lines: list[Content] = []
        for step in state.all_steps():
            if step.quantity == "rating":
                here = current is not None and current.id == step.id
                waits = step.id in self.running.unsaved_steps
                lines.append(check_row(step, state.step(step.id), current=here, waits=waits).pad_left(1))
                lines.append(Content.styled(f"     {step.text}", "$text" if here else "$quiet"))
        lines.append(Content(""))
        lines.extend(Content.styled(f" note  {clean(n.text, limit=200)}", "$text") for n in state.notes[-4:])
        self.query_one("#finish-body", Static).update(Content("\n").join(lines))
        digit = self.digit_asked()
        hint = f" Press {digit} to close the record." if digit is not None else ""
        self.query_one("#finish-hint", Static).update(Content.styled(hint, "$focus"))
        self.draw_foot()

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

    async def action_rate(self, digit: str) -> None:
        """Give the marked line a rating."""
        step = self._current()
        if step is not None:
            await self.act(c.Measure(step.id, digit))

    async def on_key(self, event: events.Key) -> None:
        """The digit it shows closes the record."""
        if await self.takes_digit(event):
            event.stop()

    def action_go(self) -> None:
        self.ask(f"Nothing but {self.digit_asked()} closes the record.")

    def action_not_judged(self) -> None:
        step = self._current()
        if step is not None:
            self.ask(Question("Why not judged?", lambda why: c.NotMeasured(step.id, why)))

    def action_note(self) -> None:
        self.ask(note_question())
