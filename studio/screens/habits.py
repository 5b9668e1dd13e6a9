"""The studio's habits: what its sessions taught beside each default, to pin, to switch off, and why."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual import on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from studio.plan.habits import Habit
from studio.report.habits import habit_figure, habit_rows
from studio.screens.bench.entry import Entry
from studio.screens.draw.lists import row_content
from studio.screens.keyed import Keyed, KeyLine
from studio.screens.rows import Rows
from studio.shelf.habits import example
from studio.words.actions import Question

if TYPE_CHECKING:
    from studio.services.studio import Services

TITLE = "\n Learned from finished sessions; a plan may say otherwise."


class HabitsScreen(Keyed[None], where="habits"):
    """One habit under the other; the keys act on the one under the bar."""

    def __init__(self, services: Services) -> None:
        super().__init__()
        self.services = services
        self.habits: Sequence[Habit] = ()

    def compose(self) -> ComposeResult:
        title = Content.assemble((" Habits of this studio", "bold $text"), (TITLE, "$quiet"))
        yield Static(title, id="habits-title", markup=False)
        yield Rows(id="habits-list")
        yield Entry()
        yield KeyLine()

    def on_mount(self) -> None:
        self.read()

    @work(exclusive=True)
    async def read(self) -> None:
        """The habits, off the drawing loop: sessions that are new may have to be read."""
        with self.telling():
            self.habits = list(await asyncio.to_thread(self.services.habits))
        self.redraw()

    def redraw(self) -> None:
        """All of them at the present width; the bar stays where it is."""
        width = max(40, self.size.width - 4)
        self.query_one(Rows).fill(
            [
                Option(
                    Content("\n").join(row_content(line) for line in habit_rows(habit, width)), id=habit.id
                )
                for habit in self.habits
            ]
        )

    def _here(self) -> Habit | None:
        at = self.query_one(OptionList).highlighted
        return self.habits[at] if at is not None and at < len(self.habits) else None

    def action_pin(self) -> None:
        """Ask for the value to pin to."""
        habit = self._here()
        if habit is not None:
            name, label = habit.id, f"Pin {habit.kind.label} to, for example {example(habit.kind)}:"
            pin = Question(label, lambda text: self.services.pin_habit(name, text), "A value")
            self.query_one(Entry).ask(pin)

    @on(Entry.Closed)
    def _answered_or_not(self) -> None:
        self.read()

    def action_switch(self) -> None:
        """Off where it is learned or pinned, on where it is off."""
        habit = self._here()
        if habit is not None:
            with self.telling():
                self.services.switch_habit(habit.id, habit.standing in ("off", "pinned"))
                self.read()

    @on(OptionList.OptionSelected)
    def _chosen(self) -> None:
        self.action_why()

    @work(exclusive=True, group="why")
    async def action_why(self) -> None:
        """How it is measured, in which sessions, and how it came to its value."""
        from studio.screens.bench.correct import why_page

        habit = self._here()
        if habit is None:
            return
        with self.telling():
            measured = await asyncio.to_thread(self.services.measurements)
            self.app.push_screen(why_page([habit_figure(habit, measured.get(habit.id, ()))], ()))
