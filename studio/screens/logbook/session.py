"""One session's page: read on, remark, its fastness tests, its pictures, why its figures are as they are."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, cast

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from studio.plan.preview import seen_strip
from studio.report.session_head import FACTS
from studio.report.session_page import STAGES, session_page
from studio.screens.bench.correct import choose_entry
from studio.screens.bench.entry import Entry
from studio.screens.draw.bench import TALL
from studio.screens.draw.cloth import strip
from studio.screens.draw.lists import rows_content, sections_content, set_in
from studio.screens.keyed import Keyed, KeyLine, app_of, question
from studio.session.bands import painted_with
from studio.session.kinds.notes import PhotoAdded
from studio.words.actions import WORDS, Question
from studio.words.questions import BESIDE

if TYPE_CHECKING:
    from studio.services.exporting import Kind
    from studio.services.studio import Services
    from studio.session import commands as c
    from studio.session.after.review import ReadSession

ROOMY = 24
"""Rows of a screen that has room for blank ones. House rule."""
REMARK = "Remark, added after the record"


class SessionScreen(Keyed[None], where="session"):
    """Remarks and fastness tests can be added; nothing can be changed."""

    AUTO_FOCUS = "#sheet"

    def __init__(self, services: Services, key: str, read: ReadSession) -> None:
        super().__init__()
        self.services = services
        self.key = key
        self.read = read
        self._bands = seen_strip(read.state.choices, painted_with(read.state))

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="sheet"):
            yield Static(id="page", markup=False)
        yield Entry(self._add)
        yield KeyLine()

    def redraw(self) -> None:
        """Title, strip, facts and stages, then the tables that there are, at the present width."""
        read, glyphs = self.read, app_of(self).glyphs
        width = max(40, self.size.width - 4)
        head, *rest = session_page(read.state, read.name, read.remarks, width)
        cloth = strip(self._bands, width, self.strip_rows(), glyphs) if self._bands else []
        blank = [Content("")] if self.size.height >= ROOMY else []
        lines = [*rows_content(head), *blank, *cloth, *blank]
        for section in rest:
            if section.name in (FACTS, STAGES):
                lines.extend((*rows_content(section), Content("")))
        tables = [section for section in rest if section.name not in (FACTS, STAGES)]
        page = Content("\n").join(set_in(line, 2, width + 3) for line in lines)
        self.show("page", Content("\n").join((page, sections_content(tables, width + 3))))

    def strip_rows(self) -> int:
        """As many as the height has room for."""
        return 4 if self.size.height >= 48 else 3 if self.size.height >= TALL else 2

    @on(Entry.Closed)
    def _changed(self) -> None:
        self.redraw()

    def action_remark(self) -> None:
        self.query_one(Entry).ask(Question(REMARK, self._remark, WORDS))

    def _remark(self, text: str) -> None:
        self.services.remark(self.key, text)
        self.read = self.services.read(self.key)

    def action_entry(self) -> None:
        ask = self.query_one(Entry).ask
        choose_entry(self, lambda what: ask(BESIDE[what](self.read.state)), steamed=False)

    def _add(self, command: object) -> None:
        """Add what was answered to the record."""
        if command is not None:
            self.services.add_later(self.key, lambda state: cast("c.Command", command))
            self.read = self.services.read(self.key)

    def action_follow_up(self) -> None:
        from studio.screens.logbook.follow_up import FollowUpScreen

        self.app.push_screen(FollowUpScreen(self.services, self.key, self.read), lambda _: self._read_again())

    def _read_again(self) -> None:
        with self.telling():
            self.read = self.services.read(self.key)
        self.redraw()

    def action_open_picture(self) -> None:
        """The only picture at once; of several the one whose number is typed."""
        photos = self.read.state.kept(PhotoAdded)
        if len(photos) == 1:
            with self.telling():
                self._open_picture("1")
        else:
            label = f"Open which picture, 1 to {len(photos)}, as they are numbered on the page?"
            self.query_one(Entry).ask(Question(label, self._open_picture, takes="A number"))

    def _open_picture(self, text: str) -> None:
        photos = self.read.state.kept(PhotoAdded)
        told = text.strip()
        if not (told.isascii() and told.isdigit() and len(told) < 5 and 1 <= int(told) <= len(photos)):
            raise ValueError(f"Type the number of a picture, 1 to {len(photos)}.")
        app_of(self).say(self.services.open_picture(photos[int(told) - 1].event.path))

    def action_why(self) -> None:
        from studio.screens.bench.correct import why_page

        self.app.push_screen(why_page(self.read.state.worksheet.figures, self.read.state.worksheet.cautions))

    def action_hand_over(self) -> None:
        """Ask what to make of it, write that, and say where it is."""
        self.app.push_screen(question("hand_over", "Write what of this session?"), self._write)

    def _write(self, kind: str | None) -> None:
        if kind:
            self.app.run_worker(self._hand_over(cast("Kind", kind)))

    async def _hand_over(self, kind: Kind) -> None:
        """Off the drawing loop, and not of this screen: what is written is told also where one went on."""
        from studio.services.exporting import hand_over

        with self.telling():
            app_of(self).say(await asyncio.to_thread(hand_over, self.services, self.read, kind))

    def action_repeat(self) -> None:
        from studio.screens.logbook.repeat import RepeatScreen

        self.app.push_screen(RepeatScreen(self.services, self.read))

    def action_go_on(self) -> None:
        """From what is whole of a damaged session, in a new file; the damaged one stays as it is."""
        from studio.screens.bench.bench import BenchScreen

        with self.telling():
            self.app.switch_screen(BenchScreen(self.services.resume(self.key, anew=True)))

    def pictures(self) -> bool:
        """Whether there is a picture to open."""
        return bool(self.read.state.kept(PhotoAdded))

    def goes_on(self) -> bool:
        """Whether it is damaged and can be continued in a new file."""
        return self.read.may_continue
