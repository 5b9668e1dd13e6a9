"""A shopping list, and what a finished session takes off the shelf."""

from __future__ import annotations

from collections.abc import Collection
from contextlib import suppress
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from studio.plaintext import clean
from studio.report.shelf_rows import shopping_sections
from studio.screens.bench.entry import Entry
from studio.screens.draw.lists import heading, marked, sections_content, taking_lines
from studio.screens.keyed import Keyed, KeyLine, app_of
from studio.screens.rows import Rows
from studio.session.after.drawing_down import Taking
from studio.trouble import Trouble
from studio.words.actions import Question
from studio.words.table import spoken

if TYPE_CHECKING:
    from studio.services.plans import PlanCard
    from studio.services.shelf import DrawDown, ShelfBook
    from studio.services.studio import Services


# A shopping list: choose plans, see what they need together and what of it is there.


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
        self.show("log-title", heading("Shopping", "for which plans?"))
        with self.telling():
            self._plans = [plan for plan in self.services.plans() if plan.readable]
        self.query_one(Rows).fill([Option(self._row(plan), id=plan.key) for plan in self._plans])

    def _row(self, plan: PlanCard) -> Content:
        return marked(Content.styled(clean(plan.title, limit=60), "$text"), plan.key in self.chosen)

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

    def redraw(self) -> None:
        """The list for the plans that are marked."""
        page = Content.styled(spoken(" {shopping.mark} puts the plan under the bar on the list."), "$quiet")
        try:
            if self.chosen:
                listed = self.services.shop(list(self.chosen))
                page = sections_content(
                    shopping_sections(listed, max(40, self.size.width - 6)), self.size.width - 1
                )
        except Trouble as problem:
            page = Content.styled(f" {clean(str(problem), limit=400)}", "$danger")
        self.show("page", page)


# What a finished session takes off the shelf: looked at, and taken one by one or all at once.


class DrawDownScreen(Keyed[None], where="draw_down"):
    """Each change with its reason; nothing is written before it is confirmed, and nothing twice."""

    def __init__(self, book: ShelfBook, drawn: DrawDown) -> None:
        super().__init__()
        self.book = book
        self.drawn = drawn

    def compose(self) -> ComposeResult:
        yield Static(id="log-title", markup=False)
        yield Rows(id="taking-list")
        yield Entry()
        yield KeyLine()

    def on_mount(self) -> None:
        if self.drawn.remarks:
            app_of(self).say(self.drawn.remarks[:2][-1], bad=True)

    def redraw(self) -> None:
        """What is done, what is open, what cannot be done."""
        width = max(40, self.size.width - 4)
        count = len(self.drawn.open)
        told = f"{count} to decide" if count else "nothing left to decide"
        title = clean(self.drawn.title, limit=max(10, width - 34))
        self.show("log-title", heading(f"Used up by {title}", told))
        rows = [Option(taking_lines(taking, width)) for taking in self.drawn.takings]
        none = Option(Content.styled("nothing was measured that comes off", "$quiet"))
        self.query_one(Rows).fill(rows or [none])
        self.refresh_bindings()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        if event.option_index >= len(self.drawn.takings):
            return
        taking = self.drawn.takings[event.option_index]
        if taking.done:
            return
        if taking.hindrance:
            self._ask((taking,), f"{taking.hindrance} Type n to be asked no more.", "n")
        else:
            said = f"{taking.said}. Type y to take it off, n to leave the shelf for good."
            self._ask((taking,), said, "y or n")

    def action_all(self) -> None:
        """All that is open, after a word."""
        self._ask(self.drawn.open, f"Take all {len(self.drawn.open)} off the shelf? Type y.", "y")

    def taking(self) -> bool:
        """Whether anything is left to decide."""
        return bool(self.drawn.open)

    def _ask(self, takings: tuple[Taking, ...], label: str, takes: str) -> None:
        ids = {taking.ids for taking in takings}
        self.query_one(Entry).ask(Question(label, lambda text: self._take(ids, text), takes))

    def _take(self, ids: Collection[tuple[str, ...]], text: str) -> None:
        answer = text.strip().casefold()[:1]
        asked = tuple(taking for taking in self.drawn.takings if taking.ids in ids)
        try:
            if answer == "y":
                self.drawn = self.book.take(self.drawn, asked)
            elif answer == "n" and len(asked) == 1:
                self.drawn = self.book.leave(self.drawn, asked)
        except Trouble:
            # The shelf as it is by now, where a file was changed by hand or half of it is done.
            with suppress(Trouble):
                self.drawn = self.book.drawing(self.drawn.session)
            raise
        finally:
            self.redraw()
