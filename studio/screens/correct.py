"""Correct a value given earlier: the newest is marked; type the right one, say why."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from studio.screens.acting import ActingScreen
from studio.screens.draw.bench import check_row
from studio.screens.entry import Entry
from studio.screens.keyed import KeyLine
from studio.screens.questions import correction_question
from studio.screens.rows import Rows
from studio.screens.saving_line import SavingLine
from studio.session import commands as c
from studio.session.step_rules import correctable


class CorrectScreen(ActingScreen, where="correct"):
    """The old value stays in the record, with the reason and the time."""

    AUTO_FOCUS = "#correct-list"

    def compose(self) -> ComposeResult:
        yield SavingLine(self.running)
        yield Static(Content.styled(" Which value was wrong?", "bold $text"), id="correct-title")
        state = self.running.state
        waits = self.running.unsaved_steps
        rows = [
            Option(check_row(s, state.step(s.id), current=False, waits=s.id in waits), id=s.id)
            for s in correctable(state)
        ]
        yield Rows(*rows, id="correct-list")
        yield Entry(id="entry")
        yield KeyLine()

    def on_mount(self) -> None:
        self.query_one(OptionList).action_first()

    def redraw(self) -> None:
        """Say what stands against the correction, if anything does."""
        self.draw_foot()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        step = self.running.state.find_step(event.option_id or "")
        if step is not None:
            self.ask(correction_question(step, self.running.state.step(step.id)))

    def after(self, command: c.Command) -> None:
        """Back to the bench."""
        self.dismiss()
