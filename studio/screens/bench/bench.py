"""The bench: the screen beside the pot. One thing to do now, its numbers, its checks, the clocks."""

from __future__ import annotations

import asyncio
from contextlib import suppress
from functools import partial
from typing import TYPE_CHECKING, Any

import msgspec
from textual import events, work
from textual.app import ComposeResult
from textual.content import Content
from textual.widget import AwaitMount

from studio.plan.shapes import Step
from studio.quantity.reading_in import as_read
from studio.report.telling import not_saved, tell, where_you_were
from studio.screens.app import set_title
from studio.screens.bench.acting import Acting
from studio.screens.bench.face import Face, knitted
from studio.screens.bench.view import BenchView, look
from studio.screens.draw.bench import TALL, Frame
from studio.screens.keyed import Keyed, KeyLine, app_of, question
from studio.session import alarms, time_rules
from studio.session import commands as c
from studio.session.live.cooling import too_hot
from studio.session.live.steam import came_after, rolling_since
from studio.session.path import current_step
from studio.session.run import Running
from studio.session.step_rules import correctable
from studio.trouble import Trouble
from studio.words.questions import asked, gate_question, other_time_question, unsure_question

if TYPE_CHECKING:
    from studio.craft.stripe.picture import Picture
    from studio.plan.preview import Look
    from studio.screens.bench.clock import BenchRinging

TICK_S = 0.25
LEAST_WIDTH, LEAST_HEIGHT = 60, 18
"""Below this only the clock is shown."""
FRESH_ALARM_S = 0.7
"""A key this soon after an alarm appeared was already on its way and answers nothing. House rule."""
INTERRUPTED_S = 300
"""After this long without a key the bench says where the dyer was. House rule."""


class BenchScreen(Keyed[None], where="bench"):
    """Draws one `Running` session and keeps its time."""

    CSS_PATH = None
    AUTO_FOCUS = ""

    def __init__(self, running: Running, *, notice: str = "") -> None:
        super().__init__()
        self.running: Running = running
        where = where_you_were(running.state, running.clock.now()) if running.state.resumed else ""
        self.notice = notice or where
        self.line = Acting(running, self.after)
        self.foot = KeyLine()
        self.face = Face(self.line, self.foot)
        self.alarm_seen: dict[int, float] = {}
        """When each standing alarm was first seen, by the loop's own clock."""
        self.hues: dict[str, str] = {}
        """Of each colour of the plan; none until they are worked out."""
        self.keys_wait = True
        self._knitted: tuple[dict[str, Look], Picture] | None = None
        self._foreseen = False
        self._ringing: BenchRinging | None = None
        self._finish_offered = False
        self._ticking = False
        self._stage = ""

    def compose(self) -> ComposeResult:
        yield self.face

    def on_mount(self) -> None:
        self.redraw()
        self.set_interval(TICK_S, self._tick)

    def _tell_keys(self) -> None:
        """They are told, and hues worked out, once the bench is seen: that takes longer than all that is on it."""
        from studio.plan.preview import hues_of

        self.line.lay()
        self.keys_wait = False
        self.hues = hues_of(self.running.state.choices)
        self.redraw()

    @work(group="cloth", exclusive=True)
    async def _foresee(self) -> None:
        """The piece as it may come out, where it is to be knitted and there is room to show it."""
        services, plan = app_of(self).services, self.running.state.plan_text
        with suppress(Trouble, ValueError):
            foreseen = await asyncio.to_thread(services.foresee_text, plan)
            self._knitted = foreseen.palette, await asyncio.to_thread(foreseen.picture)
            self.redraw()

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

    def on_screen_resume(self) -> None:
        self.call_after_refresh(self._tell_keys if self.keys_wait else self.redraw)

    # -- drawing ---------------------------------------------------------------------------------

    def redraw(self) -> None:
        """Show the session as it stands; only what changed is painted."""
        width, height = self.size
        if not self.foot.is_attached or width == 0:
            return
        self.foot.display = width >= LEAST_WIDTH and height >= LEAST_HEIGHT
        asking = self.line.outer_size.height if self.line.display else 0
        glyphs = app_of(self).glyphs
        if not self.foot.display:
            from studio.screens.bench.clock import clock_page

            room = max(1, height - asking)
            self.face.draw_alone(clock_page(self.running, width, room, glyphs))
            return
        view = look(self.running)
        self._tell_stage(view)
        self.draw_foot()
        signs = self._ringing.signs() if self._ringing else ()
        typed = self.line.typed_value if self.line.display else ""
        drawn = partial(knitted, *self._knitted, glyphs) if self._knitted is not None else None
        frame = Frame(width, self.hues, glyphs, self.line.display, typed, drawn, signs)
        self.face.draw(view, frame, height - asking - self.foot.rows)
        set_title(app_of(self), view.window_title)
        if height >= TALL and not self._foreseen and not self.keys_wait:
            self._foreseen = True
            self._foresee()

    def _tell_stage(self, view: BenchView) -> None:
        """Say once that a stage is complete, as the last item of its list."""
        if self._stage and view.stage != self._stage:
            done = next((s for s in view.stages if s.stage == self._stage), None)
            if done is not None and done.standing == "done":
                left_out = f", {done.left_out} with a reason" if done.left_out else ", none left out"
                told = f"{done.stage} complete: {done.closed} of {done.total}{left_out}."
                self.notice = self.notice or told
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
        from studio.screens.bench.clock import BigClockScreen, LockScreen

        now, page = asyncio.get_running_loop().time(), self.app.screen
        in_sight = page is self or isinstance(page, BigClockScreen | LockScreen)
        for alarm in alarms.standing(self.running.state) if in_sight else ():
            if alarm.n not in self.alarm_seen:
                self.alarm_seen[alarm.n] = now
                self.notice = ""  # What was said before the alarm may not be so any more.
        if isinstance(page, Keyed) and not in_sight:
            self._tell_due(page)
        self.ringing.tick()

    def _tell_due(self, page: Keyed[Any]) -> None:
        """On a page over the bench the alarm on top stands at the foot, until it is answered."""
        standing = alarms.standing(self.running.state)
        back = f"{{{page.WHERE}.leave}} goes back to answer it."
        due = f"DUE  {as_read(standing[0].text, limit=100)} {back}" if standing else ""
        if due != page.due:
            page.due = due
            page.draw_foot()

    def _after_interruption(self) -> None:
        idle_s = app_of(self).idle_s()
        if idle_s > INTERRUPTED_S and not self.notice and not self.running.state.closed:
            self.notice = where_you_were(self.running.state, self.running.clock.now())

    def _offer_finish(self) -> None:
        step = self.current()
        judging = step is not None and (step.quantity == "rating" or step.role == "close")
        if judging and not self._finish_offered and not self.line.is_asking and self.app.screen is self:
            self._finish_offered = True
            self._over("finish")

    # -- after a command -------------------------------------------------------------------------

    def after(self, command: c.Command) -> None:
        """Tell what came of it, show it, and go on to the page or the place it leads to."""
        came = self.running.last_events
        if isinstance(command, c.ToldAfter) or any(event.told.seen for event in came):
            self.notice = "; ".join(tell(event, self.running.state) for event in came)
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

    # -- keys -------------------------------------------------------------------------------------

    def why_not(self, key: str) -> str:
        told = super().why_not(key)
        return told if self.current() is not None or told == self.ELSE else "All steps are closed."

    def current(self) -> Step | None:
        """The step to do now."""
        return current_step(self.running.state, self.running.clock.now())

    def _fresh_alarm(self) -> bool:
        standing = alarms.standing(self.running.state)
        now = asyncio.get_running_loop().time()
        seen = [self.alarm_seen.setdefault(a.n, now) for a in standing]
        return bool(seen) and now - max(seen) < FRESH_ALARM_S

    async def action_go(self) -> None:
        """Enter: answer the top alarm if one stands, else the natural thing for the step."""
        standing = alarms.standing(self.running.state)
        if standing:
            if not self._fresh_alarm():
                await self.line.act(c.Acknowledge(standing[0].n))
            return
        if (step := self.current()) is None:
            self.dismiss_session()
        elif step.kind in ("do", "check", "wait"):
            await self.line.act(c.Close(step.id))
        elif step.kind == "measure":
            self.line.ask_for("value")
        elif self.line.digit_asked() is None:
            self.line.ask(gate_question(step, self.running.state))
        else:
            hot = too_hot(self.running.state, step)
            self.tell(hot or f"{self.line.digit_asked()} opens this gate, or a reason ({{bench.override}}).")

    def action_ask(self, what: str) -> None:
        self.line.ask_for(what)

    async def action_undo(self) -> None:
        await self.line.undo()

    async def action_digit(self, digit: str) -> None:
        """At a gate it opens it, where it is the one shown; at a value the field opens with it."""
        if self.line.digit_asked() is not None:
            await self.line.press_digit(int(digit))
        else:
            self._ask_from(digit)

    async def takes_key(self, event: events.Key) -> bool:
        """A value may begin with its point or its sign as well."""
        step, typed = self.current(), event.character or " "
        begins = typed in ".,-" and step is not None and step.kind == "measure"
        if begins:
            self._ask_from(typed)
        return begins

    def _ask_from(self, typed: str) -> None:
        """Ask for the value, its first character being typed already."""
        if (step := self.current()) is not None:
            state, now = self.running.state, self.running.clock.now()
            opened = asked("value", state, now) if step.kind == "measure" else gate_question(step, state)
            self.line.ask(msgspec.structs.replace(opened, typed=typed))

    def action_entry(self) -> None:
        from studio.screens.bench.correct import choose_entry

        choose_entry(self, self.line.ask_for, steamed=rolling_since(self.running.state) is not None)

    def action_extend(self) -> None:
        if (timer := look(self.running).timer) is not None:
            self.line.ask(other_time_question(timer.id, timer.label))

    def action_true_time(self) -> None:
        unsure = time_rules.unsure_timers(self.running.state, self.running.clock.now())
        self.line.ask(unsure_question(unsure[0]))

    async def action_over(self, page: str) -> None:
        """The next key is meant for the page."""
        await self._over(page)

    def _over(self, page: str, *at: Any) -> AwaitMount:
        """A page that acts on the session: what the bench said before is over, what the page says at its end counts."""
        from studio.screens.bench.correct import PAGES

        def back(told: str | None) -> None:
            self._fresh_alarm()  # One that began meanwhile is seen from now on; what is told is newer.
            self.notice = told or self.notice
            self.redraw()

        self.notice = ""
        return self.app.push_screen(PAGES[page](self.running, *at), back)

    async def action_snooze(self) -> None:
        await self.line.act(c.Snooze(alarms.standing(self.running.state)[0].n))

    async def action_steam(self) -> None:
        await self.line.act(c.ToggleSteam())

    def action_ahead(self) -> None:
        from studio.screens.forecast import ForecastScreen

        with self.telling():
            foreseen = app_of(self).services.foresee_text(self.running.state.plan_text)
            self.app.push_screen(ForecastScreen(foreseen))

    def go_to(self, what: str, which: Any) -> None:
        """To the page of that band or value; a click on the step in hand is Enter."""
        if (step := self.current()) is not None and step.id == which:
            app_of(self).press("enter")
        elif what == "bands" or which in [one.id for one in correctable(self.running.state)]:
            self._over(what, which)

    def action_big(self) -> None:
        from studio.screens.bench.clock import BigClockScreen

        self.app.push_screen(BigClockScreen(self.running))

    def action_lock(self) -> None:
        from studio.screens.bench.clock import LockScreen

        self.app.push_screen(LockScreen(self.running))

    def action_why(self) -> None:
        from studio.screens.bench.correct import why_page

        if (shown := look(self.running).shown) is not None:
            self.app.push_screen(why_page(shown.figures, shown.cautions))

    def action_logbook(self) -> None:
        """From a session that is over to all of them."""
        from studio.screens.logbook.logbook import LogbookScreen

        services, app = app_of(self).services, self.app
        self.dismiss_session()
        app.call_later(lambda: app.push_screen(LogbookScreen(services)))

    def action_leave(self) -> None:
        from studio.screens.bench.clock import leaving

        leave = question("leave", "Leave the bench?", Content(""), *leaving(self.running))
        self.app.push_screen(leave, self.left)

    def left(self, choice: str | None) -> None:
        """Leave, abandon the session, or stay."""
        if choice:
            self.keep_typed()
        if choice == "leave":
            self.leave_now()
        elif choice == "abandon":
            self.line.ask_for("abandon")

    @work
    async def leave_now(self) -> None:
        """Write that the bench was left, let go of the file, go home."""
        await self.line.act(c.Leave())
        self.dismiss_session()

    def dismiss_session(self) -> None:
        """Back to the screen before; the session file is let go of, unless no disk takes what waits for it."""
        self.running.save_elsewhere()
        if not self.running.waiting:
            self.running.close()
        if told := not_saved(self.running) or self.running.moved:
            app_of(self).say(told, bad=True)
        set_title(app_of(self), "Potside")
        self.dismiss()

    def action_sound(self) -> None:
        self.notice = "Did you hear it where you heat?  " + "; ".join(self.ringing.sound_check())
        self.redraw()
