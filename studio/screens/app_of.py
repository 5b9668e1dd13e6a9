"""What every screen of the house shares: the app it belongs to, by its own type."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from textual.screen import Screen

if TYPE_CHECKING:
    from studio.screens.app import PotsideApp


def app_of(screen: Screen[Any]) -> PotsideApp:
    """The app, with its glyphs, its remarks and its idle time."""
    return cast("PotsideApp", screen.app)
