"""The bench's face: alarms, header, stages, the one clock, what to do now, the other clocks."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Static

from studio.screens.bench.view import BenchView
from studio.screens.draw import bench as draw
from studio.screens.draw.clocks import plot
from studio.screens.draw.keys import ASCII, Glyphs
from studio.screens.draw.lists import banner
from studio.screens.draw.panel import panel
from studio.screens.keyed import put
from studio.session.run import Running

TALL = 34
"""Rows of the screen from which the digits are seven rows high."""
PARTS = ("alarms", "header", "rail", "rule-top", "clock", "rule-mid", "panel", "also")


class Face(Vertical):
    """Shows a view of the session; only what changed is painted.

    What stands below its parts is laid out in it, so that they stay where they are when a line opens or closes.
    """

    def __init__(self, *below: Widget) -> None:
        super().__init__(id="face")
        self._below = below
        self._drawn: dict[str, Content] = {}

    def compose(self) -> ComposeResult:
        for name in PARTS:
            yield Static(id=name, classes="rule" if name.startswith("rule") else "", markup=False)
        yield from self._below

    def draw(self, view: BenchView, signs: Sequence[str], width: int, height: int, glyphs: Glyphs) -> None:
        """All but what to do now, on a screen of that size."""
        self._show("alarms", banner(view.alarms, view.trouble, view.moved, width))
        self._show("header", draw.header(view.title, view.about, view.time, view.saved, width))
        self._show("rail", draw.rail(view.stages, width, glyphs))
        rule = Content.styled(" " + glyphs.rule * (width - 2), "$line")
        self._show("rule-top", rule)
        self._show("rule-mid", rule)
        tall = height >= TALL
        self._show(
            "clock", draw.clock_face(view.timer, view.time, view.ends_at, glyphs, tall=tall, width=width)
        )
        shown = view.timer.id if view.timer else ""
        self._show("also", draw.also_line(view.timers, shown, ", ".join(signs), width))

    def draw_panel(self, view: BenchView, running: Running, width: int, height: int, glyphs: Glyphs) -> None:
        """What to do now, in the room that the other parts leave of `height`; known before the next layout."""
        others = (part for name, part in self._drawn.items() if name != "panel" and part.plain)
        room = max(3, height - sum(part.plain.count("\n") + 1 for part in others))
        curve = partial(plot, view.ramp, ascii_only=glyphs is ASCII) if view.ramp is not None else None
        shown = panel(view.shown, running.state, width, room, curve) if view.shown else view.ended
        self._show("panel", shown)

    def draw_alone(self, page: Content) -> None:
        """One page instead of all of it."""
        for name in PARTS:
            self._show(name, page if name == "panel" else Content(""))

    def _show(self, name: str, content: Content) -> None:
        self._drawn[name] = content
        widget = self.query_one(f"#{name}", Static)
        widget.display = bool(content.plain) or name == "panel"
        put(widget, content)
