"""What the parts of the plan screen share: the draft in hand, where the cursor stands, what was said."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from studio.plan.draft import PlanDraft
from studio.plan.errors import PlanError
from studio.screens.keyed import Keyed
from studio.screens.plan_rows import Row

if TYPE_CHECKING:
    from studio.services.plan_files import PlanFile
    from studio.services.studio import Services


class PlanBase(Keyed[None]):
    """Base of the plan screen's parts."""

    services: Services
    file: PlanFile
    draft: PlanDraft
    cursor: int
    notice: str
    """One sentence; the next change of place clears it."""

    @property
    def is_saved(self) -> bool:
        """Whether the file holds what is shown."""
        return self.draft.text == self.file.text

    def action_take_out(self) -> None:
        """Take out the colour or the band that is chosen."""
        raise NotImplementedError

    def row(self) -> Row | None:
        """The chosen row."""
        raise NotImplementedError

    def tell(self, sentence: str) -> None:
        """In the line for it."""
        self.notice = sentence
        self.redraw()

    def redraw(self) -> None:
        """Show everything as it stands."""
        raise NotImplementedError

    def changed(self) -> None:
        """The text is another one: keep it safe, show it."""
        raise NotImplementedError

    def finish_typing(self) -> None:
        """What is being typed becomes part of the plan."""
        raise NotImplementedError

    def action_caution(self) -> None:
        """Go where something is wrong."""
        raise NotImplementedError

    def attempt(self, change: Callable[[], object]) -> None:
        """Carry out a change; where the file cannot be edited that way, say so."""
        self.notice = ""
        try:
            change()
        except PlanError as problem:
            self.draft.drop()
            self.notice = str(problem)
        self.changed()
