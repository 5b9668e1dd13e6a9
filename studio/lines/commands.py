"""The line commands. Each takes the conversation and the rest of its line."""

from __future__ import annotations

from collections.abc import Callable

from studio.lines import pot_commands, undoing, words
from studio.lines.conversation import Conversation
from studio.lines.words import why_lines
from studio.plan.shapes import Step
from studio.report.telling import correcting, value_tail
from studio.session import alarms, time_rules
from studio.session import commands as c
from studio.session.asked import Refused, minutes_first, minutes_only
from studio.session.step_rules import correctable, read_value
from studio.session.timers import running

Handler = Callable[[Conversation, str], None]

HELP = (
    "Enter: done; while an alarm stands, heard.",
    "A value, or the digit a gate shows, is written as it is. A value may carry its unit, 41.5 g.",
    "done: the same as Enter for the step, whatever alarm stands.",
    "heard: answer the most urgent alarm.",
    "later: put it off a minute. later 5: five minutes.",
    "note TEXT: keep a remark.",
    "earlier 14:05 TEXT: keep a remark on what happened then.",
    "earlier 14:00 started: the clock began then. earlier 14:00 done: this step was done then.",
    "earlier 14:20 steam lost, earlier 14:31 steam back, or both: earlier 14:20 to 14:31 steam lost.",
    "why: equation and source of the figures, and the cautions.",
    undoing.HELP[0],
    "correct: put a better value in place of one given earlier.",
    "not measured REASON: leave a value out.",
    "override REASON: pass a gate or end a wait.",
    "skip REASON: leave a step out.",
    "time: the time of day and all clocks.",
    "more MINUTES REASON: give the clock more time.",
    "less MINUTES REASON: make the clock shorter.",
    "ran MINUTES: after a restart of the computer, how long a clock has run in all.",
    "list: the stages, and the steps of this one.",
    *pot_commands.HELP,
    "bell: sound the bell, to hear whether you hear it.",
    "wait: read no line until the clock of this step has run out or an alarm stands; for scripts.",
    "leave: close the program; the session stays open.",
    "give up REASON: end the session for good.",
)


def _reasoned(question: str, build: Callable[[Step, str], c.Command]) -> Handler:
    """A command on the step that needs a reason."""

    def handler(talk: Conversation, rest: str) -> None:
        step = talk.step
        if step is None:
            talk.tell("No step is open.")
        elif rest:
            talk.do(build(step, rest))
        else:
            talk.ask(f"{question} It is kept in the record.", lambda why: talk.do(build(step, why)))

    return handler


def _give_up(talk: Conversation, rest: str) -> None:
    if rest:
        talk.do(c.Abandon(rest))
    else:
        talk.ask("Why give this session up for good?", lambda why: talk.do(c.Abandon(why)))


def _heard(talk: Conversation, rest: str) -> None:
    standing = alarms.standing(talk.session.state)
    if standing:
        talk.do(c.Acknowledge(standing[0].n))
    else:
        talk.tell("No alarm stands.")


def _later(talk: Conversation, rest: str) -> None:
    standing = alarms.standing(talk.session.state)
    if not standing:
        talk.tell("No alarm stands.")
        return
    try:
        minutes = minutes_only(rest) if rest else 1.0
    except Refused as refused:
        talk.tell(str(refused))
        return
    talk.do(c.Snooze(standing[0].n, minutes))


def _other_time(talk: Conversation, rest: str, less: str) -> None:
    """More time for the clock, or less."""
    clock = _main_clock(talk)
    if clock is None:
        talk.tell("No clock is running.")
        return
    timer, label = clock

    def answer(text: str) -> bool:
        try:
            minutes, why = minutes_first(f"{less}{text}")
        except Refused as refused:
            talk.tell(str(refused))
            return False
        return talk.do(c.ExtendTimer(timer, minutes, why))

    if rest:
        answer(rest)
    else:
        how, why = ("less", "it was hot before") if less else ("more", "steam was late")
        talk.ask(f"How many minutes {how} for {label}, and why? For example: 5 {why}", answer)


def _main_clock(talk: Conversation) -> tuple[str, str] | None:
    """The clock of the wait that is the step now, else the one that ends soonest."""
    views = running(talk.session.state, talk.now)
    step = talk.step
    own = [v for v in views if step is not None and step.kind == "wait" and v.id == step.timer]
    return next(((v.id, v.label) for v in (*own, *views)), None)


def _ran(talk: Conversation, rest: str) -> None:
    unsure = time_rules.unsure_timers(talk.session.state, talk.now)
    if not unsure:
        talk.tell("Every clock is sure of its time.")
        return
    timer = unsure[0]

    def answer(text: str) -> bool:
        try:
            minutes = minutes_only(text)
        except Refused as refused:
            talk.tell(str(refused))
            return False
        return talk.do(c.ConfirmElapsed(timer.id, minutes))

    if rest:
        answer(rest)
    else:
        talk.ask(f"How many minutes has {timer.label} run in all?", answer)


def _correct(talk: Conversation, rest: str) -> None:
    """The values given, newest first."""
    state = talk.session.state
    given = correctable(state)
    if not given:
        talk.tell("No value has been given yet.")
        return
    talk.doubted = None
    for number, step in enumerate(given, 1):
        talk.tell(f"{number}: {step.done}{value_tail(state.step(step.id))}")

    def chosen(text: str) -> bool:
        if not (text.isascii() and text.isdigit() and 0 < int(text[:6]) <= len(given)):
            talk.tell(f"Write a number from 1 to {len(given)}.")
            return False
        _ask_right_value(talk, given[int(text[:6]) - 1])
        return True

    talk.ask("Which value was wrong? Its number", chosen)


def _ask_right_value(talk: Conversation, step: Step) -> None:
    def correct(text: str, why: str) -> bool:
        if talk.do(c.Correct(step.id, text, why)):
            return True
        doubted, talk.doubted = talk.doubted, None
        if doubted is None:
            return False
        talk.ask("Write yes, or the right value", lambda again: settle(again, text, why))
        return True

    def settle(again: str, text: str, why: str) -> bool:
        if again.casefold() in ("yes", text.casefold()):
            return talk.do(c.Correct(step.id, text, why, meant=True))
        return correct(again, why)

    def valued(text: str) -> bool:
        try:
            read_value(step, text)
        except Refused as refused:
            talk.tell(str(refused))
            return False
        talk.ask("Why was it wrong?", lambda why: correct(text, why))
        return True

    talk.ask(correcting(step, talk.session.state.step(step.id)), valued)


def _done(talk: Conversation, rest: str) -> None:
    if talk.step is None:
        talk.tell("No step is open.")
    else:
        talk.do(c.Close(talk.step.id))


def _why(talk: Conversation, rest: str) -> None:
    if talk.step is not None:
        talk.tell(*why_lines(talk.session.state, talk.step, talk.now))


def _help(talk: Conversation, rest: str) -> None:
    """Every line command; undo only where there is something it would take back, and what that is."""
    for line in HELP:
        talk.tell(*(undoing.help_lines(talk) if line == undoing.HELP[0] else (line,)))


def _bell(talk: Conversation, rest: str) -> None:
    talk.sound("medium", "Sound check", False, "The bell was rung. Did you hear it at the pot?")


def _wait(talk: Conversation, rest: str) -> None:
    talk.holding = True


def _leave(talk: Conversation, rest: str) -> None:
    if talk.session.waiting and not talk.warned_of_loss:
        talk.warned_of_loss = True
        talk.tell(
            "Not everything is saved yet. Make room and wait; or write leave again, to save it elsewhere."
        )
        return
    talk.leave()


HANDLERS: dict[str, Handler] = {
    "done": _done,
    "heard": _heard,
    "later": _later,
    "why": _why,
    "undo": undoing.undo,
    "correct": _correct,
    "override": _reasoned("Why pass it?", lambda step, why: c.Override(step.id, why)),
    "skip": _reasoned("Why leave this step out?", lambda step, why: c.Skip(step.id, why)),
    "not measured": _reasoned("Why is it not measured?", lambda step, why: c.NotMeasured(step.id, why)),
    "time": lambda talk, rest: talk.tell(*words.clock_lines(talk.session.state, talk.now)),
    "list": lambda talk, rest: talk.tell(*words.stage_lines(talk.session, talk.now)),
    "help": _help,
    "more": lambda talk, rest: _other_time(talk, rest, ""),
    "less": lambda talk, rest: _other_time(talk, rest, "-"),
    "ran": _ran,
    "bell": _bell,
    "wait": _wait,
    "leave": _leave,
    "give up": _give_up,
    **pot_commands.HANDLERS,
}
