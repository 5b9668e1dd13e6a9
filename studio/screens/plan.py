"""The plan screen: fields on the left, what they come to on the right, worked out anew at every key."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input, Static

from studio.plan.colour_looks import Look
from studio.plan.draft import PlanDraft
from studio.plan.draft_places import place_of
from studio.plan.shapes import Caution
from studio.screens.keyed import KeyLine
from studio.screens.plan_bands import BandKeys
from studio.screens.plan_rows import (
    FieldRow,
    cautions_of,
    figures_of,
)
from studio.screens.plan_saving import SavingKeys
from studio.screens.plan_typing import TypingKeys

if TYPE_CHECKING:
    from studio.services.plan_files import PlanFile
    from studio.services.studio import Services


class PlanScreen(TypingKeys, BandKeys, SavingKeys, where="plan"):
    """Up and down choose a field, left and right a section, Enter types into it."""

    AUTO_FOCUS = ""
    FIELD = "typing"

    def __init__(self, services: Services, file: PlanFile) -> None:
        """Trouble where the file is no TOML, so that it has no fields."""
        super().__init__()
        self.services = services
        self.file = file
        self.draft = PlanDraft(file.text, services.plan_files.shelf, name=file.name)
        self.section = 0
        self.cursor = 0
        self.notice = ""
        self.looks: dict[str, Look] = {}
        self._chosen_caution: Caution | None = None
        self._typing: FieldRow | None = None
        self._offers: list[str] = []

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
        yield KeyLine()

    def on_mount(self) -> None:
        self.query_one("#plan-line").display = False
        self.call_after_refresh(self.redraw)
        if self.file.unsaved:
            self.call_after_refresh(self.offer_unsaved)

    def on_resize(self) -> None:
        self.call_after_refresh(self.redraw)

    def action_caution(self) -> None:
        """The next thing that is wrong or to be known, and the field it leads to."""
        trouble = self.draft.trouble
        if trouble is not None:
            self.notice = trouble.sentence
            self.go_to(trouble.place)
            self.redraw()
            return
        sheet = self.draft.worksheet
        cautions = list(sheet.cautions) if sheet else []
        if not cautions:
            self.notice = "There is nothing to look out for."
            self.redraw()
            return
        at = cautions.index(self._chosen_caution) if self._chosen_caution in cautions else -1
        caution = cautions[(at + 1) % len(cautions)]
        self.go_to(place_of(caution.where, self.draft.data))
        self._chosen_caution = caution
        leads = "" if caution.where else " It leads to no single field."
        self.notice = f"{(at + 1) % len(cautions) + 1} of {len(cautions)}, {caution.level}.{leads}"
        self.redraw()
        self.query_one("#plan-side", VerticalScroll).scroll_home(animate=False)

    def action_why(self) -> None:
        from studio.screens.why import WhyScreen

        sheet = self.draft.worksheet
        if sheet is not None:
            figures = figures_of(self.here, sheet, self._colour())
            pressing = [c for c in sheet.cautions if c.level != "note"]
            own = [c for c in cautions_of(self.here, sheet) if c not in pressing]
            self.app.push_screen(WhyScreen(figures or sheet.figures, [*pressing, *own]))

    def changed(self) -> None:
        """The text is another one: keep it safe, show it."""
        self.keep_safe()
        self.redraw()
