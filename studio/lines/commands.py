"""The line commands: what may be written in a line, and what is done with the rest of it."""

from __future__ import annotations

import difflib
import re
from pathlib import Path

import msgspec

from studio.lines import words
from studio.lines.conversation import Conversation, Handler, asking, asking_about, numbered, of_action
from studio.lines.words import ALL_CLOSED, why_lines
from studio.plan.shapes import Step
from studio.report.telling import band_words, correcting, given, named, offer, question
from studio.session import alarms, time_rules
from studio.session import commands as c
from studio.session.asked import Refused, minutes_first, minutes_only, read_value
from studio.session.bands import bands_of, face_up, next_band, still_bare
from studio.session.folding import Record
from studio.session.kinds.paint import Face
from studio.session.state import AlarmRecord, TimerRecord
from studio.session.step_rules import correctable
from studio.session.taking_back import newest, offered, taking_back
from studio.session.timers import TimerView, left_words, minutes_text, packets, running, view
from studio.words import questions
from studio.words.glossary import find, unknown

HELP = tuple(Path(__file__).with_name("help.txt").read_text(encoding="utf-8").splitlines())
"""Every line command, a line each."""
UNDO_HELP = tuple(line for line in HELP if line.startswith("undo"))


def _step(talk: Conversation) -> Step:
    if talk.step is None:
        raise Refused(ALL_CLOSED)
    return talk.step


def _to_judge(talk: Conversation) -> Step:
    step = _step(talk)
    if not words.by_eye(step):
        raise Refused("Nothing is judged by eye here. To leave a value out: not measured and a reason.")
    return step


def _standing(talk: Conversation) -> AlarmRecord:
    for alarm in alarms.standing(talk.session.state):
        return alarm
    raise Refused("No alarm stands.")


def _other_time(less: str, for_example: str) -> Handler:
    """More time for the clock, or less."""
    how = "less" if less else "more"
    return asking_about(
        _main_clock,
        lambda clock: f"How many minutes {how} for {clock.label}, and why? For example: 5 {for_example}",
        lambda clock, text: c.ExtendTimer(clock.id, *minutes_first(f"{less}{text}")),
    )


def _main_clock(talk: Conversation) -> TimerView:
    """The clock of the wait that is the step now, else the one that ends soonest."""
    views = running(talk.session.state, talk.now)
    step = talk.step
    own = [v for v in views if step is not None and step.kind == "wait" and v.id == step.timer]
    for clock in (*own, *views):
        return clock
    raise Refused("No clock is running.")


def _unsure(talk: Conversation) -> TimerRecord:
    for timer in time_rules.unsure_timers(talk.session.state, talk.now):
        return timer
    raise Refused("Every clock is right.")


def _correct(talk: Conversation, rest: str) -> None:
    """The values given, newest first."""
    state = talk.session.state
    steps = correctable(state)
    if not steps:
        talk.tell("No value has been given yet.")
        return
    talk.doubted = None
    for number, step in enumerate(steps, 1):
        talk.tell(f"{number}: {given(step, state.step(step.id))}")

    def chosen(text: str) -> bool:
        _ask_right_value(talk, numbered(text, steps, f"Write a number from 1 to {len(steps)}."))
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
        read_value(step, text)
        talk.ask("Why was it wrong?", lambda why: correct(text, why))
        return True

    talk.ask(correcting(step, talk.session.state.step(step.id)), valued)


def _why(talk: Conversation, rest: str) -> None:
    told = (ALL_CLOSED,) if talk.step is None else why_lines(talk.session.state, talk.step, talk.now)
    talk.tell(*told)


def _undo(talk: Conversation, rest: str) -> None:
    """The newest at once, or the one of that number; where a clock hangs on it, only when that is said again."""
    state, asked = talk.session.state, rest.strip().casefold()
    found = offered(state)
    if asked == "list" and found:
        talk.tell(*(f"{number}: {offer(state, event)}" for number, event in enumerate(found, 1)))
        talk.ask("Which is taken back? Its number", lambda text: _numbered(talk, text))
    elif asked and asked != "list":
        _numbered(talk, asked)
    else:
        _take_back(talk, newest(state))


def _numbered(talk: Conversation, text: str) -> bool:
    found = offered(talk.session.state)
    refusal = f"Write undo and a number from 1 to {len(found)}; undo list tells them."
    _take_back(talk, numbered(text, found, refusal))
    return True


def _take_back(talk: Conversation, event: Record | None) -> None:
    command = c.Undo(event.n if event is not None else 0)
    back = taking_back(talk.session.state, event) if event is not None else None
    if back is None or not back.asked_about:
        talk.do(command)
        return

    def again(text: str) -> bool:
        if text.casefold() not in ("undo", "yes"):
            talk.tell("Write undo again or yes to take it back.")
            return False
        return talk.do(command)

    talk.ask(f"{question(talk.session.state, back)} Write undo again or yes to take it back", again)


def _help(talk: Conversation, rest: str) -> None:
    """Every line command; undo only where there is something it would take back, and what that is."""
    event, found = newest(talk.session.state), offered(talk.session.state)
    for line in HELP:
        if line == UNDO_HELP[0] and event is not None:
            talk.tell(f"undo: take back {named(talk.session.state, event)}; it stays in the record.")
        elif line not in UNDO_HELP[: 1 if found else 2]:
            talk.tell(line)


def _ask(talk: Conversation, rest: str) -> None:
    """What the step takes, or what a word means."""
    if rest:
        word = find(rest)
        talk.tell(f"{word.name}: {word.means}" if word else unknown(rest))
    elif talk.step is None:
        talk.tell(ALL_CLOSED)
    else:
        talk.tell(*words.answers_to(talk.session.state, talk.step, talk.now))


def _bell(talk: Conversation, rest: str) -> None:
    talk.sound("medium", "Sound check", False, "The bell was rung. Did you hear it where you heat?")


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


# What is kept beside the steps: bands, packets, steam, pictures.

BAND = re.compile(
    r"(?P<number>[0-9]{1,6})?\s*(?P<face>front|back)?\s*(?P<coat>coat)?\s*(?:from\s+(?P<jar>.+))?",
    re.IGNORECASE,
)


def _band(talk: Conversation, rest: str) -> None:
    said = BAND.fullmatch(rest)
    if said is None or (said["coat"] and not said["number"]):
        talk.tell(
            "Write band for the next one, or band 7, band 7 back, band 7 coat, band 7 from and the jar's colour."
        )
        return
    state = talk.session.state
    told = (said["face"] or face_up(state)).casefold()
    face: Face = "back" if told == "back" else "front"
    band = int(said["number"]) if said["number"] else next_band(state, face=face)
    if band is None:
        bare = still_bare(state)
        there = "Every band has a coat." if bands_of(state) else "This session has no bands to paint."
        talk.tell(f"The {face} is painted. Still to paint: {bare}." if bare else there)
    elif talk.do(c.PaintBand(band, said["jar"] or "", again=bool(said["coat"]), face=face)):
        bare = still_bare(talk.session.state)
        talk.tell(f"Still to paint: {bare}." if bare else "Every band has a coat.")


def _bands(talk: Conversation, rest: str) -> None:
    rows = bands_of(talk.session.state)
    talk.tell(
        *(f"{band.number}: {band.plan.colour}, {band_words(talk.session.state, band)}" for band in rows)
    )
    if not rows:
        talk.tell("This session has no bands to paint.")


def _packet_ids(talk: Conversation) -> list[str]:
    return [t.id for t in packets(talk.session.state)]


def _packets(talk: Conversation, rest: str) -> None:
    state, ids = talk.session.state, _packet_ids(talk)
    for number, timer_id in enumerate(ids, 1):
        timer = state.timers[timer_id]
        if not timer.running:
            told = f"out after {minutes_text(timer.stopped_after_s or 0)}"
        else:
            left_s = view(timer, talk.now).left_s
            told = f"{left_words(left_s)} to go" if left_s > 0 else f"over by {left_words(left_s)}"
            told += ", stands still" if timer.paused is not None else ""
        talk.tell(f"{number}: {timer.label}, {told}")
    if not ids:
        talk.tell("No packet is in the steam; the first one's clock starts when the steam rolls.")


def _packet_out(talk: Conversation, text: str) -> c.Command:
    return c.PacketOut(
        numbered(text, _packet_ids(talk), "Write the number of the packet; packets lists them.")
    )


def _photo(talk: Conversation, text: str) -> c.Command:
    path, _, about = text.partition(" ")
    return c.AddPhoto(path, about)


ANOTHER_WORD = {"more": "mix", "left": "jar", "value": ""}
"""What is written here for an action of the bench, where it is not the action's name; a value is written as it is."""
OF_ACTIONS = {ANOTHER_WORD.get(a, a.replace("_", " ")): a for a in (*questions.BESIDE, *questions.OF_STEP)}
HANDLERS: dict[str, Handler] = {
    **{word: of_action(what) for word, what in OF_ACTIONS.items() if word},
    "done": lambda talk, rest: talk.do(c.Close(_step(talk).id)),
    "heard": lambda talk, rest: talk.do(c.Acknowledge(_standing(talk).n)),
    "later": lambda talk, rest: talk.do(c.Snooze(_standing(talk).n, minutes_only(rest) if rest else 1.0)),
    "why": _why,
    "undo": _undo,
    "correct": _correct,
    "time": lambda talk, rest: talk.tell(*words.clock_lines(talk.session.state, talk.now)),
    "list": lambda talk, rest: talk.tell(*words.stage_lines(talk.session, talk.now)),
    "not judged": lambda talk, rest: talk.do(c.NotMeasured(_to_judge(talk).id, rest or "not judged by eye")),
    "help": _help,
    "?": _ask,
    "more": _other_time("", "steam was late"),
    "less": _other_time("-", "it was hot before"),
    "ran": asking_about(
        _unsure,
        lambda timer: f"How many minutes has {timer.label} run in all?",
        lambda timer, x: c.ConfirmElapsed(timer.id, minutes_only(x)),
    ),
    "bell": _bell,
    "wait": _wait,
    "leave": _leave,
    "photo": asking("Which picture, and what is on it? photos/edge.jpg the edge", _photo),
    "steam": lambda talk, rest: talk.do(c.ToggleSteam()),
    "band": _band,
    "bands": _bands,
    "packet out": asking("Which packet came out? Its number", _packet_out),
    "packets": _packets,
}
"""By the word a line begins with. One that needs a text, a number or a reason asks for it where it stands alone."""
ALONE = frozenset({
    "done", "heard", "why", "correct", "time", "list", "bell", "wait", "help", "leave", "steam", "bands", "packets",
})  # fmt: skip
"""Words that make a whole line."""
BESIDE = frozenset({"earlier", "photo", "swatch", "dropper", "pot", "undo"})
"""Words for what is kept beside the steps, or taken back; where a reason is asked for they may begin it."""
IN_A_QUESTION = frozenset({"heard", "later", "time", "help", "?", "leave"})
"""Words that mean themselves, alone in a line, also while something else is being asked."""

_FIRST = re.compile(
    r"(\?|not\s+(?:measured|judged)|packet\s+(?:in|out)|[a-z]+)(?:\s+(.*))?",
    re.IGNORECASE | re.DOTALL,
)


class Asked(msgspec.Struct, frozen=True):
    """A command of a line."""

    word: str
    rest: str


def read_line(text: str, *, free_text: bool = False) -> Asked | None:
    """The command a line begins with, or None where the line is an answer.

    `free_text`: the step wants an answer in the dyer's own words; a sentence that only happens to begin
    with a word of `ALONE` or `BESIDE` is then that answer ("leave it damp, tried before").

    >>> read_line("note  pot was late")
    Asked(word='note', rest='pot was late')
    >>> read_line("Not  measured scale is flat"), read_line("?pick-up")
    (Asked(word='not measured', rest='scale is flat'), Asked(word='?', rest='pick-up'))
    >>> read_line("41.5 g") is None, read_line("undo it all", free_text=True) is None
    (True, True)
    """
    found = _FIRST.fullmatch(re.sub(r"^\?", "? ", text.strip()))
    if found is None:
        return None
    word = " ".join(found[1].casefold().split())
    rest = (found[2] or "").strip()
    if word not in HANDLERS or (rest and free_text and word in ALONE | BESIDE):
        return None
    return Asked(word, rest)


def nearest(text: str) -> str:
    """The command that was probably meant by a line that is none; empty where nothing is near.

    >>> nearest("nott late"), nearest("41.5")
    ('note', '')
    """
    first = text.split(maxsplit=1)[0][:20].casefold() if text.split() else ""
    near = difflib.get_close_matches(first, HANDLERS, n=1, cutoff=0.7)
    return near[0] if near else ""
