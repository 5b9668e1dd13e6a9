"""A finished session again: its weight, its base, what that changes, and a new plan of it."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from pathlib import PurePath
from typing import TYPE_CHECKING

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.timer import Timer
from textual.widgets import Input, Static

from studio.plaintext import clean
from studio.plan.repeat.repeating import Repeated
from studio.report.comparing import repeat_sections
from studio.screens.draw.lists import sections_content
from studio.screens.keyed import Keyed, KeyLine, app_of
from studio.services.repeats import BaseCard
from studio.trouble import Trouble

if TYPE_CHECKING:
    from studio.services.studio import Services
    from studio.session.after.review import ReadSession

AFTER_TYPING_S = 0.15
"""How long typing must pause before it is worked out. House rule."""
SAME_BASE = BaseCard("", "the base it was dyed on")


class BaseChoice(Static, can_focus=True):
    """One base at a time; the arrows turn to the next."""

    class Turned(Message):
        """Another base is chosen."""

    def __init__(self, bases: Sequence[BaseCard]) -> None:
        super().__init__(id="repeat-base", markup=False)
        self.bases = (SAME_BASE, *bases)
        self.at = 0

    @property
    def chosen(self) -> BaseCard:
        """The base that is shown."""
        return self.bases[self.at]

    def turn(self, by: int) -> None:
        """The next base, or the one before."""
        self.at = (self.at + by) % len(self.bases)
        self.draw()
        self.post_message(self.Turned())

    def on_mount(self) -> None:
        self.draw()

    def on_focus(self) -> None:
        self.draw()

    def on_blur(self) -> None:
        self.draw()

    def draw(self) -> None:
        """The base, and what the arrows do while it has the focus."""
        card, here = self.chosen, self.has_focus
        self.update(
            Content.assemble(
                ("> " if here else "  ", "bold $focus"),
                ("on      ", "$quiet"),
                (clean(card.name, limit=60) or "the same base", "bold $focus" if here else "bold $text"),
                (f"   {self.at + 1} of {len(self.bases)}, left and right" if here else "", "$quiet"),
            )
        )


class RepeatScreen(Keyed[None], where="repeat"):
    """What stays and what is worked out anew, while weight and base are tried; Enter saves a new plan."""

    AUTO_FOCUS = "#repeat-weight"
    FIELD = "repeat"

    def __init__(self, services: Services, key: str, read: ReadSession) -> None:
        super().__init__()
        self.services = services
        self.key = key
        self.read = read
        self.repeated: Repeated | None = None
        """None while it is worked out, or where it cannot be."""
        self.trouble = ""
        self._soon: Timer | None = None

    def compose(self) -> ComposeResult:
        yield Static(id="repeat-title", markup=False)
        with Horizontal(id="repeat-line"):
            yield Static(Content.styled("  weight  ", "$quiet"), id="repeat-label", markup=False)
            yield Input(id="repeat-weight", placeholder="as it was; or 150 g", compact=True)
        yield BaseChoice(self.services.bases())
        yield Static(id="repeat-about", markup=False)
        with VerticalScroll(id="sheet"):
            yield Static(id="page", markup=False)
        yield KeyLine()

    def on_mount(self) -> None:
        self.work_out()

    def on_resize(self) -> None:
        self.call_after_refresh(self.redraw)

    @on(Input.Changed)
    def _typed(self) -> None:
        self.repeated = None  # Enter must not save what no longer stands in the line.
        if self._soon is not None:
            self._soon.stop()
        self._soon = self.set_timer(AFTER_TYPING_S, self.work_out)

    @on(BaseChoice.Turned)
    def _turned(self) -> None:
        self.repeated = None
        self.work_out()

    @work(exclusive=True)
    async def work_out(self) -> None:
        """The repeat for what stands in the two lines."""
        await self._work_out()

    async def _work_out(self) -> None:
        weight, base = self.query_one(Input).value, self.query_one(BaseChoice).chosen.name
        try:
            self.repeated = await asyncio.to_thread(self.services.repeated, self.key, weight, base)
            self.trouble = ""
        except Trouble as problem:
            self.repeated, self.trouble = None, str(problem)
        self.redraw()

    def redraw(self) -> None:
        """Everything at the present width."""
        width = max(40, self.size.width - 3)
        title = clean(self.read.state.title, limit=max(10, width - 30))
        self.query_one("#repeat-title", Static).update(
            Content.assemble((f" Repeat  {title}", "bold $text"), ("   as it was really done", "$quiet"))
        )
        about = self.query_one(BaseChoice).chosen.about
        told = self.trouble or about
        self.query_one("#repeat-about", Static).update(
            Content.styled(f"          {clean(told, limit=300)}", "$danger" if self.trouble else "$quiet")
        )
        page = self.query_one("#page", Static)
        if self.repeated is not None:
            sections = repeat_sections(self.read.state.worksheet, self.repeated, width)
            page.update(sections_content(sections))
        elif self.trouble:
            page.update("")

    def on_base(self) -> bool:
        """Whether the arrows turn the base."""
        return self.query_one(BaseChoice).has_focus

    def action_turn(self, by: int) -> None:
        self.query_one(BaseChoice).turn(by)

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        self.action_save()

    @work(exclusive=True)
    async def action_save(self) -> None:
        """Save it under a name of its own and open its worksheet."""
        from studio.screens.worksheet import WorksheetScreen

        if self.repeated is None:
            await self._work_out()
        if self.repeated is None:
            app_of(self).say(self.trouble, bad=True)
            return
        try:
            key = self.services.save_repeat(self.repeated)
            worked = self.services.work_out(key)
        except Trouble as problem:
            app_of(self).say(str(problem), bad=True)
            return
        app_of(self).say(f"Saved as {PurePath(key).name} among the plans of the shelf.")
        self.app.switch_screen(WorksheetScreen(self.services, worked))
