"""Typing into a field of the plan, moving between fields, and the way back and forth."""

from __future__ import annotations

from collections.abc import Callable

from textual import on
from textual.widgets import Input

from studio.plan.draft.draft import completed, matches, names_for
from studio.plan.draft.edits import Place
from studio.plan.errors import PlanError
from studio.screens.plan.rows import BandRow, FieldRow
from studio.screens.plan.view import PlanView

MOST_OFFERS = 4


class TypingKeys(PlanView):
    """Figures follow every key; Enter, up or down keep what was typed, Esc leaves it as it was."""

    def action_move(self, by: int) -> None:
        if self._typing is None:
            self.cursor = (self.cursor + by) % max(1, len(self.rows()))
            self.moved()
            return
        name = self.first_offer()
        if by > 0 and name:
            self._complete(name)
            return
        self.take()
        self.cursor = (self.cursor + by) % max(1, len(self.rows()))
        self.redraw()

    def action_turn(self, by: int) -> None:
        if self._typing is not None:
            self.take()
            self.cursor = (self.cursor + by) % max(1, len(self.rows()))
        else:
            self.section = (self.section + by) % len(self.sections)
            self.cursor = 0
        self.moved()

    def action_edit(self) -> None:
        row = self.row()
        if isinstance(row, BandRow):
            self.cursor = 0
            row = self.row()
        if not isinstance(row, FieldRow):
            return
        self._typing, self.notice = row, ""
        box = self.query_one("#plan-text", Input)
        with box.prevent(Input.Changed):
            box.value = row.value
        box.cursor_position = len(row.value)
        self._offers = self._offered(row, row.value)
        self.query_one("#plan-line").display = True
        self.redraw()
        box.focus()

    @on(Input.Changed, "#plan-text")
    def _typed(self, event: Input.Changed) -> None:
        if self._typing is None:
            return
        try:
            self.draft.type(self._typing.place, event.value)
        except PlanError as problem:
            self.notice = str(problem)
        self._offers = self._offered(self._typing, event.value)
        self.changed()

    @on(Input.Submitted, "#plan-text")
    def _submitted(self) -> None:
        """Take it and go on to the next field; where it is wrong, stay and say why."""
        if self._typing is None:
            return
        place, trouble = self._typing.place, self.draft.trouble
        self.take()
        if trouble is None or trouble.place != place:
            self.cursor = min(self.cursor + 1, len(self.rows()) - 1)
        self.redraw()

    def take(self) -> None:
        """What was typed becomes part of the plan, right or wrong; nothing typed is lost."""
        self.draft.keep()
        self.notice = self.draft.notice or self.notice
        self._close()

    def finish_typing(self) -> None:
        """The same, where something is being typed."""
        if self._typing is not None:
            self.take()

    def leave_field(self) -> bool:
        """Leave the field as it was; whether one was being typed into."""
        if self._typing is None:
            return False
        self.draft.drop()
        self._close()
        self.changed()
        return True

    def _close(self) -> None:
        self._typing, self._offers = None, []
        self.query_one("#plan-line").display = False
        self.set_focus(None)

    def _offered(self, row: FieldRow, typed: str) -> list[str]:
        return matches(row.field, typed, names_for(self.draft, row.field))[:MOST_OFFERS]

    def _complete(self, name: str) -> None:
        if self._typing is None:
            return
        box = self.query_one("#plan-text", Input)
        box.value = completed(self._typing.field, box.value, name)
        box.cursor_position = len(box.value)

    def filled(self) -> bool:
        """Whether there is something to leave out where the cursor is."""
        row = self.row()
        return isinstance(row, BandRow) or (isinstance(row, FieldRow) and bool(row.value))

    def undoable(self) -> bool:
        """Whether a change can be taken back."""
        return bool(self.draft.undos)

    def redoable(self) -> bool:
        """Whether one can be made again."""
        return bool(self.draft.redos)

    def action_undo(self) -> None:
        self._back(self.draft.undo)

    def action_redo(self) -> None:
        self._back(self.draft.redo)

    def _back(self, step: Callable[[], Place | None]) -> None:
        if self._typing is not None:
            self._close()
        self.go_to(step())
        self.notice = ""
        self.changed()
