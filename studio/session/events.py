"""What a session file tells: events, in file order, each of a kind that is written, folded and told in one place.

An event never changes. A correction, an undo and a remark are events of their own that point back. The kinds lie in
`studio.session.kinds`, by subject, and each is known once it is declared. What hangs on an event lies in it: the clocks
it starts and stops, the alarms it ends, the step it closes. So a process that is killed leaves a command whole or not,
and undo takes it back whole.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from typing import TYPE_CHECKING, Annotated, Any, ClassVar, Final, Generic, Literal, TypeVar

import msgspec
from msgspec import Meta, Struct

from studio.plaintext import clean
from studio.session.clock import Moment

if TYPE_CHECKING:
    from studio.session.state import State

FORMAT: Final = "potside-session/1"

StepIdOrNone = Annotated[str, Meta(description="Id of a step; empty where none was due.")]
EventN = Annotated[int, Meta(description="Number `n` of an earlier event of this file.", ge=1)]
Minutes = Annotated[float, Meta(description="min")]
Seconds = Annotated[float, Meta(description="s")]
Ml = Annotated[float, Meta(description="mL")]
Words = Annotated[str, Meta(description="In the dyer's words, not cleaned.")]
Typed = Annotated[str, Meta(description="As it was typed; empty where it was worked out.")]
Doubted = Annotated[bool, Meta(description="It was doubted, then confirmed.")]

Undo = Literal["free", "last", "never"]
"""Whether an event may be taken back in any order (but one that closes a step as well: as the step may), only while it
is the newest of its like that stands, or not at all, as no undo can name how a session and its file began and ended,
clock jumps, alarms and their answers."""


def newer(told: object) -> bool:
    """Whether a later version of the program wrote a file of that format: it may be read, never written.

    >>> newer(FORMAT), newer("potside-session/2"), newer(None)
    (False, True, True)
    """
    number = re.fullmatch(r"potside-session/([0-9]{1,6})", told) if isinstance(told, str) else None
    return told != FORMAT and (number is None or int(number[1]) > int(FORMAT.rpartition("/")[2]))


class Head(Struct, frozen=True):
    """The number of an event, and when it happened."""

    n: int
    at: Moment


class Event(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True, tag_field="kind"):
    """What lies in the `data` of an event: these keys and no other."""

    undo: ClassVar[Undo] = "never"
    within: ClassVar[str] = ""
    """Where it lies in an event that it comes of; empty for one that always stands alone."""
    after_the_end: ClassVar[bool] = False
    """Whether it may follow the closing line, whose SHA-256 covers every byte before it and stays true."""
    seen: ClassVar[bool] = False
    """Whether the page of its session tells it among what was read, poured, mixed and graded beside the steps."""

    @property
    def kind(self) -> str:
        """As the file names it, `step.done`."""
        return kind_of(type(self))

    def apply(self, state: State, head: Head) -> None:
        """What it does to the state. Total: what refers to something that does not stand changes nothing."""

    def taken_back(self, state: State, head: Head) -> None:
        """What stays of it in the state of those that stand, once the event `head` has taken it back."""

    def says(self, state: State) -> str:
        """One sentence; `state` is that after it. Text from the file is cleaned."""
        raise NotImplementedError(self.kind)


class Unknown(Event, frozen=True):
    """An event of a kind this version does not know; kept and shown, never dropped."""

    name: str

    @property
    def kind(self) -> str:
        return self.name

    def apply(self, state: State, head: Head) -> None:
        state.unknown_kinds.append(self.name)

    def says(self, state: State) -> str:
        return f"{clean(self.name)} (not known to this version)"


E = TypeVar("E", covariant=True)


class Kept(Struct, Generic[E], frozen=True):
    """An event that stands, with its head, where a state keeps it as it is."""

    n: int
    at: Moment
    event: E


class OfAList(Event, frozen=True):
    """An event that a state keeps as it is, to be asked for by its kind: `state.kept(PotRead)`."""

    undo: ClassVar[Undo] = "free"
    seen: ClassVar[bool] = True

    def apply(self, state: State, head: Head) -> None:
        state.things.append(Kept(head.n, head.at, self))


def kind_of(kind: type[Event]) -> str:
    """The name of a kind as the file has it, `step.done`."""
    return str(kind.__struct_config__.tag)


_BEHIND = ("stops", "ends", "extends", "starts")
"""Where in an event the parts lie whose kind is plain from their place, in the order they count."""


def data_of(event: Event) -> dict[str, Any]:
    """An event as the `data` of its line."""
    data: dict[str, Any] = msgspec.to_builtins(event)
    for told in (data, *(part for where in _BEHIND for part in data.get(where, ()))):
        del told["kind"]
    return data


def parts(event: Event) -> tuple[Event, ...]:
    """The event and what lies in it: first the steps it closes, last the clocks it starts."""
    found: list[Event] = []
    for where in _places(type(event)):
        found.extend(getattr(event, where) if where else (event,))
    return tuple(found)


@cache
def _places(kind: type[Event]) -> tuple[str, ...]:
    """The fields that parts of such an event lie in, in the order they count; empty for itself."""
    return tuple(where for where in ("closes", "", *_BEHIND) if not where or where in kind.__struct_fields__)


def joined(events: Iterable[Event]) -> list[Event]:
    """What comes of a command, with each event that may lie within another put into the one that leads it."""
    leading: list[Event] = []
    for event in events:
        if not leading or not event.within:
            leading.append(event)
            continue
        others = (*getattr(leading[-1], event.within), event)
        leading[-1] = msgspec.structs.replace(leading[-1], **{event.within: others})
    return leading
