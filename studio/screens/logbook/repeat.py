"""A finished session again: its weight, its base, what that changes, and a new plan of it."""

from __future__ import annotations

import asyncio
from pathlib import PurePath
from typing import TYPE_CHECKING

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.timer import Timer
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from studio.plaintext import clean
from studio.plan.repeat.repeating import Repeated
from studio.report.comparing import repeat_sections
from studio.screens.draw.lists import heading, sections_content
from studio.screens.keyed import Keyed, KeyLine, app_of
from studio.screens.rows import Rows
from studio.services.repeats import BaseCard, base_cards, repeat_session_as
from studio.trouble import Trouble

if TYPE_CHECKING:
    from studio.services.studio import Services
    from studio.session.after.review import ReadSession

AFTER_TYPING_S = 0.15
"""How long typing must pause before it is worked out. House rule."""
SAME_BASE = BaseCard("", "the base it was dyed on")


class RepeatScreen(Keyed[None], where="repeat"):
    """What stays and what is worked out anew, while weight and base are tried; Enter saves a new plan."""

    AUTO_FOCUS = "#repeat-weight"
    FIELD = "repeat"

    def __init__(self, services: Services, read: ReadSession) -> None:
        super().__init__()
        self.services = services
        self.read = read
        self.bases = (SAME_BASE, *base_cards(services.shelf))
        self.repeated: Repeated | None = None
        """None while it is worked out, or where it cannot be."""
        self.trouble = ""
        self._soon: Timer | None = None

    def compose(self) -> ComposeResult:
        yield Static(id="repeat-title", markup=False)
        with Horizontal(id="repeat-line"):
            yield Static(Content.styled("  weight  ", "$quiet"), id="repeat-label", markup=False)
            yield Input(id="repeat-weight", placeholder="as it was; or 150 g", compact=True)
        names = (clean(base.name, limit=60) or "the same base" for base in self.bases)
        yield Rows(*(Option(Content.styled(f"on      {name}", "$text")) for name in names), id="repeat-bases")
        yield Static(id="repeat-about", markup=False)
        with VerticalScroll(id="sheet"):
            yield Static(id="page", markup=False)
        yield KeyLine()

    def on_mount(self) -> None:
        self.query_one(Rows).action_first()

    @on(Input.Changed)
    def _typed(self) -> None:
        self.repeated = None  # Enter must not save what no longer stands in the line.
        self.workers.cancel_group(self, "default")
        if self._soon is not None:
            self._soon.stop()
        self._soon = self.set_timer(AFTER_TYPING_S, self.work_out)

    @on(OptionList.OptionHighlighted)
    def _other_base(self) -> None:
        self.repeated = None
        self.work_out()

    @on(OptionList.OptionSelected)
    def _chosen(self) -> None:
        self.action_save()

    @property
    def base(self) -> BaseCard:
        """The one under the bar."""
        return self.bases[self.query_one(Rows).highlighted or 0]

    @work(exclusive=True)
    async def work_out(self) -> None:
        """The repeat for what stands in the two lines."""
        await self._work_out()

    async def _work_out(self) -> None:
        weight, base = self.query_one(Input).value, self.base.name
        name, state, shelf = self.read.name, self.read.state, self.services.shelf
        try:
            self.repeated = await asyncio.to_thread(repeat_session_as, name, state, shelf, weight, base)
            self.trouble = ""
        except Trouble as problem:
            self.repeated, self.trouble = None, str(problem)
        self.redraw()

    def redraw(self) -> None:
        """Everything at the present width."""
        width = max(40, self.size.width - 3)
        title = clean(self.read.state.title, limit=max(10, width - 30))
        self.show("repeat-title", heading(f"Repeat  {title}", "from what you did"))
        told = clean(self.trouble or self.base.about, limit=300)
        style = "$danger" if self.trouble else "$quiet"
        self.show("repeat-about", Content.styled(f"          {told}", style))
        if self.repeated is not None:
            sections = repeat_sections(self.read.state.worksheet, self.repeated, width)
            self.show("page", sections_content(sections, self.size.width - 1))
        elif self.trouble:
            self.show("page", Content(""))

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        self.action_save()

    @work(exclusive=True, group="save")
    async def action_save(self) -> None:
        """Save it under a name of its own and open its worksheet."""
        from studio.screens.worksheet import WorksheetScreen

        if self.repeated is None:
            await self._work_out()
        if self.repeated is None:
            app_of(self).say(self.trouble, bad=True)
            return
        with self.telling():
            key = self.services.save_repeat(self.repeated)
            worked = self.services.work_out(key)
            app_of(self).say(f"Saved as {PurePath(key).name} among the plans of the shelf.")
            self.app.switch_screen(WorksheetScreen(self.services, worked))
