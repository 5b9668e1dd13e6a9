"""Home: the session that runs with its clock, what is to be seen to, plans and last sessions; or the first start."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from contextlib import suppress
from datetime import date
from typing import TYPE_CHECKING

import msgspec
from textual import on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.css.query import NoMatches
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option, OptionDoesNotExist

from studio.plaintext import clean
from studio.screens.draw import board
from studio.screens.keyed import Keyed, KeyLine, Rows, app_of
from studio.trouble import Trouble

if TYPE_CHECKING:
    from studio.logbook.entry import LogbookRow
    from studio.plan.preview import StripBand
    from studio.screens.bench.view import Glance
    from studio.services.plans import PlanCard, ShelfMatter
    from studio.services.studio import Services
    from studio.session.clock import Clock
    from studio.session.kinds.fastness import WaitingTest
    from studio.session.state import State

MOST_SEEN_TO = 4
"""Lines of what is to be seen to; the last of them counts the rest. House rule."""
MOST_OPEN, MOST_COPIES, MOST_SESSIONS = 5, 5, 12
"""Rows of sessions left open, of copies made by a file sync, and of sessions that are over. House rule."""
TICK_S = 1.0
ABOVE_AND_BELOW = 3
"""Rows of the title, the blank one below it, and the keys."""
COPY = "a copy made by a file sync? It is not in the logbook"


def _blank() -> Option:
    return Option(Content(""), disabled=True)


def _rows_of(groups: dict[str, list[Option]]) -> int:
    """Rows that they take with their names, and a blank one between two."""
    heads = sum(bool(name) + 1 for name, rows in groups.items() if rows)
    return sum(_lines(row) for rows in groups.values() for row in rows) + max(0, heads - 1)


def _lines(option: Option) -> int:
    """Rows it takes: no row of this page is wider than the page."""
    return str(option.prompt).count("\n") + 1


class Under(msgspec.Struct):
    """The session that runs, as it is in its file."""

    row: LogbookRow
    state: State
    clock: Clock
    bands: tuple[StripBand, ...]

    def seen(self) -> Glance:
        """As it stands now."""
        from studio.screens.bench.view import glance

        return glance(self.state, self.clock.now(), self.bands)


class HomeScreen(Keyed[None], where="home"):
    """First thing seen. Enter does the most likely thing."""

    def __init__(self) -> None:
        super().__init__()
        self._told: dict[str, str] = {}
        """The whole line of a row, by its id."""
        self._trouble = ""
        self._sessions: list[LogbookRow] | None = None
        """None until they are known."""
        self._plans: list[PlanCard] | None = None
        self._under: Under | None = None
        self._tests: list[WaitingTest] = []
        """Those that are due or come within a week, the longest overdue first."""
        self._matters: list[ShelfMatter] = []
        self._copies: dict[str, str] = {}
        self._strips: dict[str, tuple[StripBand, ...]] = {}
        """Of the last sessions."""
        self._rung = 0
        """Rows that the one that runs takes when they are listed, its alarms among them."""
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
        self.show("home-title", board.heading("Potside", "", "", self.size.width))
        self.show("home-foot", board.safety(self.size.width))
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
            self._sessions = list(services.sessions())
        except Trouble:
            self._sessions = []
            raise
        today = date.fromisoformat(services.today())
        waiting = services.waiting(refresh=False)
        self._tests = [one for one in waiting if days_until(one.due, today) <= SOON_DAYS]
        self._under = self._read_under(self._sessions)

    def _read_under(self, sessions: Sequence[LogbookRow]) -> Under | None:
        """The newest that is open, before any rehearsal."""
        still_open = sorted((one for one in sessions if one.standing == "open"), key=lambda s: s.rehearsal)
        for row in still_open[:1]:
            from studio.plan.preview import seen_strip

            with suppress(Trouble):  # It is listed all the same, and told why when it is opened.
                read = self.services.read(row.key)
                bands = seen_strip(read.state.choices)
                return Under(row, read.state, self.services.clock_of(read.events), bands)
        return None

    def _read_plans(self) -> None:
        try:
            self._plans = self.services.plans()
        except Trouble:
            self._plans = []
            raise

    def _read_rest(self) -> None:
        self._copies = self.services.odd_files()
        for one in self._over()[: MOST_SESSIONS if self.size.height >= board.TALL else 0]:
            if one.key not in self._strips:
                self._strips[one.key] = self.services.strip_of(one.key)
        self._matters = self.services.shelf_matters([plan.key for plan in self._plans or () if plan.readable])

    def _over(self) -> list[LogbookRow]:
        return [one for one in self._sessions or () if one.standing != "open" and not one.rehearsal]

    # -- the rows --------------------------------------------------------------------------------------

    def first_start(self) -> bool:
        """Whether nothing was done in this studio yet, and there is no plan but the one it came with."""
        return self._sessions == [] and self._plans is not None and len(self._plans) <= 1

    def first_plan(self) -> bool:
        """Whether the plan that came with the studio is offered."""
        return self.first_start() and any(plan.readable for plan in self._plans or ())

    def _tick(self) -> None:
        """Time passes, for the one that runs too."""
        if self._sessions is None or self.app.screen is not self:
            return
        self._tell_title()
        options = self._running_rows(self._under) if self._under is not None else []
        if len(options) != self._rung:
            self._list()
        for option in options:
            with suppress(OptionDoesNotExist):  # It stands among the rest that are counted.
                rows = self.query_one(Rows)
                if rows.get_option(option.id or "").prompt != option.prompt:
                    rows.replace_option_prompt(option.id or "", option.prompt)

    def _tell_title(self) -> None:
        here = self.services.here()
        name = self.services.studio_name
        self.show("home-title", board.heading("Potside", name, f"{here:%H:%M %A}", self.size.width))

    def _list(self) -> None:
        """All that is known, in groups; the bar stays on its row."""
        if self._sessions is None or (self._plans is None and self._under is None):
            return
        self._tell_title()
        rows = self.query_one(Rows)
        options = self._ways() if self.first_start() else self._board()
        used = sum(_lines(option) for option in options)
        self._free = self.size.height - ABOVE_AND_BELOW - used
        first = None
        if rows.highlighted_option is None:
            places = [option.id for option in options if option.id and not option.disabled]
            wanted = (one for one in places if one.startswith(("resume:", "rehearse:", "plan:")))
            first = next(wanted, None)
        rows.fill(options, first)
        self._tell_foot()
        rows.focus()

    def _ways(self) -> list[Option]:
        """The first start: three ways in, of two lines each."""
        plan = next((plan for plan in self._plans or () if plan.readable), None)
        bands, glyphs = plan.bands if plan is not None else (), app_of(self).glyphs
        size = self.size.width, self.size.height
        options = [Option(board.first_strip(bands, size, glyphs), disabled=True)]
        for what, key, name, more in board.WAYS:
            if what != "plan" or plan is not None:
                row_id = f"plan:{plan.key}" if what == "plan" and plan is not None else f"{what}:"
                options.extend([_blank(), Option(board.way_row(key, name, more), id=row_id)])
        return options

    def _board(self) -> list[Option]:
        """Groups with a blank row between two, and between two plans, as long as there is room."""
        width, height = self.size
        running = self._running_rows(self._under) if self._under is not None else []
        self._rung = len(running)
        room = height - ABOVE_AND_BELOW
        groups = {
            "": running[:1],
            "left open": self._left_open(),
            "to see to": self._to_see_to(running[1:]),
            "plans": [*self._plan_rows(), *self._copy_rows()],
        }
        plans = len(groups["plans"])
        if height >= board.TALLEST and _rows_of(groups) + 2 * plans <= room:
            groups["plans"] = [*self._plan_rows(2), *self._copy_rows()]
        if height >= board.TALL and _rows_of(groups) + plans <= room:
            groups["plans"] = [row for one in groups["plans"] for row in (one, _blank())][:-1]
        rest = room - _rows_of(groups)
        if height >= board.TALL and rest > 2:
            groups["last sessions"] = self._session_rows(rest - 2)
        blanks = _rows_of(groups) <= room
        shown = [(name, rows) for name, rows in groups.items() if rows]
        return [
            option
            for number, (name, rows) in enumerate(shown)
            for option in (
                *([_blank()] if number and blanks else []),
                *([Option(board.group(name), disabled=True)] if name else []),
                *rows,
            )
        ]

    def _running_rows(self, under: Under) -> list[Option]:
        """The one that runs, then its alarms."""
        self._told[f"resume:{under.row.key}"] = under.row.about
        seen, size, glyphs = under.seen(), (self.size.width, self.size.height), app_of(self).glyphs
        row, due = board.running_row(under.row.title, seen, size, glyphs), glyphs.due
        return [
            Option(row, id=f"resume:{under.row.key}"),
            *(
                Option(
                    board.see_row(due, f"DUE  {alarm.text}", f"{alarm.late} late", size[0]),
                    id=f"resume:{under.row.key}:{number}",
                )
                for number, alarm in enumerate(seen.alarms)
            ),
        ]

    def _left_open(self) -> list[Option]:
        known = self._under.row.key if self._under is not None else ""
        rest = [one for one in self._sessions or () if one.standing == "open" and one.key != known]
        width = self.size.width
        return [Option(board.open_row(one, width), id=f"resume:{one.key}") for one in rest[:MOST_OPEN]]

    def _to_see_to(self, alarms: list[Option]) -> list[Option]:
        """Alarms, tests that are due, the shelf, tests that come within the week."""
        from studio.session.kinds.fastness import days_until, when_words

        today, width = self.services.here().date(), self.size.width
        tests: list[list[Option]] = [[], []]
        for one in self._tests:
            comes = days_until(one.due, today) > 0
            what = f"{one.test} test {when_words(one.due, today)}"
            sign, style = ("□", "$text") if comes else (app_of(self).glyphs.due, "$due")
            row = board.see_row(sign, what, one.title, width, style)
            tests[comes].append(Option(row, id=f"follow:{one.test}:{one.key}"))
        matters = [
            Option(board.see_row("▲", matter.what, matter.why, width), id=f"shelf:{number}")
            for number, matter in enumerate(self._matters)
        ]
        found = [*alarms, *tests[0], *matters, *tests[1]]
        if len(found) > MOST_SEEN_TO:
            rest = found[MOST_SEEN_TO - 1 :]
            what = next((kind for kind in ("follow", "shelf") if f"{rest[0].id}".startswith(kind)), "resume")
            told = board.see_row("▲", f"{len(rest)} more to see to", "", width)
            key = self._under.row.key + ":more" if what == "resume" and self._under is not None else ""
            found = [*found[: MOST_SEEN_TO - 1], Option(told, id=f"{what}:{key}")]
        return found

    def _plan_rows(self, rows: int = 1) -> list[Option]:
        newest: dict[str, LogbookRow] = {}
        for one in self._over():
            if one.standing == "finished":
                newest.setdefault(one.title, one)
        options = []
        for plan in self._plans or ():
            row_id = f"{'plan' if plan.readable else 'mend'}:{plan.key}"
            self._told[row_id] = plan.about
            last, glyphs = newest.get(plan.title), app_of(self).glyphs
            row = board.plan_row(plan, last, self.size.width, glyphs, rows)
            options.append(Option(row, id=row_id))
        return options

    def _copy_rows(self) -> list[Option]:
        """Files that a sync may have left: each says what to do about it."""
        options = []
        for name, sentence in list(self._copies.items())[:MOST_COPIES]:
            self._told[f"mend:copy:{name}"] = sentence
            row = board.see_row("▲", name, COPY, self.size.width)
            options.append(Option(row, id=f"mend:copy:{name}"))
        return options

    def _session_rows(self, room: int) -> list[Option]:
        options, glyphs = [], app_of(self).glyphs
        for one in self._over()[: min(room, MOST_SESSIONS)]:
            self._told[f"session:{one.key}"] = one.about
            row = board.session_row(one, self._strips.get(one.key, ()), self.size.width, glyphs)
            options.append(Option(row, id=f"session:{one.key}"))
        return options

    # -- what is done ----------------------------------------------------------------------------------

    @on(OptionList.OptionHighlighted)
    def _looked_at(self) -> None:
        self._tell_foot()
        self.refresh_bindings()

    def _tell_foot(self) -> None:
        """More of the row under the bar, in full where it is wrong; the caution where there is room for it."""
        row_id, wide = self._under_bar(), self.size.width - 2 * board.MARGIN
        wrong = row_id.startswith("mend:")
        told = self._told.get(row_id, "") if wrong or not self._trouble else self._trouble
        bad = wrong or bool(self._trouble)
        said = Content.styled(clean(told, limit=400), "$danger" if bad else "$quiet")
        lines = [line.pad_left(board.MARGIN) for line in said.wrap(wide)] if told else []
        lines = lines if bad or self._free > len(lines) else []
        care = board.safety(self.size.width)
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
        from studio.screens.bench.view import where_you_were

        with self.telling():
            running = self.services.resume(key)
            notice = where_you_were(running.state, running.clock.now())
            self.app.push_screen(BenchScreen(running, notice=notice))

    def action_begin(self) -> None:
        """Straight to the pot, or to a rehearsal, with the highlighted plan."""
        from studio.screens.worksheet import ask_to_begin

        with self.telling():
            worked = self.services.work_out(self._under_bar().partition(":")[2])
            ask_to_begin(self, self.services, worked)

    def action_first_plan(self) -> None:
        """The one the studio came with."""
        from studio.screens.palette import show_plan

        show_plan(self, self.services, next(plan.key for plan in self._plans or () if plan.readable))

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
