"""The studio's habits: what its sessions taught beside each default, to pin, to switch off, and why."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from textual import on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from studio.plaintext import clean
from studio.plan.habits import Habit
from studio.report.habits import habit_figure, habit_rows
from studio.screens.draw.lists import row_content
from studio.screens.keyed import Keyed, KeyLine, Rows, app_of
from studio.shelf.habits import example
from studio.trouble import Trouble

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
        yield Static(
            Content.assemble((" Habits of this studio", "bold $text"), (TITLE, "$quiet")),
            id="habits-title",
            markup=False,
        )
        yield Rows(id="habits-list")
        yield Static(id="habits-asked", markup=False)
        yield Input(id="habits-value", compact=True)
        yield KeyLine()

    def on_mount(self) -> None:
        self._ask(False)
        self.read()

    def on_resize(self) -> None:
        self.call_after_refresh(self.redraw)

    @work(exclusive=True)
    async def read(self) -> None:
        """The habits, off the drawing loop: sessions that are new may have to be read."""
        await self._read()

    async def _read(self) -> None:
        try:
            self.habits = list(await asyncio.to_thread(self.services.habits))
        except Trouble as problem:
            app_of(self).say(str(problem), bad=True)
        self.redraw()

    def redraw(self) -> None:
        """All of them at the present width; the bar stays where it is."""
        rows = self.query_one(OptionList)
        at = rows.highlighted or 0
        width = max(40, self.size.width - 4)
        rows.clear_options()
        for habit in self.habits:
            lines = [row_content(line) for line in habit_rows(habit, width)]
            rows.add_option(Option(Content("\n").join(lines), id=habit.id))
        if self.habits:
            rows.highlighted = min(at, len(self.habits) - 1)

    def _here(self) -> Habit | None:
        at = self.query_one(OptionList).highlighted
        return self.habits[at] if at is not None and at < len(self.habits) else None

    def _ask(self, asking: bool) -> None:
        """Show the line a value is typed in, or hide it."""
        for part in ("#habits-asked", "#habits-value"):
            self.query_one(part).display = asking
        (self.query_one(Input) if asking else self.query_one(OptionList)).focus()

    def action_pin(self) -> None:
        """Ask for the value to pin to."""
        habit = self._here()
        if habit is None:
            return
        self._asked(f"Pin {habit.kind.label} to, for example {example(habit.kind)}:", "$focus")
        box = self.query_one(Input)
        box.value = ""
        self._ask(True)

    def _asked(self, sentence: str, style: str) -> None:
        told = Content.styled(f" {clean(sentence, limit=300)}", style)
        self.query_one("#habits-asked", Static).update(told)

    @on(Input.Submitted)
    def _typed(self, event: Input.Submitted) -> None:
        event.stop()
        habit = self._here()
        if habit is not None:
            name, value = habit.id, event.value
            self.change(lambda: self.services.pin_habit(name, value))

    def action_switch(self) -> None:
        """Off where it is learned or pinned, on where it is off."""
        habit = self._here()
        if habit is not None:
            name, on = habit.id, habit.standing in ("off", "pinned")
            self.change(lambda: self.services.switch_habit(name, on))

    @work(exclusive=True)
    async def change(self, how: Callable[[], Habit]) -> None:
        """Change one and show them all again; what cannot be is said where it was typed, and nothing is lost."""
        try:
            await asyncio.to_thread(how)
        except Trouble as problem:
            if self.query_one(Input).display:
                self._asked(str(problem), "$danger")
            else:
                app_of(self).say(str(problem), bad=True)
            return
        self._ask(False)
        await self._read()

    @on(OptionList.OptionSelected)
    def _chosen(self) -> None:
        self.action_why()

    @work(exclusive=True)
    async def action_why(self) -> None:
        """How it is measured, in which sessions, and how it came to its value."""
        from studio.screens.bench.correct import why_page

        habit = self._here()
        if habit is None:
            return
        try:
            measured = await asyncio.to_thread(self.services.measurements)
        except Trouble as problem:
            app_of(self).say(str(problem), bad=True)
            return
        self.app.push_screen(why_page([habit_figure(habit, measured.get(habit.id, ()))], ()))

    def action_leave(self) -> None:
        if self.query_one(Input).display:
            self._ask(False)
        else:
            self.dismiss()
