"""The way to the plan screen from anywhere."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from studio.plaintext import clean
from studio.plan.draft.draft import PlanDraft
from studio.plan.draft.edits import Place
from studio.plan.errors import PlanError
from studio.plan.reading import BeginningPlan
from studio.screens.draw.keys import hanging
from studio.screens.keyed import Keyed, KeyLine, Rows, app_of
from studio.trouble import Trouble

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
    except (Trouble, PlanError) as problem:
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

    AUTO_FOCUS = ""
    FIELD = "naming"

    def __init__(self, services: Services) -> None:
        super().__init__()
        self.services = services
        self.beginnings = tuple(services.plan_files.beginnings())
        self._chosen: BeginningPlan | None = None

    def compose(self) -> ComposeResult:
        yield Static(Content.styled(" A new plan: begin from", "bold $text"), id="new-title", markup=False)
        yield Rows(id="new-list")
        yield Static(id="new-ask", markup=False)
        yield Input(id="new-name", compact=True, max_length=LONGEST_TITLE)
        yield KeyLine()

    def on_mount(self) -> None:
        self._ask(None)

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

    def _ask(self, beginning: BeginningPlan | None) -> None:
        """Ask for the title, or show the list again."""
        self._chosen = beginning
        ask, box, rows = self.query_one("#new-ask", Static), self.query_one(Input), self.query_one(OptionList)
        ask.display = box.display = beginning is not None
        if beginning is None:
            rows.focus()
            return
        ask.update(Content.styled(" What is it called?", "$focus"))
        box.value = beginning.title
        box.focus()

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        self._ask(self.beginnings[int(event.option_id or 0)])

    @on(Input.Submitted)
    def _named(self, event: Input.Submitted) -> None:
        from studio.screens.plan.plan import PlanScreen

        beginning, title = self._chosen, event.value.strip()
        if beginning is None:
            return
        if not title:
            self.query_one("#new-ask", Static).update(
                Content.styled(" What is it called? Write a title.", "$due")
            )
            return
        files = self.services.plan_files
        try:
            draft = PlanDraft(beginning.text, files.shelf, name=beginning.title)
            draft.put(Place("", None, "title"), title)
            file = files.save_as(title, draft.text)
        except (Trouble, PlanError) as problem:
            app_of(self).say(str(problem), bad=True)
            return
        self.app.switch_screen(PlanScreen(self.services, file))

    def action_leave(self) -> None:
        if self._chosen is not None:
            self._ask(None)
        else:
            self.dismiss()
