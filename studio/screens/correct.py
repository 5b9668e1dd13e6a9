"""Correct a value given earlier: choose it, type the right one, say why."""

from __future__ import annotations

import asyncio
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from studio.plan.shapes import Step
from studio.screens.draw.bench import check_row
from studio.screens.entry import Entry, Question
from studio.session import commands as c
from studio.session.refusals import ReallyMeant, Refused
from studio.session.run import NotSaved, Running


class CorrectScreen(ModalScreen[None]):
    """The old value stays in the record, with the reason and the time."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q", "back", "back", show=False)]

    def __init__(self, running: Running) -> None:
        super().__init__()
        self.running = running
        self._value = ""
        self._meant = ""

    def compose(self) -> ComposeResult:
        yield Static(Content.styled(" Which value was wrong?", "bold $text"), id="correct-title")
        state = self.running.state
        rows = []
        for step in state.all_steps():
            record = state.step(step.id)
            if record.state in ("measured", "not measured"):
                rows.append(Option(check_row(step, record, current=False), id=step.id))
        yield OptionList(*rows, id="correct-list")
        yield Entry(id="entry")
        yield Static(Content.styled(" Enter choose   Esc back", "$quiet"), classes="card-keys")

    def on_mount(self) -> None:
        self.query_one(OptionList).focus()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        step = self.running.state.find_step(event.option_id or "")
        if step is not None:
            self._ask_value(step)

    def _ask_value(self, step: Step) -> None:
        def keep(text: str) -> None:
            self._value = text
            self.query_one(Entry).ask(
                Question("Why was it wrong?", lambda why: c.Correct(step.id, self._value, why))
            )

        self.query_one(Entry).ask(Question(f"{step.done}: the right value, in {step.unit}", keep))

    @on(Entry.Answered)
    async def _answered(self, message: Entry.Answered) -> None:
        entry = self.query_one(Entry)
        try:
            command = message.question.answer(message.text)
            if not isinstance(command, c.Correct):
                return
            if self._meant == command.text:
                command = c.Correct(command.step, command.text, command.why, meant=True)
            await asyncio.to_thread(self.running.do, command)
        except ReallyMeant as doubt:
            self._meant = self._value
            entry.say(str(doubt))
            return
        except (Refused, NotSaved) as problem:
            entry.say(str(problem))
            return
        self.dismiss()

    def action_back(self) -> None:
        self.dismiss()
