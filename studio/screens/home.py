"""Home: the session that runs with its clock, what is to be seen to, plans and last sessions; or the first start."""

from __future__ import annotations

import asyncio
from contextlib import suppress
from datetime import date
from typing import TYPE_CHECKING

from textual import on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.css.query import NoMatches
from textual.widgets import OptionList, Static
from textual.widgets.option_list import OptionDoesNotExist

from studio.plaintext import clean
from studio.screens.board import ABOVE_AND_BELOW, MOST_SESSIONS, Board, Under, lines_of
from studio.screens.draw.board import TALL, heading, safety
from studio.screens.draw.cloth import strip
from studio.screens.draw.keys import MARGIN
from studio.screens.keyed import Keyed, KeyLine, app_of
from studio.screens.rows import Rows
from studio.trouble import Trouble

if TYPE_CHECKING:
    from studio.services.studio import Services

TICK_S = 1.0
CHOSEN_ROWS, LEAST_FOR_STRIP = 4, 12
"""Rows of the strip of the row under the bar at the foot; rows that must be free for it. House rule."""


class HomeScreen(Keyed[None], where="home"):
    """First thing seen. Enter does the most likely thing."""

    def __init__(self) -> None:
        super().__init__()
        self._trouble = ""
        self.board = Board()
        self._ran = ""
        """The session that ran when the rows were listed: another one is chosen when it comes."""
        self._free = 0
        """Rows of the page that are left."""

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
        self.show("home-title", heading("Potside", "", "", self.size.width))
        self.show("home-foot", safety(self.size.width))
        self.set_interval(TICK_S, self._tick)

    def on_screen_resume(self) -> None:
        self.call_after_refresh(self.fill)

    def redraw(self) -> None:
        """Rows are as wide as the page."""
        super().redraw()
        self._list()

    # -- what there is, read off the drawing loop ------------------------------------------------------

    @work(exclusive=True)
    async def fill(self) -> None:
        """List what can be done, anew, as soon as each part of it is known."""
        self._trouble = ""
        for part in (self._read_sessions, self._read_plans, self._read_rest):
            try:
                await asyncio.to_thread(part)
            except Trouble as problem:
                self._trouble = self._trouble or str(problem)
            with suppress(NoMatches):  # The page was left meanwhile.
                self._list()

    def _read_sessions(self) -> None:
        from studio.session.kinds.fastness import SOON_DAYS, days_until

        services = self.services
        try:
            services.read_logbook(lambda done, total: None, lambda: not self.is_attached)
            self.board.sessions = list(services.sessions())
        except Trouble:
            self.board.sessions = []
            raise
        today = date.fromisoformat(services.today())
        waiting = services.waiting(refresh=False)
        self.board.tests = [one for one in waiting if days_until(one.due, today) <= SOON_DAYS]
        self.board.under = self._read_under()

    def _read_under(self) -> Under | None:
        """The session to go back to; one that cannot be read is listed, and told why when it is opened."""
        with suppress(Trouble):
            row = self.services.newest_open(refresh=False)
            from studio.plan.preview import seen_strip
            from studio.session.bands import painted_with

            read = self.services.read(row.key)
            bands = seen_strip(read.state.choices, painted_with(read.state))
            return Under(row, read.state, self.services.clock_of(read.events), bands)
        return None

    def _read_plans(self) -> None:
        try:
            self.board.plans = self.services.plans()
        except Trouble:
            self.board.plans = []
            raise

    def _read_rest(self) -> None:
        self.board.copies = self.services.odd_files()
        for one in self.board.over()[: MOST_SESSIONS if self.size.height >= TALL else 0]:
            if one.key not in self.board.strips:
                self.board.strips[one.key] = self.services.strip_of(one.key)
        self.board.matters = self.services.shelf_matters(
            [plan.key for plan in self.board.plans or () if plan.readable]
        )

    # -- the rows --------------------------------------------------------------------------------------

    def first_plan(self) -> bool:
        """Whether the plan that came with the studio is offered."""
        return bool(self.board.first_plan())

    def _tick(self) -> None:
        """Time passes, for the one that runs too."""
        if not self.board.known or self.app.screen is not self:
            return
        self._tell_title()
        options = self.board.running_rows()
        if len(options) != self.board.rung:
            self._list()
        for option in options:
            with suppress(OptionDoesNotExist):  # It stands among the rest that are counted.
                rows = self.query_one(Rows)
                if rows.get_option(option.id or "").prompt != option.prompt:
                    rows.replace_option_prompt(option.id or "", option.prompt)

    def _tell_title(self) -> None:
        here = self.services.here()
        name = self.services.studio_name
        self.show(
            "home-title",
            heading("Potside", name, f"{here.time().isoformat('minutes')} {here:%A}", self.size.width),
        )

    def _list(self) -> None:
        """All that is known, in groups; the bar stays on its row."""
        if not self.board.known:
            return
        self._tell_title()
        self.board.glyphs = app_of(self).glyphs
        self.board.size = self.size.width, self.size.height
        self.board.today = self.services.here().date()
        rows, options = self.query_one(Rows), self.board.options()
        self._free = self.size.height - ABOVE_AND_BELOW - sum(lines_of(option) for option in options)
        first, under = None, self.board.under.row.key if self.board.under is not None else ""
        if under and under != self._ran:
            first = f"resume:{under}"
        elif rows.highlighted_option is None:
            places = [option.id for option in options if option.id and not option.disabled]
            first = next((one for one in places if one.startswith(("resume:", "rehearse:", "plan:"))), None)
        self._ran = under
        rows.fill(options, first)
        self._tell_foot()
        rows.focus()

    # -- what is done ----------------------------------------------------------------------------------

    @on(OptionList.OptionHighlighted)
    def _looked_at(self) -> None:
        self._tell_foot()
        self.refresh_bindings()

    def _tell_foot(self) -> None:
        """More of the row under the bar, in full where it is wrong; the caution where there is room for it."""
        row_id, wide = self.query_one(Rows).chosen, self.size.width - 2 * MARGIN
        wrong = row_id.startswith("mend:")
        told = self.board.told.get(row_id, "") if wrong or not self._trouble else self._trouble
        bad = wrong or bool(self._trouble)
        said = Content.styled(clean(told, limit=400), "$danger" if bad else "$quiet")
        lines = [line.pad_left(MARGIN) for line in said.wrap(wide)] if told else []
        lines = lines if bad or self._free > len(lines) else []
        bands = self.board.bands_of(row_id)
        if bands and self._free >= len(lines) + LEAST_FOR_STRIP:
            cloth = strip(bands, wide, CHOSEN_ROWS, app_of(self).glyphs)
            lines = [*(line.pad_left(MARGIN) for line in cloth), *lines]
        care = safety(self.size.width)
        if self._free >= len(lines) + bool(lines) + care.plain.count("\n") + 2:
            lines.extend([*([Content("")] if lines else []), care])
        self.show("home-foot", Content("\n").join(lines))
        self.query_one("#home-foot").display = bool(lines)

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        from studio.screens.palette import show_plan, show_session

        what, _, key = (event.option_id or "").partition(":")
        if what == "resume":
            self._resume(key.partition(":")[0])
        elif what == "plan":
            show_plan(self, self.services, key)
        elif what == "session":
            show_session(self, self.services, key)
        elif what == "follow":
            self._follow(key)
        elif what == "new":
            self.action_new_plan()
        elif what == "shelf":
            self.action_shelf()
        elif what == "rehearse":
            self.action_rehearse()

    def _follow(self, told: str) -> None:
        """Open one test to be graded, or the list of them all."""
        from studio.screens.logbook.follow_up import WaitingScreen, open_to_grade

        if told:
            open_to_grade(self, self.services, told)
        else:
            self.app.push_screen(WaitingScreen(self.services))

    def _resume(self, key: str) -> None:
        from studio.screens.bench.bench import BenchScreen

        with self.telling():
            self.app.push_screen(BenchScreen(self.services.resume(key)))

    def action_begin(self) -> None:
        """Straight to the pot, or to a rehearsal, with the highlighted plan."""
        from studio.screens.worksheet import ask_to_begin

        with self.telling():
            worked = self.services.work_out(self.query_one(Rows).chosen.partition(":")[2])
            ask_to_begin(self, self.services, worked)

    def action_first_plan(self) -> None:
        """The one the studio came with."""
        from studio.screens.palette import show_plan

        show_plan(self, self.services, self.board.first_plan())

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

        open_plan(self, self.services, self.query_one(Rows).chosen.partition(":")[2])

    def on_plan(self) -> bool:
        """Whether the bar is on a plan, sound or not."""
        row_id = self.query_one(Rows).chosen
        return row_id.startswith(("plan:", "mend:")) and not row_id.startswith("mend:copy:")

    def action_leave(self) -> None:
        self.app.exit(0)
