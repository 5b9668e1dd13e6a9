"""The logbook: sessions, newest first, and what differs between those that are marked."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from textual import on, work
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.timer import Timer
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from studio.plaintext import clean
from studio.plan.preview import seen_strip
from studio.report.comparing import compare_sections
from studio.report.logbook import chosen_rows, result_row, when_row
from studio.report.printing import Section, row
from studio.screens.bench.entry import Entry
from studio.screens.draw.bench import TALL
from studio.screens.draw.board import TALLEST, waiting_row
from studio.screens.draw.cloth import strip
from studio.screens.draw.keys import presses
from studio.screens.draw.lists import MARK, marked, row_content, sections_content, short_strip
from studio.screens.keyed import Keyed, KeyLine, app_of
from studio.screens.logbook.session import SessionScreen
from studio.screens.rows import Rows
from studio.session.after.comparing import FEWEST, MOST, compare
from studio.session.bands import painted_with
from studio.session.clock import local
from studio.trouble import Trouble
from studio.words.actions import Question, key_of
from studio.words.table import spoken

if TYPE_CHECKING:
    from studio.logbook.entry import LogbookRow
    from studio.plan.preview import StripBand
    from studio.services.studio import Services
    from studio.session.after.review import ReadSession

LEAST_FOR_STRIP = 70
"""Cells of a row that has room for the strip."""
ROOMY = 24
"""Rows of a screen that has room for three rows of the chosen strip, and for three tests that wait. House rule."""
FACTS = 3
"""Lines for the facts of the chosen session, so that the list stands still."""
MOST_ROWS = 500
MOST_STRIPS = 60
"""Sessions whose strip is drawn: each is a file to be read. House rule."""
AFTER_TYPING_S = 0.06
"""How long typing must pause before it is looked for. House rule."""
TOLD_EVERY_S = 0.25
FIND = "Find words of titles, notes, dyes, colours, cautions; beginnings will do"


class LogbookScreen(Keyed[None], where="logbook"):
    """Newest first; at most 500 rows, the rest counted. `/` looks for words while they are typed, Space marks."""

    FIELD = "finding"

    def __init__(self, services: Services) -> None:
        super().__init__()
        self.services = services
        self.marked: dict[str, None] = {}
        """Keys of the marked sessions, in the order they were marked."""
        self.wanted = ""
        """The words looked for."""
        self._strips: dict[str, tuple[StripBand, ...]] = {}
        """Of the sessions whose strip is known."""
        self._cards: dict[str, LogbookRow] = {}
        """Those that are listed."""
        self._told = ""
        self._leaving = False
        self._reading: tuple[int, int] | None = None
        """Session files read of those to be read, while that goes on."""
        self._soon: Timer | None = None

    def compose(self) -> ComposeResult:
        yield Static(Content.styled("  Logbook", "bold $text"), id="book-title", markup=False)
        yield Static(id="book-chosen", markup=False)
        yield Rows(id="log-list")
        yield Static(id="book-waiting", markup=False)
        yield Entry()
        yield KeyLine()

    def on_mount(self) -> None:
        """What is known is listed at once, so that no key comes too early for it."""
        self.redraw()
        self.call_after_refresh(self.read_files)

    def on_unmount(self) -> None:
        self._leaving = True

    @work(exclusive=True)
    async def read_files(self) -> None:
        """Take in new and changed session files off the drawing loop; leaving the screen interrupts it."""
        ticking = self.set_interval(TOLD_EVERY_S, self._tell)
        try:
            left = await asyncio.to_thread(
                self.services.read_logbook, self._read_so_far, lambda: self._leaving
            )
        except Trouble as problem:
            app_of(self).say(str(problem), bad=True)
            return
        finally:
            ticking.stop()
            self._reading = None
        if not left:
            self.redraw()

    def _read_so_far(self, done: int, total: int) -> None:
        self._reading = (done, total)

    def redraw(self) -> None:
        """List what meets the search, from what is known of the files."""
        with self.telling():
            cards, total = self.services.find(self.wanted, limit=MOST_ROWS, refresh=False)
            self._cards = {card.key: card for card in cards}
            today = date.fromisoformat(self.services.today())
            years = {local(card.opened_ns, card.utc_offset_min).year for card in cards}
            rows = (
                (card.key, self._row(card, today.year if years == {today.year} else None)) for card in cards
            )
            self.query_one(Rows).fill([Option(marked(row, key in self.marked), id=key) for key, row in rows])
            self._told = f"newest {len(cards)} of {total} shown" if total > len(cards) else f"{total}"
            if self.wanted.strip():
                keys = spoken("{logbook.find} changes it, {logbook.leave} clears it")
                self._told += f' with "{clean(self.wanted, limit=30)}"   {keys}'
            self._tell()
            self._show_chosen()
            self._show_waiting(today)
            missing = [card.key for card in cards[:MOST_STRIPS] if card.key not in self._strips]
            if missing:
                self._look_at(missing)

    def _row(self, card: LogbookRow, year: int | None) -> Content:
        """Day, title, strip where there is room for it, weight, rating, remark."""
        glyphs, width = app_of(self).glyphs, max(40, self.size.width - 4 - len(MARK))
        when = row_content(when_row(card, width, year))
        if width >= LEAST_FOR_STRIP:
            when = Content.assemble(when, short_strip(self._strips.get(card.key, ()), glyphs))
        return Content.assemble(when, row_content(result_row(card, width - when.cell_length)))

    def _show_chosen(self) -> None:
        """The strip and the facts of the session under the bar."""
        glyphs, card = app_of(self).glyphs, self._cards.get(self.query_one(Rows).chosen)
        lines: list[Content] = []
        if card is not None:
            width = max(40, self.size.width - 4)
            tall = 6 if self.size.height >= TALLEST else 3 if self.size.height >= ROOMY else 2
            bands, high = self._strips.get(card.key, ()), tall
            lines.extend([Content("")] if self.size.height >= TALL else [])
            lines.extend(strip(bands, width, high, glyphs) if bands else [Content("")] * high)
            told = [row_content(line) for line in chosen_rows(card, width)]
            lines.extend((*told, *[Content("")] * (FACTS - len(told))))
        self.show("book-chosen", Content("\n").join(line.pad_left(2) for line in (*lines, Content(""))))

    @on(OptionList.OptionHighlighted)
    def _looked_at(self) -> None:
        self._show_chosen()

    def _show_waiting(self, today: date) -> None:
        """The fastness tests that come next, as many as there is room for; the others are counted."""
        tests, most = self.services.waiting(refresh=False), 3 if self.size.height >= ROOMY else 1
        lines = [waiting_row(test, today, self.size.width) for test in tests[:most]]
        if len(tests) > most:
            more = spoken(f"  and {len(tests) - most} more that wait; {{logbook.waiting}} shows them")
            lines.append(Content.styled(more, "$quiet"))
        shows = key_of(spoken("{logbook.waiting}"))
        self.show("book-waiting", presses(Content("\n").join(lines), shows))
        self.query_one("#book-waiting").display = bool(lines)

    @work(exclusive=True, group="strips")
    async def _look_at(self, keys: list[str]) -> None:
        """The strips of the newest, one file after the other; of a file that cannot be read none is shown."""
        for key in keys:
            self._strips[key] = await asyncio.to_thread(self.services.strip_of, key)
        self.redraw()

    def _tell(self) -> None:
        """How many there are, and how far the reading of files has come."""
        reading = ""
        if self._reading is not None:
            done, total = self._reading
            keeps = spoken("{logbook.leave} leaves and keeps what is read")
            reading = f"   reading {done} of {total}, {keeps}"
        told = ((f"   {self._told}", "$quiet"), (reading, "$due"))
        self.show("book-title", Content.assemble(("  Logbook", "bold $text"), *told))

    def action_mark(self) -> None:
        """Mark the session under the bar, or take its mark away."""
        rows = self.query_one(OptionList)
        if rows.highlighted is None:
            return
        option = rows.get_option_at_index(rows.highlighted)
        key = option.id or ""
        if key in self.marked:
            del self.marked[key]
        elif len(self.marked) >= MOST:
            app_of(self).say(
                f"{MOST} sessions are marked already; take a mark away with {{logbook.mark}}.", bad=True
            )
            return
        else:
            self.marked[key] = None
        told = option.prompt
        if isinstance(told, Content):
            rows.replace_option_prompt(key, marked(told[len(MARK) :], key in self.marked))

    def action_compare(self) -> None:
        """What differs between the marked sessions."""
        if len(self.marked) < FEWEST:
            app_of(self).say(
                "Mark two to four sessions with {logbook.mark}, then press {logbook.compare}.", bad=True
            )
            return
        with self.telling():
            self.app.push_screen(CompareScreen([self.services.read(key) for key in self.marked]))

    def action_find(self) -> None:
        self.query_one(Entry).ask(Question(FIND, self._look_for, "Words", self.wanted))

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        if not self.query_one(Entry).is_asking:
            return
        self.wanted = event.value
        if self._soon is not None:
            self._soon.stop()
        self._soon = self.set_timer(AFTER_TYPING_S, self._find)

    @on(Entry.Closed)
    def _answered_or_not(self, closed: Entry.Closed) -> None:
        if not closed.answered:
            self._look_for("")

    def _look_for(self, text: str) -> None:
        if self._soon is not None:
            self._soon.stop()
        self.wanted = text
        self._find()

    def _find(self) -> None:
        """From the newest that meets it."""
        self.query_one(Rows).highlighted = None
        self.redraw()

    def action_back(self) -> None:
        """One step back: out of the search, then out of the logbook."""
        if self.wanted:
            self._look_for("")
        else:
            self.action_leave()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        key = event.option_id or ""
        with self.telling():
            self.app.push_screen(SessionScreen(self.services, key, self.services.read(key)))

    def action_waiting(self) -> None:
        from studio.screens.logbook.follow_up import WaitingScreen

        self.app.push_screen(WaitingScreen(self.services))

    def action_leave(self) -> None:
        self._leaving = True
        self.dismiss()


class CompareScreen(Keyed[None], where="compare"):
    """Two to four sessions: their strips one above the other, then only what differs."""

    AUTO_FOCUS = "#sheet"

    def __init__(self, sessions: Sequence[ReadSession]) -> None:
        super().__init__()
        self.sessions = sessions
        self.wrong = tuple(row((sentence, "danger")) for one in sessions for sentence in one.told)
        self.differences = compare([session.state for session in sessions])
        self._bands = [seen_strip(one.state.choices, painted_with(one.state)) for one in sessions]

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="sheet"):
            yield Static(id="page", markup=False)
        yield KeyLine()

    def redraw(self) -> None:
        """The comparison at the present width."""
        width, glyphs = max(40, self.size.width - 6), app_of(self).glyphs
        heads, *sections = compare_sections(self.sessions, self.differences, width)
        lines: list[Content] = []
        high = 2 if self.size.height >= TALL else 1
        for line, bands in zip(heads.rows, (*self._bands, ()), strict=True):
            lines.append(row_content(line))
            lines.extend(
                cloth.pad_left(3) for cloth in (strip(bands, width - 1, high, glyphs) if bands else ())
            )
        page = Content("\n").join(line.pad_left(2) for line in (*lines, Content("")))
        mend = [sections_content([Section("to mend", self.wrong)], self.size.width - 1)] if self.wrong else []
        self.show("page", Content("\n").join([*mend, page, sections_content(sections, self.size.width - 1)]))
