"""The logbook: sessions, newest first, and one session's page."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from studio.plaintext import clean
from studio.report.logbook_list import listed_row
from studio.report.session_page import session_page
from studio.screens.draw.sheet import row_content, sections_content
from studio.screens.entry import Entry, Question
from studio.screens.house import house_of
from studio.screens.needs import Desk, ReadBack
from studio.session import commands as c
from studio.trouble import Trouble

MOST_ROWS = 500
REMARK = "Remark, added after the record  (swatch rust 3 solid 2 mixed: held against the forecast)"


class LogbookScreen(Screen[None]):
    """Newest first; at most 500 rows, the rest counted."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q", "leave", "back", id="logbook.leave")]

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk

    def compose(self) -> ComposeResult:
        yield Static(Content.styled(" Logbook", "bold $text"), id="log-title", markup=False)
        yield OptionList(id="log-list")
        yield Static(Content.styled(" Enter read   Esc back", "$quiet"), id="keys", markup=False)

    def on_mount(self) -> None:
        self.call_after_refresh(self.fill)

    def fill(self) -> None:
        """List the sessions anew."""
        rows = self.query_one(OptionList)
        rows.clear_options()
        try:
            cards = list(self.desk.sessions())
        except Trouble as problem:
            house_of(self).say(str(problem), bad=True)
            return
        width = max(40, self.size.width - 4)
        rows.add_options(
            Option(row_content(listed_row(card, width)), id=card.key) for card in cards[:MOST_ROWS]
        )
        more = (
            f"   newest {MOST_ROWS} of {len(cards)} shown" if len(cards) > MOST_ROWS else f"   {len(cards)}"
        )
        title = Content.assemble((" Logbook", "bold $text"), (more, "$quiet"))
        self.query_one("#log-title", Static).update(title)
        rows.highlighted = 0 if cards else None
        rows.focus()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        try:
            read = self.desk.read(event.option_id or "")
        except Trouble as problem:
            house_of(self).say(str(problem), bad=True)
            return
        self.app.push_screen(SessionScreen(self.desk, event.option_id or "", read))

    def action_leave(self) -> None:
        self.dismiss()


class SessionScreen(Screen[None]):
    """One session's page; remarks can be added, nothing can be changed."""

    AUTO_FOCUS = "#sheet"

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("n", "remark", "remark", id="session.remark"),
        Binding("w", "why", "why", id="session.why"),
        Binding("escape,q", "leave", "back", id="session.leave"),
    ]

    def __init__(self, desk: Desk, key: str, read: ReadBack) -> None:
        super().__init__()
        self.desk = desk
        self.key = key
        self.read = read

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="sheet"):
            yield Static(id="page", markup=False)
        yield Entry(id="entry")
        keys = " up and down to read on   N add a remark   W why the figures   Esc back"
        yield Static(Content.styled(keys, "$quiet"), id="keys", markup=False)

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
        self.query_one(Entry).ask(
            Question(
                "Remark, added after the record; swatch rust 3 solid 2 mixed is held against the forecast",
                lambda text: c.AddNote(text),
            )
        )

    @on(Entry.Answered)
    def _answered(self, message: Entry.Answered) -> None:
        try:
            self.desk.remark(self.key, message.text)
            self.read = self.desk.read(self.key)
        except (Trouble, ValueError) as problem:
            self.query_one(Entry).say(clean(str(problem), limit=300))
            return
        self.query_one(Entry).close()
        self.redraw()

    @on(Entry.Closed)
    def _nothing_typed(self) -> None:
        self.query_one("#sheet").focus()

    def action_why(self) -> None:
        from studio.screens.why import WhyScreen

        self.app.push_screen(WhyScreen(self.read.state.worksheet.figures, self.read.state.worksheet.cautions))

    def action_leave(self) -> None:
        self.dismiss()
