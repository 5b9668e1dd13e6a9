"""The plan screen: fields on the left, what they come to on the right, worked out anew at every key."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input, Static

from studio.screens.keyed import KeyLine
from studio.screens.plan.saving import SavingKeys


class PlanScreen(SavingKeys, where="plan"):
    """Up and down choose a field, left and right a section, Enter types into it."""

    AUTO_FOCUS = ""
    FIELD = "typing"

    def compose(self) -> ComposeResult:
        yield Static(id="plan-title", markup=False)
        yield Static(id="plan-strip", markup=False)
        with Horizontal(id="plan-body"):
            with Vertical(id="plan-fields"):
                yield Static(id="plan-above", markup=False)
                with Horizontal(id="plan-line"):
                    yield Static(id="plan-label", markup=False)
                    yield Input(id="plan-text", compact=True)
                yield Static(id="plan-below", markup=False)
            with VerticalScroll(id="plan-side", can_focus=False):
                yield Static(id="plan-figures", markup=False)
        yield self.ahead
        yield self.unsaved
        yield KeyLine()

    def on_mount(self) -> None:
        self.query_one("#plan-line").display = False
        self.call_after_refresh(self.redraw)
        if self.file.unsaved:
            self.call_after_refresh(self.offer_unsaved)

    def on_resize(self) -> None:
        self.call_after_refresh(self.redraw)
