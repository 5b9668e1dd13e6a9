"""Over the bench: what was done before, to be corrected or taken back; entries beside the steps; why a figure is as
it is.
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
from studio.report.telling import corrected, offer
from studio.screens.bench.acting import Acting
from studio.screens.bench.clock import SavingLine
from studio.screens.bench.finish import FinishScreen
from studio.screens.bench.painting import PacketsScreen, PaintingScreen
from studio.screens.draw.panel import Check, caution_lines, check_lines, why
from studio.screens.keyed import Keyed, KeyLine, Page, app_of, question
from studio.screens.rows import Rows
from studio.session import commands as c
from studio.session.clock import time_of_day, wall_ns_of
from studio.session.folding import Record
from studio.session.run import Running
from studio.session.state import Undone
from studio.session.step_rules import correctable
from studio.session.taking_back import offered
from studio.words.questions import correction_question


def choose_entry(screen: Screen[Any], ask: Callable[[str], object], *, steamed: bool) -> None:
    """Ask which entry beside the steps it is, each on a key of its own, then for it by its name."""

    def chosen(answer: str | None) -> None:
        if answer:
            ask(answer)

    which = question("entries", "What is to be kept?", now=("steamed",) if steamed else ())
    screen.app.push_screen(which, chosen)


# What was done before: a value to be corrected, or an event to be taken back or brought back.

TITLES = {"correct": " Which value was wrong?", "taking_back": " What is taken back?"}


class BeforeScreen(Keyed[str]):
    """The newest is marked; the answer is what is said of it then.

    Nothing leaves the record: what was there stays in it, with the reason and the time.
    """

    AUTO_FOCUS = "#correct-list"

    def __init__(self, running: Running, where: str, marked: str = "") -> None:
        """`marked`: the step whose value is marked instead."""
        super().__init__()
        self.at(where)
        self._marked_first = marked
        self.running: Running = running
        self.line = Acting(running, self.after)

    def compose(self) -> ComposeResult:
        yield SavingLine(self.running)
        yield Static(Content.styled(TITLES[self.WHERE], "bold $text"), id="correct-title")
        yield Rows(*(self._values() if self.WHERE == "correct" else self._events()), id="correct-list")
        yield self.line
        yield KeyLine()

    def on_mount(self) -> None:
        rows = self.query_one(OptionList)
        rows.highlighted = rows.get_option_index(self._marked_first) if self._marked_first else 0

    def after(self, command: c.Command) -> None:
        """Back to the bench from a value; what is said of an event taken back goes there with it."""
        if isinstance(command, c.Correct):
            self.dismiss(corrected(self.running.state, command.step))

    def brings(self) -> bool:
        """Whether the marked event is one that was taken back."""
        event = self._marked()
        return event is not None and isinstance(event.told, Undone)

    def stands(self) -> bool:
        """Whether it is one that stands."""
        return not self.brings()

    @on(OptionList.OptionHighlighted)
    def _another(self) -> None:
        self.redraw()

    def _marked(self) -> Record | None:
        named = self.query_one(Rows).chosen if self.WHERE == "taking_back" else ""
        return self.running.state.log.find(int(named or 0))

    def _values(self) -> list[Option]:
        state, waits = self.running.state, self.running.unsaved_steps
        return [
            Option(
                Content("\n").join(
                    check_lines(
                        Check(s, state.step(s.id), waits=s.id in waits),
                        self.size.width - 4,
                        app_of(self).glyphs,
                    )
                ),
                id=s.id,
            )
            for s in correctable(state)
        ]

    def _events(self) -> list[Option]:
        state = self.running.state
        at = [time_of_day(wall_ns_of(event.at), state.utc_offset_min) for event in offered(state)]
        return [
            Option(Content.assemble((f" {when}  ", "$quiet"), offer(state, event)), id=str(event.n))
            for when, event in zip(at, offered(state), strict=True)
        ]

    @on(OptionList.OptionSelected)
    async def action_choose(self) -> None:
        """At once, not by the list's message: the next key is meant for the line."""
        state = self.running.state
        if self.WHERE == "correct":
            step = state.find_step(self.query_one(Rows).chosen)
            if step is not None:
                self.line.ask(correction_question(state, step))
            return
        event = self._marked()
        if event is not None and await self.line.take_back(event, "{taking_back.choose} again"):
            self.dismiss(self.notice)


PAGES: dict[str, Callable[..., Keyed[Any]]] = {
    "bands": PaintingScreen,
    "packets": PacketsScreen,
    "finish": FinishScreen,
    "correct": lambda running, marked="": BeforeScreen(running, "correct", marked),
    "taking_back": lambda running: BeforeScreen(running, "taking_back"),
}
"""The pages over the bench that act on its session."""


# The why page: the equation, the origin and the source behind what is shown.


def why_page(figures: Sequence[Figure], cautions: Sequence[Caution]) -> Page:
    """Figures and cautions, each in full."""
    nothing = Content.styled(" This step has no figures and no cautions.", "$quiet")

    def lines(width: int) -> list[Content]:
        told = [why(f, width) for f in figures]
        told.extend(line for c in cautions for line in caution_lines(c, width, with_source=True))
        return told or [nothing]

    return Page("why", lines, ())
