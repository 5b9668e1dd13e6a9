"""A day of several plans and pieces: how many of each, and one order of work for two hands."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import TYPE_CHECKING

from textual import on, work
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from studio.methods.day import DaySheet, minute_of_day
from studio.plaintext import clean
from studio.plan.model import MOST_PIECES
from studio.report.day_rows import day_sections, time_of_day
from studio.screens.bench.entry import Entry, Question
from studio.screens.draw.lists import sections_content
from studio.screens.keyed import Keyed, KeyLine, Rows
from studio.trouble import Trouble
from studio.words.table import spoken

if TYPE_CHECKING:
    from studio.services.plans import PlanCard
    from studio.services.studio import Services

NOTHING_YET = (
    " Choose how many of each plan with {day.fewer} and {day.more}; the order of work appears below."
)


class DayScreen(Keyed[None], where="day"):
    """Plans above with their counts, the order of work below."""

    def __init__(self, services: Services) -> None:
        super().__init__()
        self.services = services
        self.plans: list[PlanCard] = []
        self.counts: dict[str, int] = {}
        self.places = 1
        self.start: float | None = None
        self.finish_by: float | None = None
        self.sheet: DaySheet | None = None
        self.with_reasons = False
        self._trouble = ""

    def compose(self) -> ComposeResult:
        yield Static(Content.styled(" A day's work", "bold $text"), id="day-title", markup=False)
        yield Rows(id="day-plans")
        yield Static(id="day-told", markup=False)
        with VerticalScroll(id="sheet"):
            yield Static(id="day-sheet", markup=False)
        yield Entry()
        yield KeyLine()

    def on_mount(self) -> None:
        self.read_plans()

    @work(exclusive=True, group="plans")
    async def read_plans(self) -> None:
        """The plans that can be worked out, read off the drawing loop."""
        try:
            self.plans = [plan for plan in await asyncio.to_thread(self.services.plans) if plan.readable]
        except Trouble as problem:
            self._trouble = str(problem)
        self.redraw()

    @work(exclusive=True, group="order")
    async def lay_out(self) -> None:
        """The order for the present counts; the old one stays on screen until it is found."""
        wanted = [(key, count) for key, count in self.counts.items() if count]
        self._trouble = ""
        if not wanted:
            self.sheet = None
            self.redraw()
            return
        try:
            self.sheet = await asyncio.to_thread(
                lambda: self.services.day(wanted, self.places, start=self.start, finish_by=self.finish_by)
            )
        except Trouble as problem:
            self.sheet, self._trouble = None, str(problem)
        self.redraw()

    def redraw(self) -> None:
        """Counts, what was asked for, and the order of work."""
        rows = self.query_one(Rows)
        rows.fill([Option(self._plan_row(plan), id=plan.key) for plan in self.plans])
        rows.styles.height = max(1, min(len(self.plans), self.size.height // 4))
        self.show("day-told", self._told())
        width = max(40, self.size.width - 6)
        page = Content("")
        if self.sheet is not None:
            page = sections_content(day_sections(self.sheet, width, why=self.with_reasons))
        self.show("day-sheet", page)

    def _plan_row(self, plan: PlanCard) -> Content:
        count = self.counts.get(plan.key, 0)
        room = max(20, self.size.width - 12)
        shown, style = (f"{count} x  ", "bold $due") if count else (" -   ", "$quiet")
        return Content.assemble((shown, style), (clean(plan.title, limit=room), "$text"))

    def _told(self) -> Content:
        if self._trouble:
            return Content.styled(f" {clean(self._trouble, limit=300)}", "$danger")
        if self.sheet is None and not any(self.counts.values()):
            return Content.styled(spoken(NOTHING_YET), "$quiet")
        when = "no time given"
        if self.start is not None:
            when = f"start {time_of_day(self.start)}"
        elif self.finish_by is not None:
            when = f"finish by {time_of_day(self.finish_by)}"
        places = "1 place" if self.places == 1 else f"{self.places} places"
        return Content.styled(f" {places} in the steamer, {when}", "$quiet")

    def action_count(self, by: int) -> None:
        """One piece more or less of the plan that is chosen."""
        chosen = self.query_one(OptionList).highlighted_option
        if chosen is None or chosen.id is None:
            return
        self.counts[chosen.id] = max(0, min(MOST_PIECES, self.counts.get(chosen.id, 0) + by))
        self.redraw()
        self.lay_out()

    def action_places(self) -> None:
        """One place more in the steamer; after eight comes one."""
        self.places = self.places % MOST_PIECES + 1
        self.redraw()
        self.lay_out()

    def action_start(self) -> None:
        self._ask("When do you start? For example 9:00", self._start_at)

    def action_finish(self) -> None:
        self._ask("By when must it be finished? For example 17:00", self._finish_by)

    def _start_at(self, minute: float) -> None:
        self.start, self.finish_by = minute, None

    def _finish_by(self, minute: float) -> None:
        self.start, self.finish_by = None, minute

    def _ask(self, label: str, at: Callable[[float], None]) -> None:
        def take(text: str) -> None:
            at(minute_of_day(text))
            self.lay_out()

        self.query_one(Entry).ask(Question(label, take, "A time"))

    @on(OptionList.OptionSelected)
    def _one_more(self) -> None:
        self.action_count(1)

    def action_why(self) -> None:
        self.with_reasons = not self.with_reasons
        self.redraw()
