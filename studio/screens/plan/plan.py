"""The keys that add, take out and change colours and bands."""

from __future__ import annotations

from collections.abc import Callable

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input, Static

from studio.plan import layout as layout_edit
from studio.plan.draft.edits import Place
from studio.plan.model import LayoutPlan
from studio.screens.keyed import Card, KeyLine, app_of
from studio.screens.plan.ahead import UnsavedEdits
from studio.screens.plan.rows import BandRow, FieldRow, Row
from studio.screens.plan.typing import TypingKeys
from studio.screens.worksheet import ask_to_begin
from studio.services.plan_files import ChangedMeanwhile
from studio.services.plans import WorkedPlan
from studio.services.refusal import refusal_text
from studio.trouble import Trouble

NO_BANDS = "There are no bands that keys could change; Enter types them."
FIRST_BAND = 1
"""The row of the first band: the typed line stands above it."""


class BandKeys(TypingKeys):
    """A adds, X takes out; on a band plus and minus, V and T as well."""

    def action_add(self) -> None:
        if self.here.table == "layout":
            self._on_band(layout_edit.inserted, move=1)
            return
        self.finish_typing()
        added: list[Place] = []
        self.attempt(lambda: added.append(self.draft.add_colour()))
        if added:
            self.go_to(added[0])
            self.notice = "Name its dye; the new colour has its band in the layout."
            self.redraw()

    def action_take_out(self) -> None:
        row = self.row()
        if self.here.table == "layout":
            self._on_band(layout_edit.deleted)
        elif isinstance(row, FieldRow) and row.place.row is not None:
            self._take_colour_out(row.place.row)

    def action_clear(self) -> None:
        row = self.row()
        if isinstance(row, BandRow):
            self.action_take_out()
        elif isinstance(row, FieldRow):
            self.attempt(lambda: self.draft.put(row.place, ""))

    def _take_colour_out(self, number: int) -> None:
        if len(self.draft.colour_names()) < 2:
            self.notice = "A plan has one colour at least; this is its only one."
            self.redraw()
            return
        self.attempt(lambda: self.draft.remove_colour(number))
        self.go_to(Place("colour", max(0, number - 1), "name"))
        self.notice = self.notice or "Taken out; its bands are bare now. {plan.undo} brings it back."
        self.redraw()

    def action_wider(self, by: int) -> None:
        self._on_band(lambda layout, index: layout_edit.widened(layout, index, by))

    def action_recolour(self) -> None:
        names = [name for name in self.draft.colour_names() if name]
        self._on_band(lambda layout, index: layout_edit.recoloured(layout, index, names))

    def action_fill(self) -> None:
        layout = self.draft.layout()
        if layout is not None:
            self.attempt(lambda: self.draft.set_layout(layout_edit.filling(layout)))

    def _on_band(self, change: Callable[[LayoutPlan, int], LayoutPlan], move: int = 0) -> None:
        """Change the chosen band; with none chosen, the first one is."""
        row: Row | None = self.row()
        layout: LayoutPlan | None = self.draft.layout()
        if layout is None:
            self.notice = NO_BANDS
            self.redraw()
            return
        if not isinstance(row, BandRow):
            self.cursor = FIRST_BAND
            self.redraw()
            return
        self.attempt(lambda: self.draft.set_layout(change(layout, row.index)))
        if move:
            self.cursor += move
            self.redraw()


# Saving a plan, keeping what is not saved, and the ways from it: worksheet, forecast, bench, back.
class SavingKeys(BandKeys):
    """S saves; nothing that was typed is lost by leaving, by a kill or by another program's change."""

    _not_kept = ""
    """What was said when unsaved edits could not be written down; it goes when they are."""

    @on(UnsavedEdits.Tried)
    def _edits_tried(self, tried: UnsavedEdits.Tried) -> None:
        if tried.problem or (self._not_kept and self.notice == self._not_kept):
            self.notice = tried.problem
            self.redraw()
        self._not_kept = tried.problem

    # -- saving ----------------------------------------------------------------------------------

    def action_save(self) -> None:
        self.save()

    def save(self, *, over: bool = False) -> bool:
        """Write the plan; True when it is on disk. Asks where the file was changed by something else."""
        self.finish_typing()
        try:
            self.file = self.services.plan_files.save(self.file, self.draft.text, over=over)
        except ChangedMeanwhile as problem:
            self.app.push_screen(ChangedCard(str(problem)), self._after_changed)
            return False
        except Trouble as problem:
            self.notice = str(problem)
            self.redraw()
            return False
        self.unsaved.forget()
        self.notice = f"Saved as {self.file.name}."
        self.redraw()
        return True

    def _after_changed(self, key: str | None) -> None:
        if key == "a":
            self._save_as()
        elif key == "o":
            self.save(over=True)

    def _save_as(self) -> None:
        title = self.draft.data.get("title")
        try:
            old = self.file
            name = title if isinstance(title, str) else old.name
            self.file = self.services.plan_files.save_as(name, self.draft.text)
            self.services.plan_files.forget_unsaved(old)
        except Trouble as problem:
            self.notice = str(problem)
        else:
            self.unsaved.forget()
            self.notice = f"Saved as {self.file.name}; the other file is as it was."
        self.redraw()

    # -- unsaved edits of an earlier time ----------------------------------------------------------

    def offer_unsaved(self) -> None:
        """Ask what shall become of them."""
        told = f"{self.file.name} has edits of {self.file.unsaved_since} that were never saved."
        self.app.push_screen(UnsavedCard(told), self._after_offer)

    def _after_offer(self, key: str | None) -> None:
        if key == "t":
            self.draft.take_up(self.file.unsaved)
            self.notice = "Taken up; {plan.undo} goes back to the file as it was saved."
        else:
            self.draft.hold_ready(self.file.unsaved)
            self.notice = "This is the file as it was saved; {plan.redo} brings the edits back."
        self.redraw()

    # -- onwards ---------------------------------------------------------------------------------

    def action_forecast(self) -> None:
        from studio.screens.forecast import ForecastScreen

        if not self._can_go_on():
            return
        try:
            foreseen = self.services.foresee_text(self.draft.text)
        except Trouble as problem:
            self.notice = refusal_text(problem)
            self.redraw()
            return
        self.app.push_screen(ForecastScreen(foreseen))

    def action_worksheet(self) -> None:
        from studio.screens.worksheet import WorksheetScreen

        worked = self._worked()
        if worked is not None and (self.is_saved or self.save()):
            self.app.push_screen(WorksheetScreen(self.services, worked))

    def action_begin(self) -> None:
        """To the pot, once nothing stops it; the plan is saved first."""
        worked = self._worked()
        if worked is None:
            return
        if worked.worksheet.stops:
            self.action_caution()
            return
        if not self.is_saved and not self.save():
            return
        ask_to_begin(self, self.services, worked, instead=True)

    def _can_go_on(self) -> bool:
        """Whether the plan can be worked out as it stands; goes to what is wrong where it cannot."""
        self.finish_typing()
        if self.draft.trouble is not None:
            self.action_caution()
            return False
        return True

    def _worked(self) -> WorkedPlan | None:
        sheet = self.draft.worksheet
        if not self._can_go_on() or sheet is None:
            return None
        return WorkedPlan(self.file.key, self.draft.text, sheet)

    def action_leave(self) -> None:
        if self.leave_field():
            return
        if self.is_saved:
            self.unsaved.forget()
            self.dismiss()
            return
        self.app.push_screen(
            LeavingCard(f"{self.file.name} has edits that are not saved."), self._after_leaving
        )

    def _after_leaving(self, key: str | None) -> None:
        if key == "s":
            if self.save():
                app_of(self).say(f"Saved as {self.file.name}.")
                self.dismiss()
        elif key == "k":
            self.unsaved.keep_now(self.file, self.draft.text)
            self.dismiss()


class ChangedCard(Card, where="changed"):
    """The file is not what it was when it was read."""


class UnsavedCard(Card, where="unsaved"):
    """Edits of an earlier time."""


class LeavingCard(Card, where="leaving"):
    """Edits that would be left behind."""


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
