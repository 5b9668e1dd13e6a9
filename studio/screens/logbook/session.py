"""One session's page: read on, remark, its fastness tests, its pictures, why its figures are as they are."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from studio.plaintext import clean
from studio.report.session_page import session_page
from studio.screens.bench.correct import choose_entry
from studio.screens.bench.entry import Entry, Question
from studio.screens.draw.lists import sections_content
from studio.screens.keyed import Keyed, KeyLine, app_of
from studio.session import commands as c
from studio.trouble import Trouble

if TYPE_CHECKING:
    from studio.services.studio import Services
    from studio.session.after.review import ReadSession

REMARK = "Remark, added after the record"


class SessionScreen(Keyed[None], where="session"):
    """Remarks and fastness tests can be added; nothing can be changed."""

    AUTO_FOCUS = "#sheet"

    def __init__(self, services: Services, key: str, read: ReadSession) -> None:
        super().__init__()
        self.services = services
        self.key = key
        self.read = read
        self._take: Callable[[str], None] = self._remark
        """What is done with the line that is typed."""

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="sheet"):
            yield Static(id="page", markup=False)
        yield Entry(id="entry")
        yield KeyLine()

    def on_mount(self) -> None:
        self.call_after_refresh(self.redraw)

    def on_resize(self) -> None:
        self.call_after_refresh(self.redraw)

    def redraw(self) -> None:
        """The page at the present width."""
        read = self.read
        width = max(40, self.size.width - 3)
        sections = session_page(read.state, read.name, read.remarks, width)
        self.query_one("#page", Static).update(sections_content(sections))
        if not self.query_one(Entry).is_asking:
            self.query_one("#sheet").focus()

    def action_remark(self) -> None:
        self._ask(Question(REMARK, lambda text: c.AddNote(text)), self._remark)

    def _remark(self, text: str) -> None:
        self.services.remark(self.key, text)
        self.read = self.services.read(self.key)

    def action_entry(self) -> None:
        choose_entry(self, self._keep, steamed=False)

    def _keep(self, question: Question) -> None:
        """Ask, ask on where one answer is not all, and add what it comes to."""

        def take(text: str) -> None:
            command = question.answer(text)
            if isinstance(command, Question):
                self._keep(command)
                return
            self.services.add_later(self.key, lambda state: command)
            self.read = self.services.read(self.key)

        self._ask(question, take)

    def action_follow_up(self) -> None:
        from studio.screens.logbook.follow_up import FollowUpScreen

        self.app.push_screen(FollowUpScreen(self.services, self.key, self.read), lambda _: self._read_again())

    def _read_again(self) -> None:
        try:
            self.read = self.services.read(self.key)
        except Trouble as problem:
            app_of(self).say(str(problem), bad=True)
        self.redraw()

    def action_open_picture(self) -> None:
        """The only picture at once; of several the one whose number is typed."""
        photos = self.read.state.photos
        if len(photos) == 1:
            try:
                self._open_picture("1")
            except (Trouble, ValueError) as problem:
                app_of(self).say(str(problem), bad=True)
        else:
            label = f"Open which picture, 1 to {len(photos)}, as they are numbered on the page?"
            asked = Question(label, lambda text: c.AddNote(text), takes="A number")
            self._ask(asked, self._open_picture)

    def _open_picture(self, text: str) -> None:
        photos = self.read.state.photos
        told = text.strip()
        if not (told.isascii() and told.isdigit() and len(told) < 5 and 1 <= int(told) <= len(photos)):
            raise ValueError(f"Type the number of a picture, 1 to {len(photos)}.")
        app_of(self).say(self.services.open_picture(photos[int(told) - 1].event.path))

    def _ask(self, question: Question, take: Callable[[str], None]) -> None:
        self._take = take
        self.query_one(Entry).ask(question)

    @on(Entry.Answered)
    def _answered(self, message: Entry.Answered) -> None:
        try:
            self._take(message.text)
        except (Trouble, ValueError) as problem:
            self.query_one(Entry).say(clean(str(problem), limit=300))
            return
        if self.query_one(Entry).question is message.question:
            self.query_one(Entry).close()
        self.redraw()

    @on(Entry.Closed)
    def _nothing_typed(self) -> None:
        self.query_one("#sheet").focus()

    def action_why(self) -> None:
        from studio.screens.bench.correct import why_page

        self.app.push_screen(why_page(self.read.state.worksheet.figures, self.read.state.worksheet.cautions))

    def action_repeat(self) -> None:
        from studio.screens.logbook.repeat import RepeatScreen

        self.app.push_screen(RepeatScreen(self.services, self.key, self.read))

    def action_go_on(self) -> None:
        """From what is whole of a damaged session, in a new file; the damaged one stays as it is."""
        from studio.screens.bench.bench import BenchScreen
        from studio.screens.bench.view import where_you_were

        try:
            running = self.services.resume(self.key, anew=True)
        except Trouble as problem:
            app_of(self).say(str(problem), bad=True)
            return
        notice = where_you_were(running.state, running.clock.now())
        self.app.switch_screen(BenchScreen(running, notice=notice))

    def pictures(self) -> bool:
        """Whether there is a picture to open."""
        return bool(self.read.state.photos)

    def goes_on(self) -> bool:
        """Whether it is damaged and can be continued in a new file."""
        return self.read.may_continue
