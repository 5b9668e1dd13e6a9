"""The keys locked, so that the keyboard can be wiped."""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from studio.screens.app_of import app_of
from studio.screens.big_clock import clock_page
from studio.session.run import Running

WORD = "ok"


class LockScreen(ModalScreen[None]):
    """Only o, k and Enter, typed in that order, open it; the clocks stay in sight."""

    def __init__(self, running: Running) -> None:
        super().__init__()
        self.running = running
        self._typed = ""

    def compose(self) -> ComposeResult:
        yield Static(id="big", markup=False)
        told = " Keys are locked for wiping. Type ok and Enter to go on."
        yield Static(Content.styled(told, "bold $due"), id="keys")

    def on_mount(self) -> None:
        self.set_interval(0.5, self.redraw)
        self.call_after_refresh(self.redraw)

    def redraw(self) -> None:
        """The clock, as large as it fits."""
        glyphs = app_of(self).glyphs
        page = clock_page(self.running, self.size.width, self.size.height - 1, glyphs.block)
        self.query_one("#big", Static).update(page)

    def action_leave(self) -> None:
        """A locked keyboard does not leave either."""

    def on_key(self, event: events.Key) -> None:
        event.stop()
        event.prevent_default()
        if event.key == "enter" and self._typed == WORD:
            self.dismiss()
        self._typed = (self._typed + event.key)[-len(WORD) :] if len(event.key) == 1 else ""
