"""Edits of a plan that are not saved: kept beside its file, so that no kill and no other program loses them."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from textual import work
from textual.message import Message
from textual.timer import Timer
from textual.widget import Widget

from studio.trouble import Trouble

if TYPE_CHECKING:
    from studio.services.plan_files import PlanFile
    from studio.services.studio import Services

RESTS_S = 0.3
"""Unsaved edits are written down once the keys rest for so long. House rule."""
AGAIN_S = 1.0
"""Where that failed, it is tried again after so long. House rule."""


class UnsavedEdits(Widget):
    """Writes them down at a distance, and shows nothing itself."""

    DEFAULT_CSS = "UnsavedEdits { display: none; }"

    class Tried(Message):
        """They were written down; or `problem` says why not, and it is tried again."""

        def __init__(self, problem: str = "") -> None:
            super().__init__()
            self.problem = problem

    def __init__(self, services: Services) -> None:
        super().__init__()
        self.services = services
        self._rest: Timer | None = None
        self._kept_text: str | None = None

    def keep(self, file: PlanFile, text: str, rests_s: float = RESTS_S) -> None:
        """Write the text beside the file, once the keys rest."""
        if self._rest is not None:
            self._rest.stop()
        self._rest = self.set_timer(rests_s, lambda: self.keep_now(file, text))

    def forget(self) -> None:
        """The file holds them, or they are not wanted."""
        self._kept_text = None
        if self._rest is not None:
            self._rest.stop()

    @work(exclusive=True, group="unsaved")
    async def keep_now(self, file: PlanFile, text: str) -> None:
        """Write them now, off the drawing loop."""
        files = self.services.plan_files
        if text == self._kept_text:
            return
        try:
            if text == file.text:
                await asyncio.to_thread(files.forget_unsaved, file)
            else:
                await asyncio.to_thread(files.keep_unsaved, file, text)
        except Trouble as problem:
            self.keep(file, text, AGAIN_S)
            self.post_message(self.Tried(f"Unsaved edits cannot be kept: {problem}"))
        else:
            self._kept_text = text
            self.post_message(self.Tried())
