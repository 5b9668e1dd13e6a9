"""What the keys of the bench do: each turns into a command, a question or another page."""

from __future__ import annotations

import asyncio

import msgspec
from textual import events, work
from textual.content import Content

from studio.plan.shapes import Step
from studio.report.telling import not_saved
from studio.screens.app import set_title
from studio.screens.bench import questions as ask_for
from studio.screens.bench.acting import ActingScreen
from studio.screens.bench.view import look
from studio.screens.keyed import app_of, question
from studio.session import alarms, time_rules
from studio.session import commands as c
from studio.session.live.cooling import too_hot
from studio.session.live.steam import rolling_since
from studio.session.path import current_step
from studio.trouble import Trouble

FRESH_ALARM_S = 0.7
"""A key this soon after an alarm appeared was already on its way and answers nothing. House rule."""


class BenchActions(ActingScreen, where="bench"):
    """Keys and actions; the drawing is the bench's own."""

    alarm_seen: dict[int, float]
    """When each standing alarm first appeared here, by the loop's own clock."""

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
                await self.act(c.Acknowledge(standing[0].n))
            return
        step = self.current()
        if step is None:
            self.dismiss_session()
        elif step.kind in ("do", "check", "wait"):
            await self.act(c.Close(step.id))
        elif step.kind == "measure":
            self.action_value()
        elif self.digit_asked() is None:
            self.ask(ask_for.gate_question(step, self.running.state))
        else:
            state = self.running.state
            self.ask(too_hot(state, step) or f"Nothing but {self.digit_asked()} opens this gate.")

    async def action_digit(self, digit: str) -> None:
        """At a gate it opens it, where it is the one shown; at a value the field opens with it."""
        if self.digit_asked() is not None:
            await self.press_digit(int(digit))
        else:
            self._ask_from(digit)

    def on_key(self, event: events.Key) -> None:
        """A value may begin with its point or its sign as well."""
        step = self.current()
        if event.character is not None and event.character in ".,-" and step and step.kind == "measure":
            event.stop()
            self._ask_from(event.character)

    def _ask_from(self, typed: str) -> None:
        """Ask for the value, its first character being typed already."""
        step = self.current()
        if step is not None:
            measured = step.kind == "measure"
            asked = (
                ask_for.value_question(step) if measured else ask_for.gate_question(step, self.running.state)
            )
            self.ask(msgspec.structs.replace(asked, typed=typed))

    def action_value(self) -> None:
        step = self.current()
        if step is not None:
            self.ask(ask_for.value_question(step))

    def action_note(self) -> None:
        self.ask(ask_for.note_question())

    def action_earlier(self) -> None:
        self.ask(ask_for.earlier_question())

    def action_entry(self) -> None:
        from studio.screens.bench.correct import choose_entry

        choose_entry(self, self.ask, steamed=rolling_since(self.running.state) is not None)

    def action_override(self) -> None:
        step = self.current()
        if step is not None:
            self.ask(ask_for.reason_question("Why pass it", lambda why: c.Override(step.id, why)))

    def action_skip(self) -> None:
        step = self.current()
        if step is not None:
            self.ask(ask_for.reason_question("Why leave this step out", lambda why: c.Skip(step.id, why)))

    def action_not_measured(self) -> None:
        step = self.current()
        if step is not None:
            label = "Why is it not measured"
            self.ask(ask_for.reason_question(label, lambda why: c.NotMeasured(step.id, why)))

    def action_extend(self) -> None:
        timer = look(self.running).timer
        if timer is not None:
            self.ask(ask_for.other_time_question(timer.id, timer.label))

    def action_true_time(self) -> None:
        unsure = time_rules.unsure_timers(self.running.state, self.running.clock.now())
        self.ask(ask_for.unsure_question(unsure[0]))

    def over(self, page: ActingScreen) -> None:
        """A page that acts on the session: what the bench said before is over, what the page says at its end counts."""

        def back(told: str | None) -> None:
            self.notice = told or self.notice
            self.redraw()

        self.notice = ""
        self.app.push_screen(page, back)

    def action_take_back(self) -> None:
        from studio.screens.bench.correct import TakingBackScreen

        self.over(TakingBackScreen(self.running))

    def action_correct(self) -> None:
        from studio.screens.bench.correct import CorrectScreen

        self.over(CorrectScreen(self.running))

    async def action_snooze(self) -> None:
        await self.act(c.Snooze(alarms.standing(self.running.state)[0].n))

    def action_reading(self) -> None:
        self.ask(ask_for.reading_question(self.running.state.worksheet.read_at))

    async def action_steam(self) -> None:
        await self.act(c.ToggleSteam())

    def action_refill(self) -> None:
        self.ask(ask_for.refill_question())

    def action_acid(self) -> None:
        self.ask(ask_for.acid_question())

    def action_more(self) -> None:
        self.ask(ask_for.more_question(self.running.state))

    def action_again(self) -> None:
        self.ask(ask_for.again_question())

    def action_bands(self) -> None:
        from studio.screens.bench.painting import PaintingScreen

        self.over(PaintingScreen(self.running))

    def action_packets(self) -> None:
        from studio.screens.bench.painting import PacketsScreen

        self.over(PacketsScreen(self.running))

    def action_ahead(self) -> None:
        from studio.screens.forecast import ForecastScreen

        try:
            foreseen = app_of(self).services.foresee_text(self.running.state.plan_text)
        except Trouble as problem:
            self.ask(str(problem))
            return
        self.app.push_screen(ForecastScreen(foreseen))

    def action_big(self) -> None:
        from studio.screens.bench.clock import BigClockScreen

        self.app.push_screen(BigClockScreen(self.running))

    def action_lock(self) -> None:
        from studio.screens.bench.clock import LockScreen

        self.app.push_screen(LockScreen(self.running))

    def action_why(self) -> None:
        from studio.screens.bench.correct import why_page

        shown = look(self.running).shown
        if shown is not None:
            self.app.push_screen(why_page(shown.figures, shown.cautions))

    def action_logbook(self) -> None:
        """From a session that is over to all of them."""
        from studio.screens.logbook.logbook import LogbookScreen

        services, app = app_of(self).services, self.app
        self.dismiss_session()
        app.call_later(lambda: app.push_screen(LogbookScreen(services)))

    def action_leave(self) -> None:
        from studio.screens.bench.clock import leaving

        asked = question("leave", "Leave the bench?", Content(""), *leaving(self.running))
        self.app.push_screen(asked, self.left)

    def left(self, choice: str | None) -> None:
        """Leave, give up, or stay."""
        if choice == "leave":
            self.leave_now()
        elif choice == "abandon":
            self.ask(ask_for.abandon_question())

    @work
    async def leave_now(self) -> None:
        """Write that the bench was left, let go of the file, go home."""
        await self.act(c.Leave())
        self.dismiss_session()

    def dismiss_session(self) -> None:
        """Back to the screen before; the session file is let go of, unless no disk takes what waits for it."""
        self.running.save_elsewhere()
        if not self.running.waiting:
            self.running.close()
        told = not_saved(self.running) or self.running.moved
        if told:
            app_of(self).say(told, bad=True)
        set_title(app_of(self), "Potside")
        self.dismiss()
