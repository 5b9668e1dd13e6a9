"""The why panel: the equation, the origin and the source behind what the bench shows."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from studio.plan.shapes import Caution, Figure
from studio.screens.draw.worksheet import caution_lines, why
from studio.screens.keyed import KeyedModal, KeyLine


class WhyScreen(KeyedModal[None], where="why"):
    """Figures and cautions, each in full."""

    def __init__(self, figures: Sequence[Figure], cautions: Sequence[Caution]) -> None:
        super().__init__()
        self.figures = figures
        self.cautions = cautions

    def compose(self) -> ComposeResult:
        with VerticalScroll(classes="card"):
            yield Static(id="why-text", markup=False)
        yield KeyLine()

    def on_mount(self) -> None:
        self.call_after_refresh(self.redraw)

    def on_resize(self) -> None:
        self.call_after_refresh(self.redraw)

    def redraw(self) -> None:
        """The text at the present width."""
        self.query_one("#why-text", Static).update(self._content(max(30, self.size.width - 3)))
        self.query_one(VerticalScroll).focus()

    def _content(self, width: int) -> Content:
        parts: list[Content] = [why(f, width) for f in self.figures]
        parts.extend(line for c in self.cautions for line in caution_lines(c, width, with_source=True))
        if not parts:
            parts.append(
                Content.styled(" This step stands on no figure and no caution of its own.", "$quiet")
            )
        return Content("\n").join(parts)
