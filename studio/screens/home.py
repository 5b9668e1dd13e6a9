"""The home page: sessions left open, fastness tests that are due or come within a week, plans, and the ways on."""

from __future__ import annotations

import asyncio
from contextlib import suppress
from datetime import date
from typing import TYPE_CHECKING

from textual import on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.css.query import NoMatches
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from studio.screens.draw.lists import house, mend_note, open_row, plan_row, welcome
from studio.screens.keyed import Keyed, KeyLine, Rows, app_of
from studio.trouble import Trouble

if TYPE_CHECKING:
    from studio.logbook.entry import LogbookRow
    from studio.services.studio import Services


MOST_WAITING = 4
"""Rows on the home page; the rest is counted. House rule."""
ALL = "follow:"


def waiting_options(services: Services, width: int) -> list[Option]:
    """A row for each test that is due or coming, the longest overdue first, by what the logbook took in."""
    waiting = services.waiting(refresh=False)
    if not waiting:
        return []
    from studio.screens.draw.follow_up import waiting_row
    from studio.session.kinds.fastness import SOON_DAYS, days_until

    today = date.fromisoformat(services.today())
    soon = [one for one in waiting if days_until(one.due, today) <= SOON_DAYS]
    shown = soon[:MOST_WAITING]
    options = [Option(waiting_row(one, today, width), id=f"follow:{one.test}:{one.key}") for one in shown]
    if len(soon) > len(shown):
        more = f"{len(soon) - len(shown)} more fastness tests are due or coming"
        options.append(Option(home_word("due", more, "$due"), id=ALL))
    return options


def open_waiting(screen: Screen[None], services: Services, told: str) -> None:
    """Open one test to be graded, or the list of them all."""
    from studio.screens.logbook.follow_up import WaitingScreen, open_to_grade

    if told:
        open_to_grade(screen, services, told)
    else:
        screen.app.push_screen(WaitingScreen(services))


def home_word(what: str, told: str, style: str = "$focus") -> Content:
    """A row that is about no one plan or session."""
    return Content.assemble((f"{what.capitalize():<11}", f"bold {style}"), (told, "$text"))


MOST_OPEN = 5
MOST_COPIES = 5
COPY = "a copy made by a file sync? it is not in the logbook"


class HomeScreen(Keyed[None], where="home"):
    """First thing seen. Enter does the most likely thing."""

    def __init__(self) -> None:
        super().__init__()
        self._told: dict[str, str] = {}
        """The whole line of each plan, by the id of its row."""
        self._foot = Content("")
        self._wide = 0
        """Cells of the page that the rows were made for; 0 before there are any."""
        self._waiting: list[Option] = []
        """Fastness tests that are due or coming."""

    @property
    def services(self) -> Services:
        """Not asked for before the first paint: opening them loads most of the program."""
        return app_of(self).services

    def compose(self) -> ComposeResult:
        yield Static(id="home-title", markup=False)
        yield Rows(id="home-list")
        yield Static(id="home-foot", markup=False)
        yield KeyLine()

    def on_mount(self) -> None:
        """The page and its keys are painted at once; its rows when the sessions left open are known."""
        self.show("home-title", house(""))
        self.show("home-foot", welcome(True))

    def on_screen_resume(self) -> None:
        self.call_after_refresh(self.fill)

    def redraw(self) -> None:
        """Rows are as wide as the page."""
        super().redraw()
        if self._wide not in (0, self.size.width):
            self.fill()

    @work(exclusive=True)
    async def fill(self) -> None:
        """List what can be done, anew; the logbook and the plans are read off the drawing loop."""
        trouble = ""
        sessions: list[LogbookRow] = []
        try:
            sessions = await asyncio.to_thread(self._read_logbook)
            self._waiting = await asyncio.to_thread(
                waiting_options, self.services, max(40, self.size.width - 4)
            )
        except Trouble as problem:
            trouble = str(problem)
        with suppress(NoMatches):  # The page was left meanwhile.
            self._list(sessions, trouble)
            await self._list_plans()
            await self._list_copies()
            if sessions:
                self._list_habits()

    def _read_logbook(self) -> list[LogbookRow]:
        self.services.read_logbook(lambda done, total: None, lambda: not self.is_attached)
        return list(self.services.sessions())

    def _list(self, sessions: list[LogbookRow], trouble: str) -> None:
        rows = self.query_one(OptionList)
        self._wide = self.size.width
        rows.clear_options()
        still_open = [s for s in sessions if s.standing == "open"]
        self.show("home-title", house(self.services.studio_name))
        rows.add_options(self._options(still_open, len(sessions)))
        rows.highlighted = 0
        self._foot = mend_note(trouble) if trouble else welcome(bool(sessions))
        self.show("home-foot", self._foot)
        rows.focus()

    async def _list_plans(self) -> None:
        try:
            plans = await asyncio.to_thread(self.services.plans)
        except Trouble as problem:
            self.show("home-foot", mend_note(str(problem)))
            return
        width = max(40, self.size.width - 4)
        rows = self.query_one(OptionList)
        for plan in plans:
            row_id = f"{'plan' if plan.readable else 'mend'}:{plan.key}"
            self._told[row_id] = plan.about
            if not any(rows.get_option_at_index(i).id == row_id for i in range(rows.option_count)):
                rows.add_option(Option(plan_row(plan, width, app_of(self).glyphs), id=row_id))

    async def _list_copies(self) -> None:
        """Files that a sync may have left: each says what to do about it."""
        try:
            copies = await asyncio.to_thread(self.services.odd_files)
        except Trouble:
            return  # the list of sessions has said it
        from studio.services.plans import PlanCard

        rows = self.query_one(OptionList)
        width = max(40, self.size.width - 4)
        for name, sentence in list(copies.items())[:MOST_COPIES]:
            row_id = f"mend:copy:{name}"
            self._told[row_id] = sentence
            rows.add_option(
                Option(
                    plan_row(PlanCard("", name, COPY, readable=False), width, app_of(self).glyphs), id=row_id
                )
            )

    def _options(self, still_open: list[LogbookRow], total: int) -> list[Option]:
        width = max(40, self.size.width - 4)
        options: list[Option] = []
        for card in still_open[:MOST_OPEN]:
            options.append(Option(open_row(card, width), id=f"resume:{card.key}"))
        options.extend(self._waiting)
        said = f"{total} sessions" if total != 1 else "1 session"
        for what, told in (("rehearse", "a whole session on a fast clock"), ("logbook", said)):
            options.append(Option(home_word(what, told), id=f"{what}:"))
        return options

    def _list_habits(self) -> None:
        """Last of all: there is something to have learned from."""
        rows = self.query_one(OptionList)
        if all(rows.get_option_at_index(i).id != "habits:" for i in range(rows.option_count)):
            rows.add_option(Option(home_word("habits", "what the sessions taught"), id="habits:"))

    @on(OptionList.OptionHighlighted)
    def _looked_at(self, event: OptionList.OptionHighlighted) -> None:
        """What is wrong with a plan file is said in full at the foot of the page."""
        row_id = event.option_id or ""
        foot = mend_note(self._told[row_id]) if row_id.startswith("mend:") else self._foot
        self.show("home-foot", foot)
        self.refresh_bindings()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        what, _, key = (event.option_id or "").partition(":")
        if what == "resume":
            self._resume(key)
        elif what == "plan":
            self._plan(key)
        elif what == "mend":
            self.show("home-foot", mend_note(self._told.get(event.option_id or "", "")))
        elif what == "follow":
            open_waiting(self, self.services, key)
        elif what == "rehearse":
            self.action_rehearse()
        elif what == "habits":
            self.action_habits()
        else:
            self.action_logbook()

    def _resume(self, key: str) -> None:
        from studio.screens.bench.bench import BenchScreen
        from studio.screens.bench.view import where_you_were

        with self.telling():
            running = self.services.resume(key)
            notice = where_you_were(running.state, running.clock.now())
            self.app.push_screen(BenchScreen(running, notice=notice))

    def _plan(self, key: str) -> None:
        from studio.screens.worksheet import WorksheetScreen

        with self.telling():
            self.app.push_screen(WorksheetScreen(self.services, self.services.work_out(key)))

    def action_begin(self) -> None:
        """Straight to the pot, or to a rehearsal, with the highlighted plan."""
        from studio.screens.worksheet import ask_to_begin

        with self.telling():
            worked = self.services.work_out(self._under_bar().partition(":")[2])
            ask_to_begin(self, self.services, worked)

    def action_rehearse(self) -> None:
        from studio.screens.bench.bench import BenchScreen
        from studio.screens.worksheet import REHEARSAL

        with self.telling():
            self.app.push_screen(BenchScreen(self.services.rehearse(), notice=REHEARSAL))

    def action_habits(self) -> None:
        from studio.screens.habits import HabitsScreen

        self.app.push_screen(HabitsScreen(self.services))

    def action_logbook(self) -> None:
        from studio.screens.logbook.logbook import LogbookScreen

        self.app.push_screen(LogbookScreen(self.services))

    def action_day(self) -> None:
        from studio.screens.day import DayScreen

        self.app.push_screen(DayScreen(self.services))

    def action_shelf(self) -> None:
        from studio.screens.shelf.shelf import ShelfScreen

        self.app.push_screen(ShelfScreen(self.services))

    def action_new_plan(self) -> None:
        from studio.screens.plan.opening import NewPlanScreen

        self.app.push_screen(NewPlanScreen(self.services))

    def action_edit_plan(self) -> None:
        """Open the highlighted plan, also one that has to be mended."""
        from studio.screens.plan.opening import open_plan

        open_plan(self, self.services, self._under_bar().partition(":")[2])

    def _under_bar(self) -> str:
        option = self.query_one(OptionList).highlighted_option
        return option.id or "" if option else ""

    def on_plan(self) -> bool:
        """Whether the bar is on a plan, sound or not."""
        row_id = self._under_bar()
        return row_id.startswith(("plan:", "mend:")) and not row_id.startswith("mend:copy:")

    def action_leave(self) -> None:
        self.app.exit(0)
