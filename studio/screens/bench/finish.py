"""The finish page: four ratings, a last note, and the close."""

from __future__ import annotations

from textual import events, work
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from studio.plaintext import clean
from studio.plan.preview import StripBand, seen_strip
from studio.plan.shapes import Step
from studio.screens.bench.acting import DIGITS, Acting
from studio.screens.bench.clock import SavingLine
from studio.screens.draw.cloth import strip
from studio.screens.draw.keys import MARGIN, SENTENCE, answers, wrapped
from studio.screens.draw.lists import heading
from studio.screens.draw.panel import Check, check_row
from studio.screens.keyed import Keyed, KeyLine, app_of
from studio.session import commands as c
from studio.session.bands import painted_with
from studio.session.kinds.paint import LeftoverKept
from studio.session.path import current_step
from studio.session.run import Running


class FinishScreen(Keyed[None], where="finish"):
    """Judging: digits rate the line that is marked; the record is closed with the digit it shows."""

    AUTO_FOCUS = ""

    def __init__(self, running: Running) -> None:
        super().__init__()
        self.running: Running = running
        self.line = Acting(running, self.after)
        self.bands: tuple[StripBand, ...] = ()

    def on_mount(self) -> None:
        self.call_after_refresh(self._see)

    def _see(self) -> None:
        state = self.running.state
        self.bands = seen_strip(state.choices, painted_with(state))
        self.redraw()

    def compose(self) -> ComposeResult:
        yield SavingLine(self.running)
        yield Static(id="finish-title", markup=False)
        yield Static(id="finish-body", markup=False)
        yield Static(id="finish-hint", markup=False)
        yield self.line
        yield KeyLine()

    def _current(self) -> Step | None:
        return current_step(self.running.state, self.running.clock.now())

    def redraw(self) -> None:
        """Ratings given and still to give, notes, and what comes next."""
        state = self.running.state
        current = self._current()
        self.show("finish-title", heading(clean(state.title, limit=60), "how did it come out?"))
        self.refresh_bindings()
        width, glyphs = min(SENTENCE + 2 * MARGIN, self.size.width), app_of(self).glyphs
        piece = strip(self.bands, self.size.width - 2 * MARGIN, 4 if self.size.height >= 24 else 2, glyphs)
        lines = [*(line.pad_left(MARGIN) for line in piece), Content("")]
        for step in state.all_steps():
            if step.role in ("dyed weight", "rating"):
                here = current is not None and current.id == step.id
                waits = step.id in self.running.unsaved_steps
                check = Check(step, state.step(step.id), current=here, waits=waits)
                lines.append(check_row(check, width - 2 * MARGIN, glyphs).pad_left(MARGIN))
                if here and step.quantity == "rating":
                    grades = (answers(Content.styled(f"{n:^5}", "bold $focus"), f"{n}") for n in range(1, 6))
                    lines.extend((*wrapped(step.text, "$text", width, 7), Content.assemble(" " * 5, *grades)))
        told = [*(clean(kept.event.says(state)) for kept in state.kept(LeftoverKept))]
        told.extend(f"note: {clean(note.text, limit=200)}" for note in state.notes[-4:])
        lines.append(Content(""))
        lines.extend(line for one in told for line in wrapped(one, "$text", width, 2))
        self.show("finish-body", Content("\n").join(lines))
        digit = self.line.digit_asked()
        hint = f" Press {digit} to close the record." if digit is not None else ""
        self.show("finish-hint", Content.styled(hint, "$focus"))
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
        await self.line.act(c.Finish())

    async def action_rate(self, digit: str) -> None:
        """Give the marked line a rating."""
        step = self._current()
        if step is not None:
            await self.line.act(c.Measure(step.id, digit))

    async def takes_key(self, event: events.Key) -> bool:
        """The digit it shows closes the record; another one at a rating is told what a rating is."""
        if await self.line.takes_digit(event):
            return True
        rates = self.holds("rating") and event.character is not None and event.character in DIGITS
        if rates:
            await self.action_rate(event.character or "")
        return rates

    def action_go(self) -> None:
        self.tell(f"Only {self.line.digit_asked()} closes the record.")

    def action_ask(self, what: str) -> None:
        self.line.ask_for(what)

    async def action_undo(self) -> None:
        await self.line.undo()
