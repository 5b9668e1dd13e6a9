"""A plan as it is worked out, and from it to the bench: asked once, whether it is rehearsed or begun."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from studio.plaintext import clean
from studio.plan.preview import seen_strip
from studio.screens.draw.cloth import strip
from studio.screens.draw.lists import heading
from studio.screens.draw.panel import figures, notes, pressing, why
from studio.screens.keyed import Keyed, KeyLine, app_of, question
from studio.trouble import Trouble

if TYPE_CHECKING:
    from studio.services.plans import WorkedPlan
    from studio.services.studio import Services


REHEARSAL = "A rehearsal: the clocks run fast; no water, no dye."


def ask_to_begin(
    screen: Screen[Any], services: Services, worked: WorkedPlan, *, instead: bool = False
) -> None:
    """Ask, then open the bench, `instead` of the screen; a plan that may not begin is told why at once."""

    def go(answer: str | None) -> None:
        from studio.screens.bench.bench import BenchScreen

        if not answer:
            return
        rehearsed = answer == "rehearse"
        try:
            running = services.rehearse(worked=worked) if rehearsed else services.begin(worked)
        except Trouble as problem:
            app_of(screen).say(str(problem), bad=True)
            return
        bench = BenchScreen(running, notice=REHEARSAL if rehearsed else "")
        if instead:
            screen.app.switch_screen(bench)
        else:
            screen.app.push_screen(bench)

    if worked.worksheet.stops:
        go("begin")
    else:
        title = clean(worked.worksheet.title, limit=60)
        screen.app.push_screen(question("begin", f"{title}: rehearse or begin?"), go)


class WorksheetScreen(Keyed[None], where="worksheet"):
    """Read it through, then begin; a stop keeps it from beginning."""

    def __init__(self, services: Services, worked: WorkedPlan) -> None:
        super().__init__()
        self.services = services
        self.worked = worked
        self.bands = seen_strip(worked.choices)
        self.with_reasons = False

    def compose(self) -> ComposeResult:
        yield Static(id="sheet-title", markup=False)
        yield Static(id="sheet-cloth", markup=False)
        with VerticalScroll(id="sheet"):
            yield Static(id="sheet-cautions", markup=False)
            yield Static(id="sheet-figures", markup=False)
            yield Static(id="sheet-notes", markup=False)
        yield KeyLine()

    def redraw(self) -> None:
        """What is pressing, then the figures (with reasons when asked for), then what is good to know."""
        sheet = self.worked.worksheet
        stops = len(sheet.stops)
        standing = (
            (f"{stops} to change before it can begin", "$danger") if stops else ("ready to begin", "$done")
        )
        self.show("sheet-title", heading(clean(sheet.title, limit=60), *standing))
        width = max(40, self.size.width - 3)
        lines = strip(self.bands, self.size.width - 2, 2, app_of(self).glyphs)
        self.show("sheet-cloth", Content("\n").join(line.pad_left(1) for line in lines))
        serious = pressing(sheet, width)
        self.show("sheet-cautions", serious)
        self.query_one("#sheet-cautions").display = bool(serious.plain)
        reasons = Content("\n").join(why(f, width) for f in sheet.figures)
        self.show("sheet-figures", reasons if self.with_reasons else figures(sheet, width))
        self.show("sheet-notes", notes(sheet, width))
        self.query_one("#sheet").focus()

    def action_why(self) -> None:
        self.with_reasons = not self.with_reasons
        self.redraw()

    def action_begin(self) -> None:
        ask_to_begin(self, self.services, self.worked, instead=True)

    def blank(self) -> bool:
        """Whether a forecast can be made of it."""
        return self.worked.choices.form == "blank"

    def action_forecast(self) -> None:
        from studio.screens.forecast import ForecastScreen

        with self.telling():
            self.app.push_screen(ForecastScreen(self.services.foresee(self.worked.key)))

    def action_edit(self) -> None:
        """Change the plan; coming from the plan screen, go back to it."""
        from studio.screens.plan.opening import open_plan

        open_plan(self, self.services, self.worked.key, instead=True)
