"""Lines on standard output, with the bell at the end of the line it belongs to."""

from __future__ import annotations

import errno
import sys
from collections.abc import Callable, Iterable, Sequence
from typing import TextIO, TypeVar, cast

import msgspec

from studio.lines.words import asking_lines, for_lines
from studio.plaintext import clean, in_plain_signs
from studio.plan.shapes import Step
from studio.quantity.reading_in import as_read
from studio.report.telling import not_saved, told_apart
from studio.session import commands as c
from studio.session.asked import ReallyMeant, Refused
from studio.session.clock import Moment, Reading, elapsed_since, moment_of
from studio.session.folding import Record
from studio.session.kinds.clocks import AlarmRaised
from studio.session.kinds.course import SavedLate
from studio.session.run import Running
from studio.session.timers import running
from studio.words.questions import asked

BEL = "\a"
FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
"""The lines go to a file, and the disk takes no more; nobody went away."""


class Printer:
    """Says lines on a stream that may be a pipe, a serial terminal or a screen reader.

    A character the stream cannot carry is replaced, never a reason to fail. A stream that is gone is a
    BrokenPipeError, whatever the system calls it; a full disk is an OSError.
    """

    def __init__(self, stream: TextIO | None = None, *, ascii_only: bool = False) -> None:
        self._stream = sys.stdout if stream is None else stream
        named = getattr(self._stream, "encoding", None) or "ascii"
        self._encoding = "ascii" if ascii_only else named
        self._bell = ""

    def say(self, line: str) -> None:
        """One line, at once."""
        try:
            self._stream.write(f"{in_plain_signs(line, self._encoding)}{self._bell}\n")
            self._stream.flush()
        except BrokenPipeError:
            raise
        except OSError as gone:
            if gone.errno in FULL:
                raise
            raise BrokenPipeError(str(gone)) from gone
        self._bell = ""

    def ring(self, priority: str, text: str, escalated: bool) -> None:
        """The bell sounds with the line that is said next, so that no line begins with it."""
        self._bell = BEL


LONGEST_SAID = 2400
"""Cells of one line: a note of the greatest length and what stands before it. House rule."""
TOLD_AGAIN_S = 60.0
"""How often it is repeated that something is not saved. House rule."""

Ring = Callable[[str, str, bool], object]
"""Makes a sound: its name (`high`, `medium`, `low`, `not saved`), text, whether long unanswered."""


class LineQuestion(msgspec.Struct, frozen=True):
    """Something asked beside the step."""

    prompt: str
    answer: Callable[[str], bool]
    """Called with the text; False, or Refused, where it was not taken and is asked again."""


class Conversation:
    """One `Running` session, where all that is said goes through one cleaned line at a time."""

    def __init__(self, session: Running, say: Callable[[str], object], ring: Ring) -> None:
        self.session = session
        self.step: Step | None = None
        """The step that was announced; answers belong to it."""
        self.question: LineQuestion | None = None
        self.doubted: c.Doubtful | None = None
        """An unusual value that waits for a yes."""
        self.warned_of_loss = False
        """It was said that leaving now loses what is not saved."""
        self.ended = False
        """The dyer leaves; the session stays open."""
        self.holding = False
        """Lines are left alone until the clock of the step has run out."""
        self._say = say
        self._ring = ring
        self._not_saved = 0
        self._moved = ""
        self._not_saved_told: Moment | None = None

    @property
    def now(self) -> Reading:
        """What the clocks of the session show."""
        return self.session.clock.now()

    def real_s(self, since: Moment, now: Reading) -> float:
        """Seconds of the dyer's own time: a rehearsal's clock runs faster than the dyer."""
        return elapsed_since(since, now).seconds / (self.session.state.rehearsal_speed or 1.0)

    def tell(self, *lines: str) -> None:
        """Say lines; nothing in them can steer a terminal."""
        for line in lines:
            self._say(clean(line, limit=LONGEST_SAID))

    def sound(self, priority: str, text: str, escalated: bool, line: str) -> None:
        """Ring, then say the line that tells what for."""
        self._ring(priority, as_read(text), escalated)
        self.tell(line)

    def prompt(self) -> None:
        """Say what is waited for."""
        if isinstance(self.doubted, c.Measure):
            self.tell("Write yes, or the value again > ")
        elif self.doubted is not None:
            self.tell("Write yes if it is so > ")
        elif self.question is not None:
            self.tell(self.question.prompt)
        elif self.step is not None:
            self.tell(*asking_lines(self.session.state, self.step, self.now, self.session.missed))

    def ask(self, prompt: str, answer: Callable[[str], bool]) -> None:
        """Ask something beside the step; `prompt` gets its ending here."""
        self.question = LineQuestion(f"{for_lines(prompt)} (Enter alone goes back) > ", answer)

    def do(self, command: c.Command) -> bool:
        """Carry out a command and say what came of it; False where it was refused.

        The very command that was doubted is meant when it comes again.
        """
        doubted, self.doubted = self.doubted, None
        if command == doubted and isinstance(command, c.Doubtful):
            command = msgspec.structs.replace(command, meant=True)
        try:
            events = self.session.do(command)
        except ReallyMeant as doubt:
            if isinstance(command, c.Doubtful):
                self.doubted = command
            self.tell(for_lines(f"{doubt} Write yes if it is so; it will be marked."))
            return False
        except Refused as refused:
            self.tell(for_lines(str(refused)))
            return False
        self.tell_saving()
        self._tell_events(events)
        return True

    def tick(self) -> None:
        """Let time pass. Alarms are told by whoever keeps their rhythm."""
        events = self.session.tick()
        self._tell_events(ev for ev in events if not isinstance(ev.told, AlarmRaised))
        self.tell_saving()

    def _tell_events(self, events: Iterable[Record]) -> None:
        on_disk = self.session.saved.last_n
        for event in events:
            word = "Saved" if event.n <= on_disk else "Waiting to be saved"
            self.tell(*(f"{word}: {told}" for told in told_apart(event, self.session.state)))

    def tell_saving(self) -> None:
        """Say at once that something is not saved, again each minute, when it is saved after all, and where."""
        waiting, now = self.session.waiting, self.now
        if not waiting:
            if self._not_saved:
                self.tell("Saved after all: every entry is in the file.")
                late = [event for event in self.session.saved.log if isinstance(event.told, SavedLate)][-1:]
                self._tell_events(() if self.session.moved != self._moved else late)
            self._not_saved, self._not_saved_told = 0, None
            if self.session.moved != self._moved:
                self._moved = self.session.moved
                self.tell(self._moved)
            return
        told = self._not_saved_told
        if waiting > self._not_saved or told is None or self.real_s(told, now) >= TOLD_AGAIN_S:
            self.sound("not saved", "Not saved", False, not_saved(self.session))
            self._not_saved_told = moment_of(now)
        self._not_saved = waiting

    def leave(self) -> None:
        """Write that the bench was left; say which clocks go on and how to come back."""
        self.do(c.Leave())
        self.session.save_elsewhere()
        self.tell_saving()
        self.ended = True
        clocks = running(self.session.state, self.now)
        if clocks:
            told = ", ".join(v.label for v in clocks)
            self.tell(f"Clocks that go on: {told}. No alarm can sound while the program is closed.")
        if self.session.waiting:
            self.tell(not_saved(self.session))
        self.tell(f"The session stays open. Go on with: potside resume {self.session.name}".rstrip())


Handler = Callable[[Conversation, str], object]
"""Does what a line asks, with the rest of the line; Refused where that cannot be."""
Thing = TypeVar("Thing")


def asking(
    question: str | Callable[[Conversation], str], build: Callable[[Conversation, str], c.Command]
) -> Handler:
    """A command that takes one text, and asks for it where the line holds none. `build` may refuse."""
    return asking_about(
        lambda talk: talk, lambda talk: question if isinstance(question, str) else question(talk), build
    )


def of_action(what: str) -> Handler:
    """What an action of the bench asks; its answer may stand in the same line."""
    return asking_about(
        lambda talk: asked(what, talk.session.state, talk.now),
        lambda question: question.label,
        lambda question, text: cast("c.Command", question.answer(text)),
    )


def asking_about(
    find: Callable[[Conversation], Thing],
    question: Callable[[Thing], str],
    build: Callable[[Thing, str], c.Command],
) -> Handler:
    """Of one thing, which is found when it is asked: the answer goes to it, whatever comes between.

    `find` and `build` may refuse.
    """

    def handler(talk: Conversation, rest: str) -> None:
        thing = find(talk)
        if rest:
            talk.do(build(thing, rest))
        else:
            talk.ask(question(thing), lambda text: talk.do(build(thing, text)))

    return handler


Chosen = TypeVar("Chosen")


def numbered(text: str, listed: Sequence[Chosen], refusal: str) -> Chosen:
    """The thing of that number in a list that begins at 1; Refused with that sentence where it is none."""
    if text.isascii() and text.isdigit() and 0 < int(text[:6]) <= len(listed):
        return listed[int(text[:6]) - 1]
    raise Refused(refusal)
