"""The whole screen as one clock, for reading from across the room."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from studio.plaintext import clean
from studio.screens.app_of import app_of
from studio.screens.bench_view import BenchView, look
from studio.screens.draw import alarms as alarm_drawing
from studio.screens.draw.bench import left_text
from studio.screens.draw.digits import big_text, largest_scale
from studio.screens.keyed import KeyedModal, KeyLine
from studio.session.run import Running


class BigClockScreen(KeyedModal[None], where="big"):
    """Any of B, Esc, Q or Enter goes back; no key here does anything to the session."""

    def __init__(self, running: Running) -> None:
        super().__init__()
        self.running = running
        self._last: Content | None = None

    def compose(self) -> ComposeResult:
        yield Static(id="big", markup=False)
        yield KeyLine()

    def on_mount(self) -> None:
        self.set_interval(0.25, self.redraw)
        self.call_after_refresh(self.redraw)

    def redraw(self) -> None:
        """The clock as large as it fits, its label, the alarm if one stands, and the way back."""
        height = self.size.height - self.query_one(KeyLine).outer_size.height
        content = clock_page(self.running, self.size.width, height, app_of(self).glyphs.block)
        if self._last is None or not self._last.is_same(content):
            self._last = content
            self.query_one("#big", Static).update(content)


def clock_page(running: Running, width: int, height: int, block: str) -> Content:
    """The page as content; pure but for reading the session."""
    view = look(running)
    timer = view.timer
    digits = left_text(timer) if timer else view.time
    style = "bold $due" if timer and timer.sure and timer.due else "bold $text"
    told = alarm_drawing.banner(view.alarms, view.trouble, "", width)
    alarm_lines = told.split("\n") if told.plain else []
    scale = largest_scale(digits, width - 4, height - 4 - len(alarm_lines))
    rows = big_text(digits, block=block, scale=scale) if scale else [digits]
    step = view.shown.step.text if view.shown else "all steps are closed"
    lines: list[Content] = list(alarm_lines)
    above = max(0, (height - len(rows) - 3 - len(lines)) // 2)
    lines.extend([Content("")] * above)
    left = max(0, (width - max(map(len, rows))) // 2)
    lines.extend(Content.styled(" " * left + row, style) for row in rows)
    if height > 6:
        lines.append(Content(""))
        lines.append(Content.styled(_label(view, width).center(width), "$text"))
        lines.append(Content.styled(clean(step, limit=400)[: width - 2].center(width), "$quiet"))
    return Content("\n").join(lines[:height])


def _label(view: BenchView, width: int) -> str:
    timer = view.timer
    if timer is None:
        return "time of day"
    told = f"ends {view.ends_at}" if timer.sure else "T: say how long it ran"
    return f"{clean(timer.label, limit=max(0, width - len(told) - 2))}, {told}"
