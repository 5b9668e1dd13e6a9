"""Alarms told while lines are waited for: at once when raised, then again in their rhythm."""

from __future__ import annotations

from collections.abc import Callable

from studio.alerts.awake import KeptAwake
from studio.lines import words
from studio.lines.commands import ALONE, HANDLERS, IN_A_QUESTION, nearest, read_line
from studio.lines.conversation import Conversation, Ring
from studio.lines.prompt import Arrival, Lines
from studio.lines.words import ALL_CLOSED, alarm_line, by_eye, caution_line, for_lines, step_lines
from studio.plan.shapes import Caution, Step
from studio.session import alarms, time_rules
from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.clock import Moment, Reading, moment_of
from studio.session.live.given import leftovers_untold
from studio.session.live.thinking import behind
from studio.session.path import current_step
from studio.session.run import Running
from studio.session.state import AlarmRecord
from studio.session.step_rules import digit_asked, open_warnings
from studio.session.timers import ran_out
from studio.trouble import CANNOT_SAVE, OK

FRESH_ALARM_S = 0.7
"""An Enter this soon after an alarm was raised was already on its way and answers nothing. House rule."""

_Key = tuple[str, str, int]


class AlarmRounds:
    """Tells each alarm once, and again whenever the sounding one rings."""

    def __init__(self, talk: Conversation) -> None:
        self.talk = talk
        self._rung = alarms.Rung()
        # Numbers of events may move when a full disk makes the file go on elsewhere; these do not.
        self._told = {_key(a) for a in talk.session.state.alarms if not a.standing}

    def go(self) -> None:
        """Tell what has newly been raised, and ring again for the alarm that sounds now if it is time."""
        state, now = self.talk.session.state, self.talk.now
        ring = alarms.next_ring(state, now, self._rung)
        for alarm in state.alarms:
            new = _key(alarm) not in self._told and (alarm.standing or alarm.ahead)
            self._told.add(_key(alarm))
            if new or (ring is not None and ring.alarm == alarm.n):
                self._tell(alarm, now)
        if ring is not None and ring.alarm:
            self._rung = alarms.after(self._rung, ring, now)

    def _tell(self, alarm: AlarmRecord, now: Reading) -> None:
        long = not alarm.ahead and alarms.escalated(alarm, now)
        line = alarm_line(alarm, self.talk.session.state, now)
        self.talk.sound(alarm.priority, alarm.text, long, line)

    def standing(self) -> AlarmRecord | None:
        """The most urgent alarm that waits for an answer."""
        return next(iter(alarms.standing(self.talk.session.state)), None)

    def enter_answers(self, alarm: AlarmRecord) -> None:
        """Enter alone while an alarm stands: heard, unless the key was on its way before the alarm."""
        if self.talk.real_s(alarm.raised, self.talk.now) < FRESH_ALARM_S:
            self.talk.tell(
                "The alarm came just before this Enter, so it answered nothing. Enter again: heard."
            )
        else:
            self.talk.do(c.Acknowledge(alarm.n))


def _key(alarm: AlarmRecord) -> _Key:
    return alarm.timer, alarm.level, alarm.raised.wall_ns


TICK_S = 0.25
"""How often the clocks are looked at while nothing is typed."""
YES = "yes"
"""Says that what was doubted is so."""
WARNINGS_EVERY_S = 5.0
"""How often it is looked whether the passing of time alone brought up a warning. House rule."""
BOUNCE_S = 0.25
"""An Enter this soon after a step was announced is a bouncing or held key. House rule."""


class PlainSession:
    """A session driven by lines until it is closed, left, or the lines end."""

    def __init__(
        self,
        running: Running,
        lines_in: Lines,
        say: Callable[[str], object],
        ring: Ring,
        awake: KeptAwake | None = None,
    ) -> None:
        """`say` gets one cleaned line without its ending; prompts are lines that end in "> ".

        `ring` makes a sound and gets priority, text and whether the alarm has been unanswered for a minute.
        `awake` holds the machine awake while a clock runs. Neither it nor the session is let go of here.
        """
        self._awake = awake
        self._sleep_told = False
        self.running = running
        self.lines = lines_in
        self.talk = Conversation(running, say, ring)
        self.rounds = AlarmRounds(self.talk)
        self._to_prompt = True
        self._quiet_since: Moment | None = None
        self._bounced = False
        self._unsure_told: set[str] = set()
        self._warned: dict[str, Caution] = {}
        self._looked: Moment | None = None

    def run(self) -> int:
        """Lines until the end; the exit code. Stopped passes through; what was said to be saved is."""
        talk = self.talk
        talk.tell(*words.opening_lines(self.running))
        while True:
            talk.tick()
            if self._closed():
                return OK
            self._keep_awake()
            self._follow()
            self.rounds.go()
            if self._closed():
                return OK
            line = self._next_line()
            if line is Arrival.END:
                if self.lines.unfinished.strip():
                    talk.tell(f"The last line was not finished, so it was left out: {self.lines.unfinished}")
                talk.tell("The lines have ended.")
                talk.leave()
            elif isinstance(line, str):
                self._take(line)
            if talk.ended:
                return CANNOT_SAVE if self.running.waiting else OK

    def _keep_awake(self) -> None:
        """While a clock runs; where that cannot be done it is said once."""
        if self._awake is None:
            return
        self._awake.follow(any(t.running for t in self.running.state.timers.values()))
        if self._awake.told and not self._sleep_told:
            self._sleep_told = self._to_prompt = True
            self.talk.tell(self._awake.told)

    def _closed(self) -> bool:
        closed = self.running.saved.closed
        if closed:
            name = self.running.name
            self.talk.tell(f"The record is closed. Read it with: potside show {name}".rstrip())
        return closed

    # -- what is said ----------------------------------------------------------------------------

    def _follow(self) -> None:
        """Announce the step of now when it is another one; else the prompt, if it is its turn."""
        talk, state, now = self.talk, self.running.state, self.talk.now
        self._ask_unsure()
        step = current_step(state, now)
        if step is None:
            talk.step = None  # Until the closing line is saved, nothing is asked that was answered.
            if not state.closed:
                talk.do(c.Finish())
            return
        other = talk.step is None or step.id != talk.step.id
        if other and talk.question is None:
            talk.step, talk.doubted, self._to_prompt = step, None, True
            talk.tell(*step_lines(state, step, now))
            self._warned = {}
            self._quiet_since = moment_of(now)
        self._tell_warnings()
        if self._to_prompt:
            talk.prompt()
            self._to_prompt = False

    def _tell_warnings(self) -> None:
        """Warnings that follow from what happened, when they come up; looked for after a line and in between."""
        talk, now = self.talk, self.talk.now
        looked = self._looked
        if talk.step is None or not (
            self._to_prompt or looked is None or talk.real_s(looked, now) >= WARNINGS_EVERY_S
        ):
            return
        self._looked = moment_of(now)
        warnings = {w.id: w for w in behind(self.running.state, talk.step, now).warnings}
        talk.tell(*(caution_line(w) for w in warnings.values() if w.id not in self._warned))
        self._warned = warnings

    def _ask_unsure(self) -> None:
        for timer in time_rules.unsure_timers(self.running.state, self.talk.now):
            if timer.id not in self._unsure_told:
                self._unsure_told.add(timer.id)
                self.talk.tell(words.unsure_line(timer.label))

    # -- what is heard ---------------------------------------------------------------------------

    def _next_line(self) -> str | Arrival:
        if self.talk.holding and not self.lines.by_hand and self._clock_runs():
            self.lines.rest(TICK_S)
            return Arrival.NOTHING_YET
        self._to_prompt = self._to_prompt or self.talk.holding
        self.talk.holding = False
        return self.lines.next(TICK_S)

    def _clock_runs(self) -> bool:
        """Whether the step of now is a wait whose clock surely runs, and no alarm asks for an answer."""
        state, now, step = self.running.state, self.talk.now, self.talk.step
        if step is None or step.kind != "wait" or self.rounds.standing() is not None:
            return False
        unsure = {t.id for t in time_rules.unsure_timers(state, now)}
        timer = state.timers.get(step.timer)
        runs = timer is not None and timer.running and timer.paused is None
        return runs and not ran_out(state, step.timer, now) and step.timer not in unsure

    def _take(self, line: str) -> None:
        """One line, whatever is in it."""
        text = line.encode("utf-8", "replace").decode("utf-8").strip()
        if not text and self._bounces():
            return
        self._to_prompt = True
        try:
            self._heard(text)
        except Refused as refused:
            self.talk.tell(for_lines(str(refused)))

    def _heard(self, text: str) -> None:
        alarm = self.rounds.standing()
        if not text and alarm is not None:
            self.rounds.enter_answers(alarm)
        elif self.talk.question is not None:
            self._answer_question(text)
        elif not text:
            self._enter()
        else:
            step = self.talk.step
            asked = read_line(text, free_text=step is not None and step.role == "accept cautions")
            if asked is None:
                self._answer(text)
            elif asked.rest and asked.word in ALONE:
                self.talk.tell(f'"{asked.word}" stands alone in its line.')
            else:
                HANDLERS[asked.word](self.talk, asked.rest)

    def _bounces(self) -> bool:
        """Whether a hand's Enter comes too soon after the step or after the Enter before to be meant."""
        now = self.talk.now
        if not self.lines.by_hand:
            return False
        before = self._quiet_since
        bounced = before is not None and self.talk.real_s(before, now) < BOUNCE_S
        if bounced and not self._bounced:
            self.talk.tell("That Enter came too soon to be meant; it did nothing.")
            self._to_prompt = True
        self._bounced = bounced
        self._quiet_since = moment_of(now)
        return bounced

    def _answer_question(self, text: str) -> None:
        question = self.talk.question
        assert question is not None
        if text.casefold() in IN_A_QUESTION:
            HANDLERS[text.casefold()](self.talk, "")
            return
        if self.talk.doubted is not None and text.casefold() == YES:
            if self.talk.do(self.talk.doubted):
                self.talk.question = None
            return
        if not text:
            self.talk.question = self.talk.doubted = None
            self.talk.tell("Left as it was.")
            return
        if question.answer(text) and self.talk.question is question:
            self.talk.question = None

    def _enter(self) -> None:
        step = self.talk.step
        if step is not None and step.kind in ("measure", "gate"):
            self._answer("")
        elif step is not None:
            self.talk.do(c.Close(step.id))

    def _answer(self, text: str) -> None:
        """A line that is no command: the value, the digit or the reason the step asks for."""
        talk, step = self.talk, self.talk.step
        if talk.doubted is not None and text.casefold() == YES:
            talk.do(talk.doubted)
        elif step is None:
            talk.tell(ALL_CLOSED)
        elif step.kind in ("do", "check", "wait"):
            talk.doubted = None
            near = nearest(text)
            hint = f' Did you mean "{near}"?' if near else ""
            talk.tell(
                f"There is no such line here.{hint} Enter alone means done; ? says what this step takes."
            )
        elif step.kind == "measure":
            self._value(step, text)
        elif step.role == "accept cautions":
            waiting = open_warnings(self.running.state)
            if waiting:
                talk.do(c.AcceptCaution(waiting[0].id, text))
        elif digit_asked(self.running.state, step) is None:
            talk.do(c.KeepLeftover(leftovers_untold(self.running.state)[0].plan.slug, text))
        elif text.isascii() and text.isdigit():
            talk.do(c.PassGate(step.id, int(text[:4]), self.running.missed))
        else:
            talk.tell(
                "This gate takes the digit it shows, alone in its line. To pass it without: override and a reason."
            )

    def _value(self, step: Step, text: str) -> None:
        """What was read; of a grade `4 by Anna` also who saw it."""
        grade, by, who = text.partition(" by ") if by_eye(step) else (text, "", "")
        if self.talk.do(c.Measure(step.id, grade)) and by:
            self.talk.do(c.AddNote(f"{step.done}: {grade}, judged by {who}"))
