"""The bench: the screen beside the pot. One thing to do now, its numbers, its checks, the clocks."""

from __future__ import annotations

import asyncio
from functools import partial
from typing import TYPE_CHECKING

from textual import work
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from studio.report.telling import tell
from studio.screens.app import set_title
from studio.screens.bench.actions import BenchActions
from studio.screens.bench.entry import Entry
from studio.screens.bench.view import BenchView, look, where_you_were
from studio.screens.draw import bench as draw
from studio.screens.draw import lists as alarm_drawing
from studio.screens.draw.clocks import plot
from studio.screens.draw.keys import ASCII
from studio.screens.draw.panel import panel
from studio.screens.keyed import KeyLine, app_of, put
from studio.session import alarms
from studio.session import commands as c
from studio.session.live.steam import came_after
from studio.session.run import Running

if TYPE_CHECKING:
    from studio.screens.bench.clock import BenchRinging

TICK_S = 0.25
LEAST_WIDTH, LEAST_HEIGHT = 60, 18
"""Below this only the clock is shown."""
TALL = 34
"""Rows from which the digits are seven rows high."""
INTERRUPTED_S = 300
"""After this long without a key the bench says where the dyer was. House rule."""

TOLD = (
    c.MixMore,
    c.TakeReading,
    c.NoteLate,
    c.ExtendTimer,
    c.Refill,
    c.PaintLeft,
    c.KeepLeftover,
    c.Rinsed,
    c.SetAgain,
    c.ToggleSteam,
    c.LookAtBath,
    c.AddPhoto,
    c.CountSwatch,
    c.CountDrops,
    c.ReadPot,
    c.DoseAcid,
)
"""Commands whose result is told in a sentence."""

PARTS = ("alarms", "header", "rail", "rule-top", "clock", "rule-mid", "panel", "also")


class BenchScreen(BenchActions):
    """Draws one `Running` session and keeps its time."""

    def __init__(self, running: Running, *, notice: str = "") -> None:
        super().__init__(running, notice=notice)
        self.alarm_seen = {}
        self.keys_wait = True
        self._ringing: BenchRinging | None = None
        self._drawn: dict[str, Content] = {}
        self._finish_offered = False
        self._ticking = False
        self._stage = ""

    def compose(self) -> ComposeResult:
        for name in PARTS:
            yield Static(id=name, classes="rule" if name.startswith("rule") else "", markup=False)
        yield Entry(id="entry")
        yield KeyLine()

    def on_mount(self) -> None:
        self.redraw()
        self.set_interval(TICK_S, self._tick)

    def _tell_keys(self) -> None:
        """They are told once the bench is seen: their conditions take longer to load than all that is on it."""
        self.keys_wait = False
        self.draw_foot()

    @property
    def ringing(self) -> BenchRinging:
        """The bell rope, hung when it is first wanted: after the first paint."""
        if self._ringing is None:
            from studio.screens.bench.clock import BenchRinging

            self._ringing = BenchRinging(self.app, self.running)
        return self._ringing

    def on_unmount(self) -> None:
        if self._ringing is not None:
            self._ringing.leave()

    def on_resize(self) -> None:
        if not self.keys_wait:  # To begin with it is drawn in the size that it has.
            self.call_after_refresh(self.redraw)

    def on_screen_resume(self) -> None:
        self.call_after_refresh(self._tell_keys if self.keys_wait else self.redraw)

    # -- drawing ---------------------------------------------------------------------------------

    def redraw(self) -> None:
        """Show the session as it stands; only what changed is painted."""
        width, height = self.size
        if not self.query("#keys") or width == 0:
            return
        view = look(self.running)
        glyphs = app_of(self).glyphs
        if width < LEAST_WIDTH or height < LEAST_HEIGHT:
            self.query_one(KeyLine).display = False
            from studio.screens.bench.clock import clock_page

            self._only_the_clock(clock_page(self.running, width, self._room_alone(), glyphs.block))
            return
        self.query_one(KeyLine).display = True
        self._show("alarms", alarm_drawing.banner(view.alarms, view.trouble, view.moved, width))
        self._show("header", draw.header(view.title, view.about, view.time, view.saved, width))
        self._show("rail", draw.rail(view.stages, width, glyphs))
        rule = Content.styled(" " + glyphs.rule * (width - 2), "$line")
        self._show("rule-top", rule)
        self._show("rule-mid", rule)
        face = draw.clock_face(view.timer, view.time, view.ends_at, glyphs, tall=height >= TALL, width=width)
        self._show("clock", face)
        self._show(
            "also", draw.also_line(view.timers, view.timer.id if view.timer else "", self._signs(), width)
        )
        self.draw_foot()
        curve = partial(plot, view.ramp, ascii_only=glyphs is ASCII) if view.ramp is not None else None
        room = self._room()
        body = panel(view.shown, self.running.state, width, room, curve) if view.shown else view.ended
        self._show("panel", body)
        set_title(app_of(self), view.window_title)
        self._tell_stage(view)

    def _signs(self) -> str:
        return ", ".join(self._ringing.signs()) if self._ringing is not None else ""

    def _only_the_clock(self, page: Content) -> None:
        for name in PARTS:
            self._show(name, page if name == "panel" else Content(""))

    def _room_alone(self) -> int:
        return max(1, self.size.height - (self.entry.outer_size.height if self.entry.display else 0))

    def _room(self) -> int:
        """Rows left for the panel, from what the other parts take; known before the next layout."""
        taken = sum(content.plain.count("\n") + 1 for content in self._drawn.values() if content.plain)
        panel_rows = self._drawn["panel"].plain.count("\n") + 1 if "panel" in self._drawn else 0
        asking = self.entry.outer_size.height if self.entry.display else 0
        foot = self.query_one(KeyLine).rows
        return max(3, self.size.height - (taken - panel_rows) - asking - foot)

    def _show(self, name: str, content: Content) -> None:
        self._drawn[name] = content
        widget = self.query_one(f"#{name}", Static)
        widget.display = bool(content.plain) or name == "panel"
        put(widget, content)

    def _tell_stage(self, view: BenchView) -> None:
        """Say once that a stage is complete, as the last item of its list."""
        if self._stage and view.stage != self._stage:
            done = next((s for s in view.stages if s.stage == self._stage), None)
            if done is not None and done.standing == "done":
                left_out = f", {done.left_out} with a reason" if done.left_out else ", none left out"
                self.notice = (
                    self.notice or f"{done.stage} complete: {done.closed} of {done.total}{left_out}."
                )
        self._stage = view.stage

    # -- time ------------------------------------------------------------------------------------

    def _tick(self) -> None:
        """Let time pass; where the tick before waits for a slow disk, the clocks are drawn without it."""
        if self._ticking:
            self._show_time()
        else:
            self._pass_time()

    @work(group="tick")
    async def _pass_time(self) -> None:
        self._ticking = True
        try:
            await asyncio.to_thread(self.running.tick)
        finally:
            self._ticking = False
        self._show_time()

    def _show_time(self) -> None:
        self._ring()
        self._after_interruption()
        self.redraw()
        self._offer_finish()

    def _ring(self) -> None:
        now = asyncio.get_running_loop().time()
        for alarm in alarms.standing(self.running.state):
            if alarm.n not in self.alarm_seen:
                self.alarm_seen[alarm.n] = now
                self.notice = ""  # What was said before the alarm may not be so any more.
        self.ringing.tick()

    def _after_interruption(self) -> None:
        idle_s = app_of(self).idle_s()
        if idle_s > INTERRUPTED_S and not self.notice and not self.running.state.closed:
            self.notice = where_you_were(self.running.state, self.running.clock.now())

    def _offer_finish(self) -> None:
        step = self.current()
        judging = step is not None and (step.quantity == "rating" or step.role == "close")
        if judging and not self._finish_offered and not self.entry.is_asking and self.app.screen is self:
            self._finish_offered = True
            from studio.screens.bench.finish import FinishScreen

            self.over(FinishScreen(self.running))

    # -- after a command -------------------------------------------------------------------------

    def after(self, command: c.Command) -> None:
        """Tell what came of it, show it, and go on to the page or the place it leads to."""
        if isinstance(command, TOLD) and self.running.last_events:
            self.notice = "; ".join(tell(event, self.running.state) for event in self.running.last_events)
        step = self.running.state.find_step(command.step) if isinstance(command, c.Close) else None
        if step is not None and step.role == "steam rolling":
            self.notice = came_after(self.running.state)
        if isinstance(command, c.KeepLeftover):
            self.call_later(self.action_go)
        self.redraw()
        if isinstance(command, c.Abandon):
            self.dismiss_session()
        else:
            self._offer_finish()

    def action_sound(self) -> None:
        self.notice = "Did you hear it at the pot?  " + "; ".join(self.ringing.sound_check())
        self.redraw()
