"""A plan's file: saved, never over another program's change; what is not saved is kept beside it."""

from __future__ import annotations

import asyncio
from contextlib import suppress
from typing import TYPE_CHECKING

from textual import work
from textual.message import Message
from textual.timer import Timer
from textual.widget import Widget

from studio.plan.draft.draft import PlanDraft
from studio.screens.keyed import question
from studio.services.plan_files import ChangedMeanwhile
from studio.trouble import Trouble

if TYPE_CHECKING:
    from studio.services.plan_files import PlanFile, PlanFiles

RESTS_S = 0.3
"""Unsaved edits are written down, and hues and the forecast worked out, once the keys rest so long. House rule."""
AGAIN_S = 1.0
"""Where that failed, it is tried again after so long. House rule."""


class Saving(Widget):
    """Nothing that was typed is lost by leaving, by a kill or by another program's change; it shows nothing itself."""

    DEFAULT_CSS = "Saving { display: none; }"

    class Said(Message):
        """What became of it; the draft may hold another text."""

        def __init__(self, sentence: str, instead: str = "") -> None:
            """`instead`: only where that is what was said last."""
            super().__init__()
            self.sentence = sentence
            self.instead = instead

    def __init__(self, files: PlanFiles, file: PlanFile, draft: PlanDraft) -> None:
        super().__init__()
        self.files = files
        self.file = file
        self.draft = draft
        self._seen = file.text
        self._rest: Timer | None = None
        self._writing = asyncio.Lock()
        self._kept: str | None = None
        self._not_kept = ""
        """What was said when unsaved edits could not be written down; it goes when they are."""

    @property
    def is_saved(self) -> bool:
        """Whether the file holds what is shown."""
        return self.draft.text == self.file.text

    @property
    def is_unkept(self) -> bool:
        """Whether unsaved edits could not be written beside the plan."""
        return bool(self._not_kept)

    def save(self, *, over: bool = False) -> bool:
        """Write the plan; True when it is on disk. Asks where the file was changed by something else."""
        try:
            self.file = self.files.save(self.file, self.draft.text, over=over)
        except ChangedMeanwhile as problem:
            self.app.push_screen(question("changed", str(problem)), self._after_changed)
            return False
        except Trouble as problem:
            self.post_message(self.Said(str(problem)))
            return False
        self.forget()
        self.post_message(self.Said(f"Saved as {self.file.name}."))
        return True

    def _after_changed(self, answer: str | None) -> None:
        if answer == "a":
            self._save_as()
        elif answer == "o":
            self.save(over=True)

    def _save_as(self) -> None:
        title, old = self.draft.data.get("title"), self.file
        try:
            self.file = self.files.save_as(title if isinstance(title, str) else old.name, self.draft.text)
            self.files.forget_unsaved(old)
        except Trouble as problem:
            self.post_message(self.Said(str(problem)))
            return
        self.forget()
        self.post_message(self.Said(f"Saved as {self.file.name}; the other file is as it was."))

    # -- what is not saved -------------------------------------------------------------------------

    def offer_unsaved(self) -> None:
        """Ask what shall become of the edits of an earlier time, if there are any."""
        if self.file.unsaved:
            told = f"{self.file.name} has edits of {self.file.unsaved_since} that were never saved."
            self.app.push_screen(question("unsaved", told), self._after_offer)

    def _after_offer(self, answer: str | None) -> None:
        if answer == "t":
            self.draft.take_up(self.file.unsaved)
            self.post_message(self.Said("Taken up; {plan.undo} goes back to the file as it was saved."))
        else:
            self.draft.hold_ready(self.file.unsaved)
            self.post_message(
                self.Said("This is the file as it was saved; {plan.redo} brings the edits back.")
            )

    def keep(self) -> None:
        """Write the text beside the file once the keys rest, where it is another one."""
        if self.draft.text != self._seen:
            self._seen = self.draft.text
            self._keep_after(RESTS_S)

    def _keep_after(self, rests_s: float) -> None:
        if self._rest is not None:
            self._rest.stop()
        self._rest = self.set_timer(rests_s, self._rested)

    @work(group="unsaved")
    async def _rested(self) -> None:
        await self.keep_now()

    def forget(self) -> None:
        """The file holds them, or they are not wanted."""
        self._kept = None
        if self._rest is not None:
            self._rest.stop()

    def keep_at_once(self) -> None:
        """Without waiting for the keys to rest: the program ends. What was kept earlier and not taken up stays."""
        if not self.is_saved:
            with suppress(Trouble):
                self.files.keep_unsaved(self.file, self.draft.text)

    async def keep_now(self) -> bool:
        """Write them now, off the drawing loop, one after the other; whether no edit can be lost."""
        async with self._writing:
            text = self.draft.text
            try:
                if self.is_saved:
                    await asyncio.to_thread(self.files.forget_unsaved, self.file)
                elif text != self._kept:
                    await asyncio.to_thread(self.files.keep_unsaved, self.file, text)
            except Trouble as problem:
                self._keep_after(AGAIN_S)
                then = "{plan.leave}, then {leaving.give_up}, gives them up."
                self._not_kept = f"Unsaved edits cannot be kept: {problem} {then}"
                self.post_message(self.Said(self._not_kept))
                return False
        self._kept = text
        if self._not_kept:
            self.post_message(self.Said("", instead=self._not_kept))
            self._not_kept = ""
        return True
