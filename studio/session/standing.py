"""Which events stand: an undo names another event, and what it names counts no more."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from studio.session import events as e

FREE = frozenset(
    {
        e.NOTED, e.NOTED_LATE, e.PHOTO_ADDED, e.READING_TAKEN, e.BAND_PAINTED, e.PAINT_LEFT, e.BATCH_MIXED,
        e.BATH_LOOKED, e.ACID_DOSED, e.POT_REFILLED, e.POT_READ, e.LEFTOVER_KEPT, e.DROPS_COUNTED,
        e.SWATCH_COUNTED,
    }
)  # fmt: skip
"""Kinds that may be taken back in any order; but one that closes a step as well, as the step may."""
LAST = e.CLOSES_A_STEP | {
    e.CAUTION_ACCEPTED, e.CORRECTED, e.TIMER_STARTED, e.TIMER_STOPPED, e.TIMER_EXTENDED, e.TIMER_CONFIRMED,
    e.STEAM_STOPPED, e.STEAM_AGAIN, e.RINSE_ROUND, e.SET_ADDED,
}  # fmt: skip
"""Kinds of which only the newest that stands may be taken back."""
MAY_GO = FREE | LAST | {e.UNDONE}
"""The rest no undo can name: how the session and its file began and ended, clock jumps, alarms and their answers."""


class Log:
    """The events of a session up to one of them, in file order.

    The logs of one session share their list, so that each state keeps its own for nothing.
    """

    __slots__ = ("_all", "_count")

    def __init__(self, events: list[e.Event], count: int | None = None) -> None:
        self._all = events
        self._count = len(events) if count is None else count

    def then(self, event: e.Event) -> Log:
        """With one more event."""
        if self._count and len(self._all) == self._count:
            self._all.append(event)
            return Log(self._all)
        return Log([*self, event])

    def find(self, n: int) -> e.Event | None:
        """The event of that number."""
        at = n - self._all[0].n if self._all else 0
        if 0 <= at < self._count and self._all[at].n == n:
            return self._all[at]
        return next((event for event in self if event.n == n), None)

    def __iter__(self) -> Iterator[e.Event]:
        return iter(self._all[: self._count])

    def __reversed__(self) -> Iterator[e.Event]:
        return (self._all[at] for at in range(self._count - 1, -1, -1))

    def __len__(self) -> int:
        return self._count

    def __eq__(self, other: object) -> bool:
        """Whether they tell the same, whatever records the events are read into."""
        return isinstance(other, Log) and [*map(_told, self)] == [*map(_told, other)]


def _told(event: e.Event) -> tuple[object, ...]:
    return event.n, event.kind, event.at, event.boot_ns, event.boot, event.data


def taken_back(events: Sequence[e.Event] | Log) -> frozenset[int]:
    """Numbers of the events that do not stand; an undo that was itself taken back takes nothing back.

    **Source:** house rule.
    """
    gone: set[int] = set()
    for event in reversed(events):
        if event.kind == e.UNDONE and event.n not in gone and event.data["ref"] < event.n:
            gone.add(event.data["ref"])
    return frozenset(event.n for event in events if event.n in gone and event.kind in MAY_GO)
