"""What a person, or the passing of time, asks of a session."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any, Literal, TypeAlias, TypeVar

import msgspec

from studio.session.clock import Reading

if TYPE_CHECKING:
    from studio.plan.shapes import Step
    from studio.session.events import Event
    from studio.session.state import State


class Command(msgspec.Struct, frozen=True):
    """One thing that is asked."""


class Doubtful(Command, frozen=True, kw_only=True):
    """It may be doubted; `meant` when it was, and the dyer said that it is so."""

    meant: bool = False


class ToldAfter(Command, frozen=True):
    """What comes of it is told in a sentence."""


class AfterTheEnd(Command, frozen=True):
    """It may be added to a session that is closed."""


class AboutATest(AfterTheEnd, frozen=True):
    """It waits until the session is closed."""

    test: str


class Close(Doubtful, frozen=True):
    """The step was done, or looked at and found right, or its wait is over."""

    step: str


class Measure(Doubtful, frozen=True):
    """A value was read, or water graded."""

    step: str
    text: str


class NotMeasured(Command, frozen=True):
    step: str
    why: str


class PassGate(Command, frozen=True):
    """The digit a gate showed was pressed; `missed` holds the wrong ones pressed before, each with its gate."""

    step: str
    digit: int
    missed: tuple[tuple[str, int], ...] = ()


class Override(Doubtful, frozen=True):
    """A gate or a wait is passed against its rule, for a reason."""

    step: str
    why: str


class Skip(Command, frozen=True):
    step: str
    why: str


class AcceptCaution(Command, frozen=True):
    """A warning is taken on, for a reason."""

    caution: str
    why: str


class Correct(Doubtful, frozen=True):
    """A recorded value was wrong; the old one stays visible."""

    step: str
    text: str
    why: str


class Undo(Command, frozen=True):
    """Take back the event of that number, or the newest that may be; of an undo, bring back what it took back."""

    ref: int = 0


class AddNote(AfterTheEnd, frozen=True):
    text: str


class ExtendTimer(ToldAfter, frozen=True):
    timer: str
    minutes: float
    why: str


class ConfirmElapsed(Command, frozen=True):
    """After a restart of the machine: how long the timer has really run."""

    timer: str
    minutes: float


class Acknowledge(Command, frozen=True):
    alarm: int


class Snooze(Command, frozen=True):
    alarm: int
    minutes: float = 1.0


class Tick(Command, frozen=True):
    """Time has passed since `previous`."""

    previous: Reading | None


class Leave(Command, frozen=True):
    """The bench is closed; the session stays open."""


class Resume(Command, frozen=True):
    """The bench is opened again."""

    pid: int
    program: str


class Finish(Command, frozen=True):
    """All is done; the record is closed."""


class Abandon(Command, frozen=True):
    why: str


class TakeReading(Doubtful, ToldAfter, frozen=True):
    """A temperature was read at the lid, the packet, the bath or in the room."""

    where: str
    text: str


class ToggleSteam(ToldAfter, frozen=True):
    """The steam stopped, or rolls again."""


class Refill(ToldAfter, frozen=True):
    """The pot was topped up."""

    text: str


class MixMore(Doubtful, ToldAfter, frozen=True):
    """More of a colour is mixed; `text` is the amount, `20 mL`, or `20 mL at 0.95 %` from another stock."""

    colour: str
    text: str


class PaintLeft(ToldAfter, frozen=True):
    """What a jar still holds."""

    colour: str
    text: str


class PaintBand(Command, frozen=True):
    """A band got a coat, its first on that face or, with `again`, another.

    `face`: empty is the one that lies up by the steps.
    `jar`: slug, name or number of a colour; empty is the planned one. Without `again` a jar said of a band
    that has a coat is the jar its newest coat really was from.
    """

    band: int
    jar: str = ""
    again: bool = False
    face: Literal["front", "back", ""] = ""


class PacketIn(Command, frozen=True):
    """Another packet went into the steam, with a clock of its own."""

    label: str


class PacketOut(Command, frozen=True):
    timer: str


class DoseAcid(ToldAfter, frozen=True):
    """More acid into the bath, because it will not clear."""

    text: str


class SetAgain(ToldAfter, frozen=True):
    """A second set, as new stages."""

    why: str


class KeepLeftover(ToldAfter, frozen=True):
    """What is left of a colour: kept in a jar, or disposed of."""

    colour: str
    text: str


class AddPhoto(ToldAfter, AfterTheEnd, frozen=True):
    """A picture, by its path from the studio folder, and words about it."""

    path: str
    text: str = ""


class CountSwatch(ToldAfter, AfterTheEnd, frozen=True):
    """Rounds counted on a knitted swatch: `rust 3 solid 2 mixed` (mixed on each side)."""

    text: str


class CountDrops(ToldAfter, AfterTheEnd, frozen=True):
    """Drops of the studio's dropper counted into a measure: `40 drops in 2 mL`."""

    text: str


class ReadPot(ToldAfter, frozen=True):
    """Water left in the pot after some steam: `820 mL`."""

    text: str


class NoteLate(Doubtful, ToldAfter, frozen=True):
    """Something told later than it happened: `14:05 lid lifted`, `14:00 started`, `14:20 steam lost`."""

    text: str


class PlanFollowUp(AboutATest, frozen=True):
    """A fastness test after the end: `due` a day or `2 weeks`, the test's own where empty."""

    due: str = ""
    how: str = ""
    note: str = ""


class GradeFollowUp(AboutATest, frozen=True):
    """Grey-scale grades of a test; `why` where they replace other ones."""

    change: str = ""
    staining: str = ""
    note: str = ""
    why: str = ""


class CancelFollowUp(AboutATest, frozen=True):
    """A planned test will not be done."""

    why: str


C = TypeVar("C")
Rule: TypeAlias = "Callable[[State, C, Reading], Iterable[Event]]"
RULES: dict[type, Callable[[State, Any, Reading], Iterable[Event]]] = {}
"""What becomes of each command; each rule enters itself, and `decide` loads them all."""


def rule(command: type[C]) -> Callable[[Rule[C]], Rule[C]]:
    """The function below is the rule for that command."""

    def entered(decided: Rule[C]) -> Rule[C]:
        RULES[command] = decided
        return decided

    return entered


Answer: TypeAlias = "Callable[[State, Step, str], Iterable[Event]]"
ANSWERS: dict[str, Answer] = {}
"""What a value becomes, as it was typed, at a step of that role: an event of its own, and the value that closes the
step unless it stays open."""


def answers(role: str) -> Callable[[Answer], Answer]:
    """The function below is what a value becomes at steps of that role."""

    def entered(told: Answer) -> Answer:
        ANSWERS[role] = told
        return told

    return entered
