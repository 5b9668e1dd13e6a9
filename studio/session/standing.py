"""Which events stand: an undo names another event, and what it names counts no more."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Annotated, ClassVar

from msgspec import Meta

from studio.session.events import Event, EventN, Head, Recorded, Undo, parts

if TYPE_CHECKING:
    from studio.session.state import State


class Undone(Event, frozen=True, tag="undone"):
    """Event `ref` does not count; where that is an undo, what it took back counts again."""

    undo: ClassVar[Undo] = "last"

    ref: EventN
    undone: Annotated[str, Meta(description="Kind of that event.")]

    def apply(self, state: State, head: Head) -> State:
        """What was taken back leaves its traces."""
        undone = state.log.find(self.ref)
        for part in parts(undone.told) if undone is not None and undone.n in state.gone else ():
            state = part.taken_back(state, head)
        return state

    def says(self, state: State) -> str:
        """`taken back: band 7 painted, rust`; of an undo taken back, what it had taken back is brought back."""
        undone = state.log.find(self.ref)
        if undone is None:
            return "taken back"
        if not isinstance(undone.told, Undone):
            return f"taken back: {undone.told.says(state)}"
        before = state.log.find(undone.told.ref)
        if before is None or isinstance(before.told, Undone):
            return "brought back"
        return f"brought back: {before.told.says(state)}"


class Log:
    """The events of a session up to one of them, in file order.

    The logs of one session share their list, so that each state keeps its own for nothing.
    """

    __slots__ = ("_all", "_count")

    def __init__(self, events: list[Recorded], count: int | None = None) -> None:
        self._all = events
        self._count = len(events) if count is None else count

    def then(self, event: Recorded) -> Log:
        """With one more event."""
        if self._count and len(self._all) == self._count:
            self._all.append(event)
            return Log(self._all)
        return Log([*self, event])

    def find(self, n: int) -> Recorded | None:
        """The event of that number."""
        at = n - self._all[0].n if self._all else 0
        if 0 <= at < self._count and self._all[at].n == n:
            return self._all[at]
        return next((event for event in self if event.n == n), None)

    def __iter__(self) -> Iterator[Recorded]:
        return iter(self._all[: self._count])

    def __reversed__(self) -> Iterator[Recorded]:
        return (self._all[at] for at in range(self._count - 1, -1, -1))

    def __len__(self) -> int:
        return self._count

    def __eq__(self, other: object) -> bool:
        """Whether they tell the same, whatever records the events are read into."""
        return isinstance(other, Log) and [*map(_told, self)] == [*map(_told, other)]


def _told(event: Recorded) -> tuple[object, ...]:
    return event.n, event.kind, event.at, event.boot_ns, event.boot, event.data


def taken_back(events: Sequence[Recorded] | Log) -> frozenset[int]:
    """Numbers of the events that do not stand; an undo that was itself taken back takes nothing back.

    **Source:** house rule.
    """
    gone: set[int] = set()
    for event in reversed(events):
        told = event.told
        if isinstance(told, Undone) and event.n not in gone and told.ref < event.n:
            gone.add(told.ref)
    return frozenset(event.n for event in events if event.n in gone and event.told.undo != "never")
