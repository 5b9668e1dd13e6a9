"""A shopping list, and what a finished session takes off the shelf."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from studio.plaintext import clean
from studio.report.shelf_rows import shopping_sections
from studio.screens.bench.entry import Entry, Question
from studio.screens.draw.lists import sections_content, taking_lines
from studio.screens.keyed import Keyed, KeyLine, Rows, app_of
from studio.session import commands as c
from studio.session.after.drawing_down import Taking
from studio.trouble import Trouble

if TYPE_CHECKING:
    from studio.services.plans import PlanCard
    from studio.services.shelf import DrawDown, ShelfBook
    from studio.services.studio import Services


# A shopping list: choose plans, see what they need together and what of it is there.

MARK = "* "


class ShoppingScreen(Keyed[None], where="shopping"):
    """Plans above, the list below; Enter puts a plan on the list or takes it off."""

    def __init__(self, services: Services) -> None:
        super().__init__()
        self.services = services
        self._plans: list[PlanCard] = []
        self.chosen: dict[str, None] = {}

    def compose(self) -> ComposeResult:
        yield Static(id="log-title", markup=False)
        yield Rows(id="shopping-plans")
        with VerticalScroll(id="sheet"):
            yield Static(id="page", markup=False)
        yield KeyLine()

    def on_mount(self) -> None:
        title = Content.assemble((" Shopping", "bold $text"), ("   for which plans?", "$quiet"))
        self.query_one("#log-title", Static).update(title)
        try:
            self._plans = [plan for plan in self.services.plans() if plan.readable]
        except Trouble as problem:
            app_of(self).say(str(problem), bad=True)
        rows = self.query_one(OptionList)
        rows.add_options(Option(self._row(plan), id=plan.key) for plan in self._plans)
        rows.highlighted = 0 if self._plans else None
        rows.focus()
        self.call_after_refresh(self.redraw)

    def _row(self, plan: PlanCard) -> Content:
        mark = MARK if plan.key in self.chosen else " " * len(MARK)
        return Content.assemble((mark, "bold $focus"), (clean(plan.title, limit=60), "$text"))

    @on(OptionList.OptionSelected)
    def _chosen(self) -> None:
        self.action_mark()

    def action_mark(self) -> None:
        """Put the plan under the bar on the list, or take it off."""
        rows = self.query_one(OptionList)
        if rows.highlighted is None:
            return
        plan = self._plans[rows.highlighted]
        if plan.key in self.chosen:
            del self.chosen[plan.key]
        else:
            self.chosen[plan.key] = None
        rows.replace_option_prompt(plan.key, self._row(plan))
        self.redraw()

    def on_resize(self) -> None:
        self.call_after_refresh(self.redraw)

    def redraw(self) -> None:
        """The list for the plans that are marked."""
        page = self.query_one("#page", Static)
        if not self.chosen:
            page.update(Content.styled(" Enter puts the plan under the bar on the list.", "$quiet"))
            return
        try:
            listed = self.services.shop(list(self.chosen))
        except Trouble as problem:
            page.update(Content.styled(f" {clean(str(problem), limit=400)}", "$danger"))
            return
        page.update(sections_content(shopping_sections(listed, max(40, self.size.width - 6))))


# What a finished session takes off the shelf: looked at, and taken one by one or all at once.


class DrawDownScreen(Keyed[None], where="draw_down"):
    """Each change with its reason; nothing is written before it is confirmed, and nothing twice."""

    def __init__(self, book: ShelfBook, drawn: DrawDown) -> None:
        super().__init__()
        self.book = book
        self.drawn = drawn
        self._asked: tuple[Taking, ...] = ()

    def compose(self) -> ComposeResult:
        yield Static(id="log-title", markup=False)
        yield Rows(id="taking-list")
        yield Entry(id="entry")
        yield KeyLine()

    def on_mount(self) -> None:
        self.call_after_refresh(self.fill)
        if self.drawn.remarks:
            app_of(self).say(self.drawn.remarks[:2][-1], bad=True)

    def on_resize(self) -> None:
        self.call_after_refresh(self.fill)

    def fill(self) -> None:
        """What is done, what is open, what cannot be done."""
        rows = self.query_one(OptionList)
        at = rows.highlighted or 0
        width = max(40, self.size.width - 4)
        count = len(self.drawn.open)
        told = f"{count} to decide" if count else "all of it is decided"
        title = clean(self.drawn.title, limit=max(10, width - 34))
        self.query_one("#log-title", Static).update(
            Content.assemble((f" Used up by {title}", "bold $text"), (f"   {told}", "$quiet"))
        )
        with self.app.batch_update():
            rows.clear_options()
            rows.add_options(Option(taking_lines(taking, width)) for taking in self.drawn.takings)
            if not self.drawn.takings:
                rows.add_option(Option(Content.styled("nothing was measured that comes off", "$quiet")))
        rows.highlighted = min(at, max(0, rows.option_count - 1))
        self.refresh_bindings()
        if not self.query_one(Entry).is_asking:
            rows.focus()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        if event.option_index >= len(self.drawn.takings):
            return
        taking = self.drawn.takings[event.option_index]
        if taking.done:
            return
        if taking.hindrance:
            self._ask((taking,), f"{taking.hindrance} Type n to be asked no more.")
        else:
            self._ask((taking,), f"{taking.said}. Type y to take it off, n to leave the shelf for good.")

    def action_all(self) -> None:
        """All that is open, after a word."""
        self._ask(self.drawn.open, f"Take all {len(self.drawn.open)} off the shelf? Type y.")

    def taking(self) -> bool:
        """Whether anything is left to decide."""
        return bool(self.drawn.open)

    def _ask(self, takings: tuple[Taking, ...], label: str) -> None:
        self._asked = takings
        self.query_one(Entry).ask(Question(label, lambda text: c.AddNote(text)))

    @on(Entry.Answered)
    def _answered(self, message: Entry.Answered) -> None:
        answer = message.text.strip().casefold()[:1]
        box = self.query_one(Entry)
        try:
            if answer == "y":
                self.drawn = self.book.take(self.drawn, self._asked)
            elif answer == "n" and len(self._asked) == 1:
                self.drawn = self.book.leave(self.drawn, self._asked)
        except Trouble as problem:
            self._look_again()
            box.say(str(problem))
            return
        box.close()
        self.fill()

    def _look_again(self) -> None:
        """The shelf as it is by now, where a file was changed by hand or half of it is done."""
        asked = {taking.ids for taking in self._asked}
        try:
            self.drawn = self.book.drawing(self.drawn.session)
        except Trouble:
            return
        self._asked = tuple(taking for taking in self.drawn.takings if taking.ids in asked)
        self.fill()

    @on(Entry.Closed)
    def _given_up(self) -> None:
        self.query_one(OptionList).focus()
