"""What may be taken back, newest first, and what may be brought back; Enter takes the marked one."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from studio.report.taking_back_words import offer
from studio.screens.acting import ActingScreen
from studio.screens.entry import Entry
from studio.screens.keyed import KeyLine
from studio.screens.rows import Rows
from studio.screens.saving_line import SavingLine
from studio.session import commands as c
from studio.session.clock import time_of_day, wall_ns_of
from studio.session.taking_back import offered


class TakingBackScreen(ActingScreen, where="taking_back"):
    """Nothing leaves the record: it is kept as taken back."""

    AUTO_FOCUS = "#correct-list"

    def compose(self) -> ComposeResult:
        state = self.running.state
        yield SavingLine(self.running)
        yield Static(Content.styled(" What is taken back?", "bold $text"), id="correct-title")
        rows = [
            Option(
                Content.assemble(
                    (f" {time_of_day(wall_ns_of(event.at), state.utc_offset_min)}  ", "$quiet"),
                    offer(state, event),
                ),
                id=str(event.n),
            )
            for event in offered(state)
        ]
        yield Rows(*rows, id="correct-list")
        yield Static(id="taking-back-notice", markup=False)
        yield Entry(id="entry")
        yield KeyLine()

    def on_mount(self) -> None:
        self.query_one(OptionList).action_first()

    def redraw(self) -> None:
        """Say what would become of the clocks, or what stands against it."""
        self.query_one("#taking-back-notice", Static).update(self.notice)
        self.draw_foot()

    @on(OptionList.OptionSelected)
    async def _chosen(self, event: OptionList.OptionSelected) -> None:
        chosen = self.running.state.log.find(int(event.option_id or 0))
        if chosen is not None:
            await self.take_back(chosen, "Enter again")

    def after(self, command: c.Command) -> None:
        """Back to the bench."""
        self.dismiss()
