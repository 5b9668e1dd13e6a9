"""Leaving the bench takes a second, different key."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from studio.plaintext import clean
from studio.screens.draw.bench import left_text
from studio.session.run import Running
from studio.session.timers import running


class LeaveScreen(ModalScreen[str]):
    """Dismisses with `leave`, `abandon` or an empty text for staying."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("y", "choose('leave')", "leave", show=False),
        Binding("g", "choose('abandon')", "give up", show=False),
        Binding("escape,n,q,enter,space", "choose('')", "stay", show=False),
    ]

    def __init__(self, session: Running) -> None:
        super().__init__()
        self.session = session

    def compose(self) -> ComposeResult:
        with VerticalScroll(classes="card small"):
            yield Static(self._content(), markup=False)

    def _content(self) -> Content:
        now = self.session.clock.now()
        clocks = running(self.session.state, now)
        lines = [Content.styled(" Leave the bench?", "bold $text"), Content("")]
        if clocks:
            told = ", ".join(f"{clean(v.label, limit=40)} {left_text(v)}" for v in clocks)
            lines.append(Content.styled(f" Clocks that go on: {told}.", "bold $due"))
            lines.append(Content.styled(" No alarm can sound while the program is closed.", "$due"))
        else:
            lines.append(Content.styled(" No clock is running.", "$quiet"))
        if self.session.waiting:
            lost = f" {self.session.waiting} entries are NOT SAVED and would be written elsewhere if they can be."
            lines.append(Content.styled(lost, "bold $danger"))
        lines.append(Content.styled(" The session stays open and can be resumed at this step.", "$text"))
        lines.append(Content(""))
        lines.append(
            Content.assemble(
                (" Y", "bold $focus"),
                (" leave    ", "$text"),
                ("Esc", "bold $focus"),
                (" stay    ", "$text"),
                ("G", "bold $focus"),
                (" give the session up for good (asks why)", "$text"),
            )
        )
        return Content("\n").join(lines)

    def action_choose(self, choice: str) -> None:
        self.dismiss(choice)
