"""Marking sessions in a list with Space, and what differs between the marked ones."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import OptionList, Static

from studio.report.comparing import compare_sections
from studio.report.printing import Section, row
from studio.screens.draw.lists import sections_content
from studio.screens.keyed import Keyed, KeyLine, app_of
from studio.session.after.comparing import FEWEST, MOST, compare
from studio.trouble import Trouble

if TYPE_CHECKING:
    from studio.services.studio import Services
    from studio.session.after.review import ReadSession

MARK = "* "


class MarkingScreen(Keyed[None]):
    """A screen with one OptionList of sessions, whose option ids are their keys.

    Rows are drawn with `marked_row`, so that a mark has its place.
    """

    def __init__(self, services: Services) -> None:
        super().__init__()
        self.services = services
        self.marked: dict[str, None] = {}
        """Keys of the marked sessions, in the order they were marked."""

    def marked_row(self, key: str, told: Content) -> Content:
        """A row with its mark, or the room for one."""
        sign = MARK if key in self.marked else " " * len(MARK)
        return Content.assemble((sign, "bold $focus"), told)

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
            app_of(self).say(f"{MOST} sessions are marked already; take a mark away with Space.", bad=True)
            return
        else:
            self.marked[key] = None
        told = option.prompt
        if isinstance(told, Content):
            rows.replace_option_prompt(key, self.marked_row(key, told[len(MARK) :]))

    def action_compare(self) -> None:
        """What differs between the marked sessions."""
        if len(self.marked) < FEWEST:
            app_of(self).say(
                "Mark two to four sessions with {logbook.mark}, then press {logbook.compare}.", bad=True
            )
            return
        try:
            read = [self.services.read(key) for key in self.marked]
        except Trouble as problem:
            app_of(self).say(str(problem), bad=True)
            return
        self.app.push_screen(CompareScreen(read))


class CompareScreen(Keyed[None], where="compare"):
    """Two to four sessions side by side, only what differs."""

    AUTO_FOCUS = "#sheet"

    def __init__(self, sessions: Sequence[ReadSession]) -> None:
        super().__init__()
        self.sessions = sessions
        self.wrong = tuple(row((sentence, "danger")) for one in sessions for sentence in one.told)
        self.differences = compare([session.state for session in sessions])

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="sheet"):
            yield Static(id="page", markup=False)
        yield KeyLine()

    def on_mount(self) -> None:
        self.call_after_refresh(self.redraw)

    def on_resize(self) -> None:
        self.call_after_refresh(self.redraw)

    def redraw(self) -> None:
        """The comparison at the present width."""
        width = max(40, self.size.width - 6)
        sections = compare_sections(self.sessions, self.differences, width)
        self.query_one("#page", Static).update(
            sections_content((Section("to mend", self.wrong), *sections) if self.wrong else sections)
        )
