"""From a plan to the bench: asked once, whether it is rehearsed or begun."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual.screen import Screen

from studio.plaintext import clean
from studio.screens.app_of import app_of
from studio.screens.card import Card
from studio.trouble import Trouble

if TYPE_CHECKING:
    from studio.services.plan_cards import WorkedPlan
    from studio.services.studio import Services

REHEARSAL = "A rehearsal: the clocks run fast; no water, no dye."


class BeginCard(Card, where="begin"):
    """Rehearse, begin, or back."""


def ask_to_begin(
    screen: Screen[Any], services: Services, worked: WorkedPlan, *, instead: bool = False
) -> None:
    """Ask, then open the bench, `instead` of the screen; a plan that may not begin is told why at once."""

    def go(answer: str | None) -> None:
        from studio.screens.bench import BenchScreen

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
        screen.app.push_screen(
            BeginCard(f"{clean(worked.worksheet.title, limit=60)}: rehearse or begin?"), go
        )
