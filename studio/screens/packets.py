"""Several packets in the steam, each with its own clock."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from studio.plaintext import clean
from studio.screens.acting import ActingScreen
from studio.screens.draw.bench import left_text
from studio.screens.draw.glyphs import DONE, NOW, WAITS
from studio.screens.entry import Entry, Question
from studio.screens.keyed import KeyLine
from studio.screens.saving_line import SavingLine
from studio.session import alarms
from studio.session import commands as c
from studio.session.clock import time_of_day
from studio.session.run import Running
from studio.session.timers import minutes_text, packets, view


class PacketsScreen(ActingScreen, where="packets"):
    """The first packet is the session's own; the others go in and out at their own times."""

    def __init__(self, running: Running) -> None:
        super().__init__(running)
        self.chosen = 0

    def compose(self) -> ComposeResult:
        yield SavingLine(self.running)
        yield Static(Content.styled(" Packets in the steam", "bold $text"), id="packets-title")
        yield Static(id="packets-alarm", markup=False)
        yield Static(id="packets-list", markup=False)
        yield Entry(id="entry")
        yield KeyLine()

    def on_mount(self) -> None:
        self.set_interval(0.5, self.redraw)
        self.call_after_refresh(self.redraw)

    def _packets(self) -> list[str]:
        return [t.id for t in packets(self.running.state)]

    def redraw(self) -> None:
        """Every packet with its clock."""
        state, now = self.running.state, self.running.clock.now()
        lines = []
        for index, timer_id in enumerate(self._packets()):
            timer = state.timers[timer_id]
            here = NOW if index == self.chosen else "   "
            if timer.running:
                seen = view(timer, now)
                ends = time_of_day(seen.ends_wall_ns, state.utc_offset_min)
                told = f"{left_text(seen):>8}  ends {ends}" + ("  stands still" if seen.paused else "")
            else:
                waits = self.running.saved.timers.get(timer_id) != timer
                told = f"{WAITS if waits else DONE} out after {minutes_text(timer.stopped_after_s or 0)}"
            label = clean(timer.label, limit=30)
            lines.append(
                Content.assemble((f" {here}", "bold $focus"), (f"{label:<32}", "$text"), (told, "bold $text"))
            )
        if not lines:
            lines.append(Content.styled(" The first packet's clock starts when the steam rolls.", "$quiet"))
        self.query_one("#packets-list", Static).update(Content("\n").join(lines))
        standing = alarms.standing(self.running.state)
        told = f" DUE  {clean(standing[0].text, limit=100)} Esc goes back to answer it." if standing else ""
        self.query_one("#packets-alarm", Static).update(Content.styled(told, "bold $due"))
        self.draw_foot()
        self.refresh_bindings()

    def action_packet_in(self) -> None:
        self.ask(Question("Which packet goes in? A few words for its label", lambda text: c.PacketIn(text)))

    async def action_packet_out(self) -> None:
        await self.act(c.PacketOut(self._packets()[self.chosen]))

    def several(self) -> bool:
        """Whether there is one to choose."""
        return len(self._packets()) > 1

    def packet(self) -> bool:
        """Whether one is in."""
        return bool(self._packets())

    def action_move(self, by: int) -> None:
        self.chosen = max(0, min(len(self._packets()) - 1, self.chosen + by))
        self.redraw()
