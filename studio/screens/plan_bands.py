"""The keys that add, take out and change colours and bands."""

from __future__ import annotations

from collections.abc import Callable

from studio.plan import layout_edit
from studio.plan.draft_places import Place
from studio.plan.model import LayoutPlan
from studio.screens.plan_rows import BandRow, FieldRow, Row
from studio.screens.plan_typing import TypingKeys

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
