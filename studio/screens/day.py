"""A day of several plans and pieces: how many of each, and one order of work for two hands."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from textual import on, work
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from studio.methods.day import DaySheet, minute_of_day
from studio.plaintext import clean, counted
from studio.plan.model import MOST_PIECES
from studio.plan.preview import main_hue
from studio.report.day_rows import CHART, LEAST_CHART, day_line, day_sections, time_of_day
from studio.report.printing import WIDEST
from studio.screens.bench.entry import Entry
from studio.screens.draw.clocks import day_page
from studio.screens.draw.keys import wrapped
from studio.screens.draw.lists import row_content, sections_content, short_strip
from studio.screens.keyed import Keyed, KeyLine, app_of
from studio.screens.rows import Rows
from studio.trouble import Trouble
from studio.words.actions import Question
from studio.words.table import spoken

if TYPE_CHECKING:
    from studio.services.plans import PlanCard
    from studio.services.studio import Services

NOTHING_YET = (
    "  Choose how many of each plan with {day.fewer} and {day.more}; the order of work appears below."
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
        self.walked = 0
        """Number of the task that is looked at."""
        self._hues: tuple[str, ...] = ()
        """The main colour of each plan of the day, in the order it was laid out."""
        self._trouble = ""

    def compose(self) -> ComposeResult:
        yield Static(Content.styled("  A day's work", "bold $text"), id="day-title", markup=False)
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
        bands = {plan.key: plan.bands for plan in self.plans}
        self._hues = tuple(main_hue(bands[key]) for key, _ in wanted)
        self.walked = 0
        self.redraw()

    def redraw(self) -> None:
        """Counts, what was asked for, and the order of work."""
        rows = self.query_one(Rows)
        rows.fill([Option(self._plan_row(plan), id=plan.key) for plan in self.plans])
        rows.styles.height = max(1, min(len(self.plans), self.size.height // 4))
        self.show("day-told", self._told())
        self.show("day-sheet", self._page() if self.sheet is not None else Content(""))

    def _page(self) -> Content:
        """The day as bars, the task that is looked at, then the order of work."""
        sheet, width, glyphs = self.sheet, max(40, self.size.width - 4), app_of(self).glyphs
        assert sheet is not None
        told = day_sections(sheet, min(width, WIDEST) - 2, why=self.with_reasons)
        if width < LEAST_CHART:
            return sections_content(told, self.size.width - 1)
        sections = [section for section in told if section.name != CHART]
        tasks = (line.task for line in sheet.lines)
        hues = {task.who: self._hues[task.lots[0]] for task in tasks if len(task.lots) == 1}
        lines = [line.pad_left(2) for line in day_page(sheet, width, hues, self.walked, glyphs)]
        walked = row_content(day_line(sheet, sheet.lines[self.walked], min(width, WIDEST))).stylize(
            "on $panel"
        )
        chosen = Content.assemble((f"{glyphs.bar} ", "bold $focus"), walked)
        because = sheet.lines[self.walked].task.because if self.with_reasons else ""
        below = wrapped(clean(because, limit=600), "$quiet", width, 2) if because else []
        numbers = {day_line(sheet, line, min(width, WIDEST) - 2): n for n, line in enumerate(sheet.lines)}
        more = (Content(""), sections_content(sections, self.size.width - 1, numbers))
        return Content("\n").join([*lines, Content(""), chosen, *below, *more])

    def _plan_row(self, plan: PlanCard) -> Content:
        count, room = self.counts.get(plan.key, 0), max(20, self.size.width - 30)
        shown, style = (f" {count} x  ", "bold $text") if count else ("  -   ", "$quiet")
        cloth = short_strip(plan.bands, app_of(self).glyphs)
        return Content.assemble((shown, style), cloth, ("  ", ""), (clean(plan.title, limit=room), "$text"))

    def _told(self) -> Content:
        if self._trouble:
            return Content.styled(f"  {clean(self._trouble, limit=300)}", "$danger")
        if self.sheet is None and not any(self.counts.values()):
            return Content.styled(spoken(NOTHING_YET), "$quiet")
        when = "no time given"
        if self.start is not None:
            when = f"start {time_of_day(self.start)}"
        elif self.finish_by is not None:
            when = f"finish by {time_of_day(self.finish_by)}"
        places = counted(self.places, "place")
        return Content.styled(f"  {places} in the steamer, {when}", "$quiet")

    def action_count(self, by: int) -> None:
        """One piece more or less of the plan that is chosen."""
        if chosen := self.query_one(Rows).chosen:
            self.counts[chosen] = max(0, min(MOST_PIECES, self.counts.get(chosen, 0) + by))
        self.redraw()
        self.lay_out()

    def action_walk(self, by: int) -> None:
        """On to the next task of the day, or back to the one before; round at the ends."""
        if self.sheet is not None:
            self.walked = (self.walked + by) % len(self.sheet.lines)
            self.redraw()

    def go_to(self, what: str, which: Any) -> None:
        self.walked = which
        self.redraw()

    def laid_out(self) -> bool:
        """Whether there is a day to walk."""
        return self.sheet is not None

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
