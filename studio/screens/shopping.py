"""A shopping list: choose plans, see what they need together and what of it is there."""

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
from studio.screens.app_of import app_of
from studio.screens.draw.sheet import sections_content
from studio.screens.keyed import Keyed, KeyLine
from studio.screens.rows import Rows
from studio.trouble import Trouble

if TYPE_CHECKING:
    from studio.services.plan_cards import PlanCard
    from studio.services.studio import Services

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
