"""The logbook: sessions, newest first."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from textual import on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.timer import Timer
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from studio.plaintext import clean
from studio.report.logbook import listed_row
from studio.screens.bench.entry import Entry, Question
from studio.screens.draw.lists import row_content
from studio.screens.keyed import KeyLine, Rows, app_of
from studio.screens.logbook.compare import MARK, MarkingScreen
from studio.screens.logbook.session import SessionScreen
from studio.session import commands as c
from studio.trouble import Trouble

if TYPE_CHECKING:
    from studio.services.studio import Services

MOST_ROWS = 500
AFTER_TYPING_S = 0.06
"""How long typing must pause before it is looked for. House rule."""
TOLD_EVERY_S = 0.25
FIND = "Find words of titles, notes, dyes, colours, cautions; beginnings will do"


class LogbookScreen(MarkingScreen, where="logbook"):
    """Newest first; at most 500 rows, the rest counted. `/` looks for words while they are typed."""

    FIELD = "finding"

    def __init__(self, services: Services) -> None:
        super().__init__(services)
        self.wanted = ""
        """The words looked for."""
        self._told = ""
        self._leaving = False
        self._reading: tuple[int, int] | None = None
        """Session files read of those to be read, while that goes on."""
        self._soon: Timer | None = None

    def compose(self) -> ComposeResult:
        yield Static(Content.styled(" Logbook", "bold $text"), id="log-title", markup=False)
        yield Rows(id="log-list")
        yield Entry(id="entry")
        yield KeyLine()

    def on_mount(self) -> None:
        self.call_after_refresh(self.fill)
        self.call_after_refresh(self.read_files)

    def on_unmount(self) -> None:
        self._leaving = True

    @work(exclusive=True)
    async def read_files(self) -> None:
        """Take in new and changed session files off the drawing loop; leaving the screen interrupts it."""
        ticking = self.set_interval(TOLD_EVERY_S, self._tell)
        try:
            left = await asyncio.to_thread(
                self.services.read_logbook, self._read_so_far, lambda: self._leaving
            )
        except Trouble as problem:
            app_of(self).say(str(problem), bad=True)
            return
        finally:
            ticking.stop()
            self._reading = None
        if not left:
            self.fill(keep_place=True)

    def _read_so_far(self, done: int, total: int) -> None:
        self._reading = (done, total)

    def fill(self, *, keep_place: bool = False) -> None:
        """List what meets the search, from what is known of the files."""
        rows = self.query_one(OptionList)
        at = rows.highlighted_option.id if keep_place and rows.highlighted_option else None
        try:
            cards, total = self.services.find(self.wanted, limit=MOST_ROWS, refresh=False)
        except Trouble as problem:
            app_of(self).say(str(problem), bad=True)
            return
        width = max(40, self.size.width - 4 - len(MARK))
        with self.app.batch_update():
            rows.clear_options()
            told = ((card.key, row_content(listed_row(card, width))) for card in cards)
            rows.add_options(Option(self.marked_row(key, row), id=key) for key, row in told)
        self._told = f"newest {len(cards)} of {total} shown" if total > len(cards) else f"{total}"
        if self.wanted.strip():
            self._told += f' with "{clean(self.wanted, limit=30)}"   / changes it, Esc clears it'
        self._tell()
        keys = [card.key for card in cards]
        rows.highlighted = (keys.index(at) if at in keys else 0) if keys else None
        if not self.query_one(Entry).is_asking:
            rows.focus()

    def _tell(self) -> None:
        """How many there are, and how far the reading of files has come."""
        reading = ""
        if self._reading is not None:
            done, total = self._reading
            reading = f"   reading {done} of {total}, Esc leaves and keeps what is read"
        title = Content.assemble(
            (" Logbook", "bold $text"), (f"   {self._told}", "$quiet"), (reading, "$due")
        )
        self.query_one("#log-title", Static).update(title)

    def action_find(self) -> None:
        self.query_one(Entry).ask(Question(FIND, lambda text: c.AddNote(text), initial=self.wanted))

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        if not self.query_one(Entry).is_asking:
            return
        self.wanted = event.value
        if self._soon is not None:
            self._soon.stop()
        self._soon = self.set_timer(AFTER_TYPING_S, self.fill)

    @on(Entry.Answered)
    def _found(self, message: Entry.Answered) -> None:
        self._look_for(message.text)

    @on(Entry.Closed)
    def _cleared(self) -> None:
        self._look_for("")

    def _look_for(self, text: str) -> None:
        if self._soon is not None:
            self._soon.stop()
        self.query_one(Entry).close()
        self.wanted = text
        self.fill()

    def action_back(self) -> None:
        """One step back: out of the search, then out of the logbook."""
        if self.wanted:
            self._look_for("")
        else:
            self.action_leave()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        try:
            read = self.services.read(event.option_id or "")
        except Trouble as problem:
            app_of(self).say(str(problem), bad=True)
            return
        self.app.push_screen(SessionScreen(self.services, event.option_id or "", read))

    def action_waiting(self) -> None:
        from studio.screens.logbook.follow_up import WaitingScreen

        self.app.push_screen(WaitingScreen(self.services))

    def action_leave(self) -> None:
        self._leaving = True
        self.dismiss()
