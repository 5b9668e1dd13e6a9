"""The one place that writes to the terminal beside Textual: the window title.

Textual has no public way to set it, so its driver is asked; where that fails nothing is lost.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from studio.plaintext import osc_text

if TYPE_CHECKING:
    from studio.screens.app import PotsideApp


def set_title(app: PotsideApp, title: str) -> None:
    """Set the title of the terminal window, if it changed and the terminal takes one."""
    text = osc_text(title)
    if app.window_title == text or app.is_headless:
        return
    app.window_title = text
    driver = getattr(app, "_driver", None)
    if driver is not None:
        driver.write(f"\x1b]0;{text}\x07")
