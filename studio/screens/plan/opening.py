"""The way to the plan screen from anywhere, and to a new plan."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from studio.plaintext import clean
from studio.plan.draft.draft import PlanDraft
from studio.plan.draft.edits import Place
from studio.plan.reading import BeginningPlan, beginnings
from studio.screens.bench.entry import Entry
from studio.screens.draw.keys import hanging
from studio.screens.keyed import Keyed, KeyLine, app_of
from studio.screens.rows import Rows
from studio.trouble import Trouble
from studio.words.actions import Question

if TYPE_CHECKING:
    from studio.services.studio import Services


def open_plan(screen: Screen[Any], services: Services, key: str, *, instead: bool = False) -> None:
    """Open a plan file to be changed; say why where it cannot be. `instead` takes the screen's place."""
    from studio.screens.plan.plan import PlanScreen

    below = screen.app.screen_stack[-2] if len(screen.app.screen_stack) > 1 else None
    if isinstance(below, PlanScreen) and below.saving.file.key == key:
        screen.dismiss()
        return
    try:
        opened = PlanScreen(services, services.plan_files.read(key))
    except Trouble as problem:
        app_of(screen).say(str(problem), bad=True)
        return
    if instead:
        screen.app.switch_screen(opened)
    else:
        screen.app.push_screen(opened)


# A new plan: what to begin from, then what it is called.

TITLE_COLUMN = 22
LONGEST_TITLE = 60


class NewPlanScreen(Keyed[None], where="new_plan"):
    """Enter chooses; the plan is a file from then on."""

    FIELD = "naming"

    def __init__(self, services: Services) -> None:
        super().__init__()
        self.services = services
        self.beginnings = tuple(beginnings())

    def compose(self) -> ComposeResult:
        yield Static(Content.styled(" A new plan: begin from", "bold $text"), id="new-title", markup=False)
        yield Rows(id="new-list")
        yield Entry()
        yield KeyLine()

    def redraw(self) -> None:
        """The beginnings at the present width."""
        width = max(40, self.size.width - 4)
        options = []
        for number, beginning in enumerate(self.beginnings):
            title = Content.styled(clean(beginning.title, limit=TITLE_COLUMN), "bold $text")
            about = Content.styled(clean(beginning.about, limit=200), "$quiet")
            head = title.pad_right(TITLE_COLUMN + 2 - title.cell_length)
            lines = hanging(head, about.wrap(width - TITLE_COLUMN - 2))
            options.append(Option(Content("\n").join(lines), id=str(number)))
        self.query_one(Rows).fill(options)

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        beginning = self.beginnings[int(event.option_id or 0)]
        asked = Question("What is it called?", lambda text: self._make(beginning, text), "", beginning.title)
        self.query_one(Entry).ask(asked)

    def _make(self, beginning: BeginningPlan, text: str) -> None:
        """A plan of that title, as a file of its own; opened to be changed."""
        from studio.screens.plan.plan import PlanScreen

        title, files = text.strip(), self.services.plan_files
        if not 0 < len(title) <= LONGEST_TITLE:
            raise ValueError(f"Write a title of up to {LONGEST_TITLE} characters.")
        draft = PlanDraft(beginning.text, self.services.shelf, name=beginning.title)
        draft.put(Place("", None, "title"), title)
        file = files.save_as(title, draft.text)
        self.app.switch_screen(PlanScreen(self.services, file))
