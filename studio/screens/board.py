"""What home lists, group by group: the one that runs, what is to be seen to, plans, sessions; or the first start."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec
from textual.content import Content
from textual.widgets.option_list import Option

from studio.screens.draw.board import (
    TALL,
    TALLEST,
    WAYS,
    first_strip,
    group,
    open_row,
    plan_row,
    see_row,
    session_row,
    waiting_row,
    way_row,
)
from studio.screens.draw.keys import UNICODE, Glyphs

if TYPE_CHECKING:
    from studio.logbook.entry import LogbookRow
    from studio.plan.preview import StripBand
    from studio.screens.draw.running import Glance
    from studio.services.plans import PlanCard, ShelfMatter
    from studio.session.clock import Clock
    from studio.session.kinds.fastness import WaitingTest
    from studio.session.state import State

MOST_SEEN_TO = 4
"""Lines of what is to be seen to; the last of them counts the rest. House rule."""
MOST_OPEN, MOST_COPIES, MOST_SESSIONS = 5, 5, 12
"""Rows of sessions left open, of copies made by a file sync, and of sessions that are over. House rule."""
ABOVE_AND_BELOW = 3
"""Rows of the title, the blank one below it, and the keys."""
COPY = "a copy made by a file sync? It is not in the logbook"


def _blank() -> Option:
    return Option(Content(""), disabled=True)


def _rows_of(groups: dict[str, list[Option]]) -> int:
    """Rows that they take with their names, and a blank one between two."""
    heads = sum(bool(name) + 1 for name, rows in groups.items() if rows)
    return sum(lines_of(row) for rows in groups.values() for row in rows) + max(0, heads - 1)


def lines_of(option: Option) -> int:
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
        from studio.screens.draw.running import glance

        return glance(self.state, self.clock.now(), self.bands)


class Board(msgspec.Struct):
    """All that is known of the studio, and how large the page is."""

    sessions: list[LogbookRow] | None = None
    """None until they are known."""
    plans: list[PlanCard] | None = None
    under: Under | None = None
    tests: list[WaitingTest] = []
    """Those that are due or come within a week, the longest overdue first."""
    matters: list[ShelfMatter] = []
    copies: dict[str, str] = {}
    strips: dict[str, tuple[StripBand, ...]] = {}
    """Of the last sessions."""
    told: dict[str, str] = {}
    """The whole line of a row, by its id."""
    rung: int = 0
    """Rows of the one that runs when they were listed, its alarms among them."""
    size: tuple[int, int] = (80, 24)
    glyphs: Glyphs = UNICODE
    today: date = date.min

    def bands_of(self, row_id: str) -> tuple[StripBand, ...]:
        """Of a plan or a session that is listed; none of anything else."""
        what, _, key = row_id.partition(":")
        plans = (plan.bands for plan in self.plans or () if what == "plan" and plan.key == key)
        return next(plans, self.strips.get(key, ()))

    @property
    def known(self) -> bool:
        """Whether there is something to be listed."""
        return self.sessions is not None and (self.plans is not None or self.under is not None)

    def first_start(self) -> bool:
        """Whether nothing was done in this studio yet, and there is no plan but the one it came with."""
        return self.sessions == [] and self.plans is not None and len(self.plans) <= 1

    def first_plan(self) -> str:
        """The key of the plan that came with the studio, where it is offered."""
        plans = (plan.key for plan in self.plans or () if plan.readable)
        return next(plans, "") if self.first_start() else ""

    def over(self) -> list[LogbookRow]:
        """Sessions that are over, the newest first, without rehearsals."""
        return [one for one in self.sessions or () if one.standing != "open" and not one.rehearsal]

    def options(self) -> list[Option]:
        """All that is known: the board, or the ways in."""
        return self._ways() if self.first_start() else self._board()

    def _ways(self) -> list[Option]:
        """The first start: three ways in, of two lines each."""
        plan = next((plan for plan in self.plans or () if plan.readable), None)
        bands = plan.bands if plan is not None else ()
        options = [Option(first_strip(bands, self.size, self.glyphs), disabled=True)]
        for what, key, name, more in WAYS:
            if what != "plan" or plan is not None:
                row_id = f"plan:{plan.key}" if what == "plan" and plan is not None else f"{what}:"
                called = plan.title if what == "plan" and plan is not None else name
                options.extend([_blank(), Option(way_row(key, called, more), id=row_id)])
        return options

    def _board(self) -> list[Option]:
        """Groups with a blank row between two, and between two plans, as long as there is room."""
        height = self.size[1]
        running = self.running_rows()
        self.rung = len(running)
        room = height - ABOVE_AND_BELOW
        groups = {
            "": running[:1],
            "left open": self._left_open(),
            "to see to": self._to_see_to(running[1:]),
            "plans": [*self._plan_rows(), *self._copy_rows()],
        }
        plans = len(groups["plans"])
        if height >= TALLEST and _rows_of(groups) + 2 * plans <= room:
            groups["plans"] = [*self._plan_rows(2), *self._copy_rows()]
        if height >= TALL and _rows_of(groups) + plans <= room:
            groups["plans"] = [row for one in groups["plans"] for row in (one, _blank())][:-1]
        rest = room - _rows_of(groups)
        if height >= TALL and rest > 2:
            groups["last sessions"] = self._session_rows(rest - 2)
        blanks = _rows_of(groups) <= room
        shown = [(name, rows) for name, rows in groups.items() if rows]
        return [
            option
            for number, (name, rows) in enumerate(shown)
            for option in (
                *([_blank()] if number and blanks else []),
                *([Option(group(name), disabled=True)] if name else []),
                *rows,
            )
        ]

    def running_rows(self) -> list[Option]:
        """The one that runs, then its alarms."""
        under = self.under
        if under is None:
            return []
        from studio.screens.draw.running import running_row

        seen, due = under.seen(), self.glyphs.due
        row = running_row(under.row.title, seen, self.size, self.glyphs)
        return [
            Option(row, id=f"resume:{under.row.key}"),
            *(
                Option(
                    see_row(due, f"DUE  {alarm.text}", f"{alarm.late} late", self.size[0]),
                    id=f"resume:{under.row.key}:{number}",
                )
                for number, alarm in enumerate(seen.alarms)
            ),
        ]

    def _left_open(self) -> list[Option]:
        known = self.under.row.key if self.under is not None else ""
        rest = [one for one in self.sessions or () if one.standing == "open" and one.key != known]
        width = self.size[0]
        return [Option(open_row(one, width), id=f"resume:{one.key}") for one in rest[:MOST_OPEN]]

    def _to_see_to(self, alarms: list[Option]) -> list[Option]:
        """Alarms, tests that are due, the shelf, tests that come within the week."""
        from studio.session.kinds.fastness import days_until

        width = self.size[0]
        tests: list[list[Option]] = [[], []]
        for one in self.tests:
            row = Option(waiting_row(one, self.today, width), id=f"follow:{one.test}:{one.key}")
            tests[days_until(one.due, self.today) > 0].append(row)
        matters = [
            Option(see_row("▲", matter.what, matter.why, width), id=f"shelf:{number}")
            for number, matter in enumerate(self.matters)
        ]
        found = [*alarms, *tests[0], *matters, *tests[1]]
        if len(found) > MOST_SEEN_TO:
            rest = found[MOST_SEEN_TO - 1 :]
            what = next((kind for kind in ("follow", "shelf") if f"{rest[0].id}".startswith(kind)), "resume")
            told = see_row("▲", f"{len(rest)} more to see to", "", width)
            key = self.under.row.key + ":more" if what == "resume" and self.under is not None else ""
            found = [*found[: MOST_SEEN_TO - 1], Option(told, id=f"{what}:{key}")]
        return found

    def _plan_rows(self, rows: int = 1) -> list[Option]:
        newest: dict[str, LogbookRow] = {}
        for one in self.over():
            if one.standing == "finished":
                newest.setdefault(one.plan_file, one)
        options = []
        for plan in self.plans or ():
            row_id = f"{'plan' if plan.readable else 'mend'}:{plan.key}"
            self.told[row_id] = plan.about
            last, glyphs = newest.get(Path(plan.key).name), self.glyphs
            row = plan_row(plan, last, self.size[0], glyphs, rows)
            options.append(Option(row, id=row_id))
        return options

    def _copy_rows(self) -> list[Option]:
        """Files that a sync may have left: each says what to do about it."""
        options = []
        for name, sentence in list(self.copies.items())[:MOST_COPIES]:
            self.told[f"mend:copy:{name}"] = sentence
            row = see_row("▲", name, COPY, self.size[0])
            options.append(Option(row, id=f"mend:copy:{name}"))
        return options

    def _session_rows(self, room: int) -> list[Option]:
        from studio.report.logbook import remark_told

        options, glyphs = [], self.glyphs
        for one in self.over()[: min(room, MOST_SESSIONS)]:
            rated = ", ".join(f"{what} {value}" for what, value in one.ratings.items())
            self.told[f"session:{one.key}"] = "   ".join(filter(None, (rated, remark_told(one)[0])))
            row = session_row(one, self.strips.get(one.key, ()), self.size[0], glyphs)
            options.append(Option(row, id=f"session:{one.key}"))
        return options
