"""Over the bench: values corrected, what may be taken back, entries beside the steps, and why a figure is
as it is.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from studio.plan.shapes import Caution, Figure
from studio.report.telling import offer
from studio.screens.bench.acting import ActingScreen
from studio.screens.bench.clock import SavingLine
from studio.screens.bench.entry import Entry, Question
from studio.screens.bench.questions import (
    correction_question,
    dropper_question,
    photo_question,
    pot_question,
    swatch_question,
)
from studio.screens.draw.bench import check_row
from studio.screens.draw.panel import caution_lines, why
from studio.screens.keyed import KeyLine, Page, Rows
from studio.screens.keyed import question as ask_which
from studio.session import commands as c
from studio.session.clock import time_of_day, wall_ns_of
from studio.session.step_rules import correctable
from studio.session.taking_back import offered

# Entries beside the steps that are no note: each on a key of its own, each with its own field.

ASKED: dict[str, Callable[[], Question]] = {
    "photo": photo_question,
    "swatch": swatch_question,
    "dropper": dropper_question,
    "pot": pot_question,
}


def choose_entry(screen: Screen[Any], ask: Callable[[Question], object], *, steamed: bool) -> None:
    """Ask which entry it is, then for it."""

    def chosen(answer: str | None) -> None:
        if answer:
            ask(ASKED[answer]())

    now = ("steamed",) if steamed else ()
    screen.app.push_screen(ask_which("entries", "What is to be kept?", now=now), chosen)


# Correct a value given earlier: the newest is marked; type the right one, say why.


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


# The why panel: the equation, the origin and the source behind what the bench shows.


def why_page(figures: Sequence[Figure], cautions: Sequence[Caution]) -> Page:
    """Figures and cautions, each in full."""
    nothing = Content.styled(" This step stands on no figure and no caution of its own.", "$quiet")

    def lines(width: int) -> list[Content]:
        told = [why(f, width) for f in figures]
        told.extend(line for c in cautions for line in caution_lines(c, width, with_source=True))
        return told or [nothing]

    return Page("why", lines, ())


# What may be taken back, newest first, and what may be brought back; Enter takes the marked one.


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
        yield Entry(id="entry")
        yield KeyLine()

    def on_mount(self) -> None:
        self.query_one(OptionList).action_first()

    def redraw(self) -> None:
        """Say what would become of the clocks, or what stands against it."""
        self.draw_foot()

    @on(OptionList.OptionSelected)
    async def _chosen(self, event: OptionList.OptionSelected) -> None:
        chosen = self.running.state.log.find(int(event.option_id or 0))
        if chosen is not None and await self.take_back(chosen, "Enter again"):
            self.dismiss(self.notice)
