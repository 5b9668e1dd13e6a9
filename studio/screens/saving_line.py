"""The line on a page beside the bench that says what is not saved, or where the session is kept."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static

from studio.report.telling import not_saved
from studio.screens.draw.alarms import banner
from studio.session.run import Running

LOOK_S = 0.25


class SavingLine(Static):
    """Nothing while all is well. When what it says changes, so does what of the page is saved: it is redrawn."""

    def __init__(self, running: Running) -> None:
        super().__init__(markup=False)
        self.running = running
        self._told = ("", "")

    def on_mount(self) -> None:
        self.display = False
        self.set_interval(LOOK_S, self._look)

    @property
    def rows(self) -> int:
        """Rows it takes."""
        return self._content().plain.count("\n") + 1 if self.display else 0

    def _content(self) -> Content:
        return banner((), *self._told, self.app.size.width)

    def _look(self) -> None:
        told = (not_saved(self.running), self.running.moved)
        if told == self._told:
            return
        self._told = told
        self.display = any(told)
        self.update(self._content())
        redraw = getattr(self.screen, "redraw", None)
        if redraw is not None:
            redraw()
