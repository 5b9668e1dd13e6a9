"""What a person, or the passing of time, asks of a session."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeAlias, TypeVar

import msgspec

from studio.session.clock import Reading

if TYPE_CHECKING:
    from studio.session.events import Event
    from studio.session.state import State


class Close(msgspec.Struct, frozen=True):
    """The step was done, or looked at and found right, or its wait is over; `meant` as below."""

    step: str
    meant: bool = False


class Measure(msgspec.Struct, frozen=True):
    """A value was read; `meant` when it was doubted and the dyer said that it is so."""

    step: str
    text: str
    meant: bool = False


class NotMeasured(msgspec.Struct, frozen=True):
    step: str
    why: str


class PassGate(msgspec.Struct, frozen=True):
    """The digit a gate showed was pressed; `missed` holds the wrong ones pressed before, each with its gate."""

    step: str
    digit: int
    missed: tuple[tuple[str, int], ...] = ()


class Override(msgspec.Struct, frozen=True):
    """A gate or a wait is passed against its rule, for a reason."""

    step: str
    why: str
    meant: bool = False


class Skip(msgspec.Struct, frozen=True):
    step: str
    why: str


class AcceptCaution(msgspec.Struct, frozen=True):
    """A warning is taken on, for a reason."""

    caution: str
    why: str


class Correct(msgspec.Struct, frozen=True):
    """A recorded value was wrong; the old one stays visible."""

    step: str
    text: str
    why: str
    meant: bool = False


class Undo(msgspec.Struct, frozen=True):
    """Take back the event of that number, or the newest that may be; of an undo, bring back what it took back."""

    ref: int = 0


class AddNote(msgspec.Struct, frozen=True):
    text: str


class ExtendTimer(msgspec.Struct, frozen=True):
    timer: str
    minutes: float
    why: str


class ConfirmElapsed(msgspec.Struct, frozen=True):
    """After a restart of the machine: how long the timer has really run."""

    timer: str
    minutes: float


class Acknowledge(msgspec.Struct, frozen=True):
    alarm: int


class Snooze(msgspec.Struct, frozen=True):
    alarm: int
    minutes: float = 1.0


class Tick(msgspec.Struct, frozen=True):
    """Time has passed since `previous`."""

    previous: Reading | None


class Leave(msgspec.Struct, frozen=True):
    """The bench is closed; the session stays open."""


class Resume(msgspec.Struct, frozen=True):
    """The bench is opened again."""

    pid: int
    program: str


class Finish(msgspec.Struct, frozen=True):
    """All is done; the record is closed."""


class Abandon(msgspec.Struct, frozen=True):
    why: str


class TakeReading(msgspec.Struct, frozen=True):
    """A temperature was read at the lid, the packet, the bath or in the room."""

    where: str
    text: str
    meant: bool = False


class ToggleSteam(msgspec.Struct, frozen=True):
    """The steam stopped, or rolls again."""


class Refill(msgspec.Struct, frozen=True):
    """The pot was topped up."""

    text: str


class MixMore(msgspec.Struct, frozen=True):
    """More of a colour is mixed; `text` is the amount, `20 mL`, or `20 mL at 0.95 %` from another stock."""

    colour: str
    text: str
    meant: bool = False


class PaintLeft(msgspec.Struct, frozen=True):
    """What a jar still holds."""

    colour: str
    text: str


class PaintBand(msgspec.Struct, frozen=True):
    """A band got a coat, its first or, with `again`, another.

    `jar`: slug, name or number of a colour; empty is the planned one. Without `again` a jar said of a band
    that has a coat is the jar its newest coat really was from.
    """

    band: int
    jar: str = ""
    again: bool = False


class PacketIn(msgspec.Struct, frozen=True):
    """Another packet went into the steam, with a clock of its own."""

    label: str


class PacketOut(msgspec.Struct, frozen=True):
    timer: str


class Rinsed(msgspec.Struct, frozen=True):
    """One rinse round, graded 1 to 5."""

    step: str
    text: str


class LookAtBath(msgspec.Struct, frozen=True):
    """How clear the bath, or the liquid round a packet, is on a white spoon, graded 1 to 5."""

    step: str
    text: str


class DoseAcid(msgspec.Struct, frozen=True):
    """More acid into the bath, because it will not clear."""

    text: str


class SetAgain(msgspec.Struct, frozen=True):
    """A second set, as new stages."""

    why: str


class KeepLeftover(msgspec.Struct, frozen=True):
    """What is left of a colour: kept in a jar, or disposed of."""

    colour: str
    text: str


class AddPhoto(msgspec.Struct, frozen=True):
    """A picture, by its path from the studio folder, and words about it."""

    path: str
    text: str = ""


class CountSwatch(msgspec.Struct, frozen=True):
    """Rounds counted on a knitted swatch: `rust 3 solid 2 mixed` (mixed on each side)."""

    text: str


class CountDrops(msgspec.Struct, frozen=True):
    """Drops of the studio's dropper counted into a measure: `40 drops in 2 mL`."""

    text: str


class ReadPot(msgspec.Struct, frozen=True):
    """Water left in the pot after some steam: `820 mL`."""

    text: str


class NoteLate(msgspec.Struct, frozen=True):
    """Something told later than it happened: `14:05 lid lifted`, `14:00 started`, `14:20 steam lost`."""

    text: str
    meant: bool = False


class PlanFollowUp(msgspec.Struct, frozen=True):
    """A fastness test after the end: `due` a day or `2 weeks`, the test's own where empty."""

    test: str
    due: str = ""
    how: str = ""
    note: str = ""


class GradeFollowUp(msgspec.Struct, frozen=True):
    """Grey-scale grades of a test; `why` where they replace other ones."""

    test: str
    change: str = ""
    staining: str = ""
    note: str = ""
    why: str = ""


class CancelFollowUp(msgspec.Struct, frozen=True):
    """A planned test will not be done."""

    test: str
    why: str


Doubtful = Close | Measure | Correct | Override | MixMore | NoteLate | TakeReading
"""What may be doubted, and is carried out where it is meant."""

Command = (
    Close
    | Measure
    | NotMeasured
    | PassGate
    | Override
    | Skip
    | AcceptCaution
    | Correct
    | Undo
    | AddNote
    | ExtendTimer
    | ConfirmElapsed
    | Acknowledge
    | Snooze
    | Tick
    | Leave
    | Resume
    | Finish
    | Abandon
    | TakeReading
    | ToggleSteam
    | Refill
    | MixMore
    | PaintLeft
    | PaintBand
    | PacketIn
    | PacketOut
    | Rinsed
    | LookAtBath
    | DoseAcid
    | SetAgain
    | KeepLeftover
    | AddPhoto
    | NoteLate
    | CountSwatch
    | PlanFollowUp
    | GradeFollowUp
    | CancelFollowUp
    | CountDrops
    | ReadPot
)

AfterTheEnd = AddNote | AddPhoto | CountSwatch | CountDrops | PlanFollowUp | GradeFollowUp | CancelFollowUp
"""What may be added to a session that is closed."""

OfATest = PlanFollowUp | GradeFollowUp | CancelFollowUp
"""What waits until it is closed."""

C = TypeVar("C")
Rule: TypeAlias = "Callable[[State, C, Reading], list[Event]]"
RULES: dict[type, Callable[[State, Any, Reading], list[Event]]] = {}
"""What becomes of each command; each rule enters itself, and `decide` loads them all."""


def rule(command: type[C]) -> Callable[[Rule[C]], Rule[C]]:
    """The function below is the rule for that command."""

    def entered(decided: Rule[C]) -> Rule[C]:
        RULES[command] = decided
        return decided

    return entered
