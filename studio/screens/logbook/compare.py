"""What differs between the sessions that are marked in the logbook."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from studio.report.comparing import compare_sections
from studio.report.printing import Section, row
from studio.screens.draw.lists import sections_content
from studio.screens.keyed import Keyed, KeyLine
from studio.session.after.comparing import compare

if TYPE_CHECKING:
    from studio.session.after.review import ReadSession


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

    def redraw(self) -> None:
        """The comparison at the present width."""
        width = max(40, self.size.width - 6)
        sections = compare_sections(self.sessions, self.differences, width)
        mend = (Section("to mend", self.wrong),) if self.wrong else ()
        self.show("page", sections_content((*mend, *sections)))
