"""Fastness tests on the home page: those that are due, then those that come within a week."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from textual.content import Content
from textual.screen import Screen
from textual.widgets.option_list import Option

if TYPE_CHECKING:
    from studio.services.studio import Services

MOST_WAITING = 4
"""Rows on the home page; the rest is counted. House rule."""
ALL = "follow:"


def waiting_options(services: Services, width: int) -> list[Option]:
    """A row for each test that is due or coming, the longest overdue first, by what the logbook took in."""
    waiting = services.waiting(refresh=False)
    if not waiting:
        return []
    from studio.screens.draw.follow_up import waiting_row
    from studio.session.follow_up_days import SOON_DAYS, days_until

    today = date.fromisoformat(services.today())
    soon = [one for one in waiting if days_until(one.due, today) <= SOON_DAYS]
    shown = soon[:MOST_WAITING]
    options = [Option(waiting_row(one, today, width), id=f"follow:{one.test}:{one.key}") for one in shown]
    if len(soon) > len(shown):
        more = f"{len(soon) - len(shown)} more fastness tests are due or coming"
        options.append(Option(Content.assemble(("Due        ", "bold $due"), (more, "$text")), id=ALL))
    return options


def open_waiting(screen: Screen[None], services: Services, told: str) -> None:
    """Open one test to be graded, or the list of them all."""
    from studio.screens.follow_up import WaitingScreen, open_to_grade

    if told:
        open_to_grade(screen, services, told)
    else:
        screen.app.push_screen(WaitingScreen(services))
