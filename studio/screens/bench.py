"""The bench: the screen beside the pot. One thing to do now, its numbers, its checks, the clocks."""

from __future__ import annotations

import asyncio
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import Static

from studio.plan.shapes import Step
from studio.screens.acting import ActingScreen
from studio.screens.bench_view import look
from studio.screens.draw import alarms as alarm_drawing
from studio.screens.draw import bench as draw
from studio.screens.draw.panel import panel
from studio.screens.entry import Entry
from studio.screens.questions import (
    abandon_question,
    gate_question,
    note_question,
    reason_question,
    unsure_question,
    value_question,
)
from studio.screens.terminal import set_title
from studio.session import alarms, time_rules
from studio.session import commands as c
from studio.session.path import current_step
from studio.session.run import NotSaved, Running

TICK_S = 0.25
FRESH_ALARM_S = 0.7
"""A key this soon after an alarm appeared was already on its way and answers nothing. House rule."""

KEYS = "Enter done   N note   W why   U undo   B big clock   ? keys   Q leave"
KEYS_NARROW = "Enter done  N note  W why  U undo  ? keys  Q leave"


class BenchScreen(ActingScreen):
    """Drives one `Running` session."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,space", "go", "done", id="bench.go"),
        Binding("v", "value", "value", id="bench.value"),
        Binding("n", "note", "note", id="bench.note"),
        Binding("w", "why", "why", id="bench.why"),
        Binding("u", "undo", "undo", id="bench.undo"),
        Binding("k", "correct", "correct", id="bench.correct"),
        Binding("o", "override", "override", id="bench.override"),
        Binding("x", "skip", "skip", id="bench.skip"),
        Binding("m", "not_measured", "not measured", id="bench.not-measured"),
        Binding("e", "extend", "extend", id="bench.extend"),
        Binding("t", "true_time", "say how long it ran", id="bench.true-time"),
        Binding("z", "snooze", "later", id="bench.snooze"),
        Binding("s", "sound", "sound the bell", id="bench.sound"),
        Binding("b", "big", "big clock", id="bench.big"),
        Binding("question_mark,f1", "keys", "keys", id="bench.keys"),
        Binding("q", "leave", "leave", id="bench.leave"),
    ]

    def __init__(self, running: Running, *, notice: str = "") -> None:
        super().__init__(running, notice=notice)
        self._ring_in = 0
        self._alarm_seen: dict[int, float] = {}
        self._drawn: dict[str, Content] = {}
        self._finish_offered = False

    def compose(self) -> ComposeResult:
        yield Static(id="alarms", markup=False)
        yield Static(id="header", markup=False)
        yield Static(id="rail", markup=False)
        yield Static(id="rule-top", classes="rule", markup=False)
        yield Static(id="clock", markup=False)
        yield Static(id="rule-mid", classes="rule", markup=False)
        yield Static(id="panel", markup=False)
        yield Static(id="also", markup=False)
        yield Entry(id="entry")
        yield Static(id="keys", markup=False)

    def on_mount(self) -> None:
        self.set_interval(TICK_S, self._tick)
        self.call_after_refresh(self.redraw)

    def on_resize(self) -> None:
        self._drawn.clear()
        self.call_after_refresh(self.redraw)

    def on_screen_resume(self) -> None:
        self._drawn.clear()
        self.call_after_refresh(self.redraw)

    # -- drawing ---------------------------------------------------------------------------------

    def redraw(self) -> None:
        """Show the session as it stands; only what changed is painted."""
        if not self.is_mounted or self.size.width == 0:
            return
        glyphs = self.app.glyphs  # type: ignore[attr-defined]
        view = look(self.running, notice=self.notice)
        width = self.size.width
        self._show("alarms", alarm_drawing.banner(view.alarms, view.trouble, width))
        self._show("header", draw.header(view.title, view.about, view.time, view.saved, width))
        self._show("rail", draw.rail(view.stages, width, glyphs))
        rule = Content.styled(" " + glyphs.rule * (width - 2), "$line")
        self._show("rule-top", rule)
        self._show("rule-mid", rule)
        tall = self.size.height >= 34
        face = draw.clock_face(view.timer, view.time, view.ends_at, glyphs, tall=tall, width=width)
        self._show("clock", face)
        self._show("also", draw.also_line(view.timers, view.timer.id if view.timer else "", width))
        self._show("keys", Content.styled(" " + (KEYS if width >= 72 else KEYS_NARROW), "$quiet"))
        body = panel(view.shown, self.running.state, width, self._room()) if view.shown else view.ended
        self._show("panel", body)
        set_title(self.app, view.window_title)

    def _room(self) -> int:
        """Rows left for the panel, from what the other parts take; known before the next layout."""
        taken = sum(content.plain.count("\n") + 1 for content in self._drawn.values() if content.plain)
        panel_rows = self._drawn["panel"].plain.count("\n") + 1 if "panel" in self._drawn else 0
        asking = self.entry.outer_size.height if self.entry.display else 0
        return max(3, self.size.height - (taken - panel_rows) - asking)

    def _show(self, name: str, content: Content) -> None:
        before = self._drawn.get(name)
        if before is not None and before.is_same(content):
            return
        self._drawn[name] = content
        widget = self.query_one(f"#{name}", Static)
        widget.display = bool(content.plain) or name in ("panel",)
        widget.update(content)

    # -- time ------------------------------------------------------------------------------------

    @work(exclusive=True, group="tick")
    async def _tick(self) -> None:
        try:
            await asyncio.to_thread(self.running.tick)
        except NotSaved:
            pass
        self._ring()
        self.redraw()
        self._offer_finish()

    def _ring(self) -> None:
        now = self.running.clock.now()
        alarm = alarms.sounding(self.running.known, now)
        if alarm is None:
            self._ring_in = 0
            return
        self._alarm_seen.setdefault(alarm.n, asyncio.get_running_loop().time())
        if self._ring_in <= 0:
            self.app.bell()
            self._ring_in = int(alarms.repeat_every_s(alarm, now) / TICK_S)
        self._ring_in -= 1

    def _offer_finish(self) -> None:
        step = current_step(self.running.state, self.running.clock.now())
        judging = step is not None and (step.quantity == "rating" or step.id == "record.close")
        if judging and not self._finish_offered and not self.entry.is_asking and self.app.screen is self:
            self._finish_offered = True
            from studio.screens.finish import FinishScreen

            self.app.push_screen(FinishScreen(self.running))

    # -- commands --------------------------------------------------------------------------------

    def _current(self) -> Step | None:
        return current_step(self.running.state, self.running.clock.now())

    def after(self, command: c.Command) -> None:
        """Show it, and go on to the page or the place it leads to."""
        self.redraw()
        if isinstance(command, c.Abandon):
            self.dismiss_session()
        else:
            self._offer_finish()

    def _fresh_alarm(self) -> bool:
        """Whether an alarm appeared so lately that this key cannot be an answer to it."""
        standing = alarms.standing(self.running.known)
        if not standing:
            return False
        loop_time = asyncio.get_running_loop().time()
        seen = [self._alarm_seen.setdefault(a.n, loop_time) for a in standing]
        return loop_time - max(seen) < FRESH_ALARM_S

    async def action_go(self) -> None:
        """Enter: answer the top alarm if one stands, else the natural thing for the step."""
        standing = alarms.standing(self.running.known)
        if standing:
            if not self._fresh_alarm():
                await self.act(c.Acknowledge(standing[0].n))
            return
        step = self._current()
        if step is None:
            self.dismiss_session()
        elif step.kind in ("do", "check", "wait"):
            await self.act(c.Close(step.id))
        elif step.kind == "measure":
            self.action_value()
        else:
            self.ask(gate_question(step, self.running.state))

    def action_value(self) -> None:
        step = self._current()
        if step is not None and step.kind == "measure":
            self.ask(value_question(step))
        else:
            self.ask("This step takes no value; Enter goes on.")

    def action_note(self) -> None:
        self.ask(note_question())

    def action_override(self) -> None:
        step = self._current()
        allowed = step is not None and step.kind in ("gate", "wait")
        self.ask(
            reason_question("Why pass it", lambda why: c.Override(step.id, why))  # type: ignore[union-attr]
            if allowed
            else "Only a gate or a wait is passed with a reason."
        )

    def action_skip(self) -> None:
        step = self._current()
        if step is not None:
            self.ask(reason_question("Why leave this step out", lambda why: c.Skip(step.id, why)))

    def action_not_measured(self) -> None:
        step = self._current()
        if step is not None and step.kind == "measure":
            self.ask(reason_question("Why is it not measured", lambda why: c.NotMeasured(step.id, why)))
        else:
            self.ask("This step takes no value.")

    def action_extend(self) -> None:
        running = [t for t in self.running.state.timers.values() if t.running]
        if not running:
            self.ask("No clock is running.")
            return
        view = look(self.running, notice="")
        timer = view.timer.id if view.timer else running[0].id
        label = self.running.state.timers[timer].label
        self.ask(
            reason_question(f"Five more minutes for {label}: why", lambda why: c.ExtendTimer(timer, 5.0, why))
        )

    def action_true_time(self) -> None:
        unsure = time_rules.unsure_timers(self.running.state, self.running.clock.now())
        self.ask(unsure_question(unsure[0]) if unsure else "Every clock is sure of its time.")

    async def action_undo(self) -> None:
        if await self.act(c.Undo()):
            self.notice = "Taken back; it stays in the record as taken back."
            self.redraw()

    def action_correct(self) -> None:
        from studio.screens.correct import CorrectScreen

        self.app.push_screen(CorrectScreen(self.running))

    async def action_snooze(self) -> None:
        standing = alarms.standing(self.running.known)
        if standing:
            await self.act(c.Snooze(standing[0].n))

    def action_sound(self) -> None:
        self.app.bell()
        self.notice = "The bell was rung. Did you hear it at the pot?"
        self.redraw()

    def action_big(self) -> None:
        from studio.screens.big_clock import BigClockScreen

        self.app.push_screen(BigClockScreen(self.running))

    def action_why(self) -> None:
        from studio.screens.why import WhyScreen

        step = self._current()
        if step is not None:
            self.app.push_screen(WhyScreen(self.running.state.worksheet, step))

    def action_keys(self) -> None:
        from studio.screens.card import KeyCardScreen

        self.app.push_screen(KeyCardScreen())

    def action_leave(self) -> None:
        from studio.screens.leave import LeaveScreen

        self.app.push_screen(LeaveScreen(self.running), self._left)

    def _left(self, choice: str | None) -> None:
        if choice == "leave":
            self.leave_now()
        elif choice == "abandon":
            self.ask(abandon_question())

    @work
    async def leave_now(self) -> None:
        """Write that the bench was left, let go of the file, go home."""
        if await self.act(c.Leave()) or not self.running.waiting:
            self.dismiss_session()

    def dismiss_session(self) -> None:
        """Back to the screen before; the session file is let go of."""
        self.running.close()
        set_title(self.app, "Potside")
        self.dismiss()
