"""The bench's face: alarms on top, and below them the page of what is to be done now."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from textual.containers import Vertical
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Static

from studio.screens.bench.view import BenchView
from studio.screens.draw.bench import Frame, page
from studio.screens.draw.clocks import plot
from studio.screens.draw.lists import ANSWERS, LEAVES, banner
from studio.screens.keyed import put

if TYPE_CHECKING:
    from studio.craft.stripe.picture import Picture
    from studio.plan.preview import Look
    from studio.screens.draw.keys import Glyphs


class Face(Vertical):
    """Shows a view of the session; only what changed is painted.

    What stands below its parts is laid out in it, so that they stay where they are when a line opens or closes.
    """

    def __init__(self, *below: Widget) -> None:
        self._alarms, self._panel = Static(id="alarms", markup=False), Static(id="panel", markup=False)
        super().__init__(self._alarms, self._panel, *below, id="face")

    def draw(self, view: BenchView, frame: Frame, height: int) -> None:
        """All of it, in so many rows; known before the next layout."""
        keys = LEAVES if frame.asking else ANSWERS
        alarms = banner(view.alarms, view.trouble, view.moved, frame.width, frame.glyphs, keys)
        room = height - (alarms.plain.count("\n") + 1 if alarms.plain else 0)
        curve = (
            partial(plot, view.ramp, ascii_only=frame.glyphs.ascii_only) if view.ramp is not None else None
        )
        self._show(alarms, page(view, frame, max(3, room), curve))

    def draw_alone(self, page: Content) -> None:
        """One page instead of all of it."""
        self._show(Content(""), page)

    def _show(self, alarms: Content, page: Content) -> None:
        self._alarms.display = bool(alarms.plain)
        put(self._alarms, alarms)
        put(self._panel, page)


def knitted(
    palette: dict[str, Look], picture: Picture, glyphs: Glyphs, width: int, rows: int
) -> list[Content]:
    """The piece as it may come out, so many rows and a line that says so."""
    from studio.report.forecast import grid
    from studio.screens.draw.cloth import cloth

    dots = grid(picture, picture.fabric, palette, width, 2 * rows)
    told = Content.styled("  as it may come out, knitted: first round at the left", "$quiet")
    return [told, *cloth(dots, coloured=glyphs.coloured, margin="  ").split("\n")]
