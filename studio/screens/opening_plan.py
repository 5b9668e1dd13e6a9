"""The way to the plan screen from anywhere."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual.screen import Screen

from studio.plan.errors import PlanError
from studio.screens.app_of import app_of
from studio.trouble import Trouble

if TYPE_CHECKING:
    from studio.services.studio import Services


def open_plan(screen: Screen[Any], services: Services, key: str, *, instead: bool = False) -> None:
    """Open a plan file to be changed; say why where it cannot be. `instead` takes the screen's place."""
    from studio.screens.plan import PlanScreen

    below = screen.app.screen_stack[-2] if len(screen.app.screen_stack) > 1 else None
    if isinstance(below, PlanScreen) and below.file.key == key:
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
