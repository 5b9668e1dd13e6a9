"""What can be done on a screen, every plan and every session, found by name in Textual's command palette."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from studio.plaintext import clean
from studio.report.printing import short_day
from studio.screens.keyed import OTHERS, Keyed, app_of
from studio.trouble import Trouble
from studio.words.actions import Action, written

if TYPE_CHECKING:
    from studio.services.studio import Services

Command = tuple[str, Callable[[], None], str]
"""What it is called, what it does, what it is or its key."""
FIND = "An action, a plan or a session"


async def open_palette(screen: Keyed[Any], actions: list[Action]) -> None:
    """Over the screen; where a session is acted on no other is offered, for to begin it would let go of this one."""
    app, found = app_of(screen), [_action(screen, row) for row in actions if row.name != "palette"]
    if not any(isinstance(below, Keyed) and below.running for below in app.screen_stack):
        found.extend(await asyncio.to_thread(_plans_and_sessions, screen))
    if app.screen is screen:
        app.stylesheet.read(OTHERS)
        app.search_commands(found, FIND)


def _action(screen: Keyed[Any], row: Action) -> Command:
    """As if its key were pressed."""
    key = row.keys.split(",")[0]
    says = f"{row.says[:1].upper()}{row.says[1:]}"
    return says, partial(app_of(screen).press, key), written(key)


def _plans_and_sessions(screen: Keyed[Any]) -> list[Command]:
    services, found = app_of(screen).services, list[Command]()
    try:
        for plan in services.plans():
            if plan.readable:
                shown = partial(show_plan, screen, services, plan.key)
                found.append((clean(plan.title, limit=60), shown, f"plan, {plan.about}"))
        for one in services.find("", limit=None, refresh=False)[0]:
            day = short_day(one.opened_ns, one.utc_offset_min)
            shown = partial(show_session, screen, services, one.key)
            found.append((f"{clean(one.title, limit=60)}, {day}", shown, f"session, {one.standing}"))
    except Trouble:
        pass  # Home and the logbook say what is wrong.
    return found


def show_plan(screen: Keyed[Any], services: Services, key: str) -> None:
    """A plan as it is worked out."""
    from studio.screens.worksheet import WorksheetScreen

    with screen.telling():
        screen.app.push_screen(WorksheetScreen(services, services.work_out(key)))


def show_session(screen: Keyed[Any], services: Services, key: str) -> None:
    """The page of a session."""
    from studio.screens.logbook.session import SessionScreen

    with screen.telling():
        screen.app.push_screen(SessionScreen(services, key, services.read(key)))
