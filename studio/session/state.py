"""The state of a session: everything that is known after some of its events, which of them stand, and how
each step, clock and alarm does.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Mapping, Sequence
from operator import attrgetter
from typing import TYPE_CHECKING, Annotated, ClassVar, Literal, TypeVar, cast

import msgspec
from msgspec import Meta

from studio.plan.settled import Settled
from studio.plan.shapes import Figure, Step, Timer, Worksheet
from studio.session.clock import Moment
from studio.session.events import Event, EventN, Head, Kept, Undo, parts

if TYPE_CHECKING:
    from studio.session.folding import Record
    from studio.session.kinds.fastness import FollowUp
    from studio.session.kinds.paint import BandPainted


E = TypeVar("E", bound=Event)

# What a state works out of the events about each step, clock and alarm, and of remarks.

AlarmLevel = Literal["due", "low", "dry", "60 s", "10 s"]
"""A clock ran out, or soon will; `low` and `dry` are the pot's, by what has boiled off."""

Urgency = Literal["high", "medium", "low"]
"""Of a clock and its alarms."""

StepState = Literal["open", "done", "measured", "not measured", "skipped", "passed", "overridden"]


class Earlier(msgspec.Struct, frozen=True):
    """A value or a tick that was taken back or corrected; kept so that nothing is obscured."""

    what: str
    at_ns: int
    why: str


class StepRecord(msgspec.Struct, frozen=True):
    """How one step stands."""

    state: StepState = "open"
    n: int = 0
    """Number of the event that closed it; 0 while open."""
    at_ns: int = 0
    """Wall time of closing."""
    moment: Moment | None = None
    """The same on every clock."""
    value: float | None = None
    unit: str = ""
    typed: str = ""
    why: str = ""
    read_c: float | None = None
    """degC last read of the goods: what ended a wait, or stood against a gate that was passed all the same."""
    flagged: bool = False
    """It was doubted, as a value outside the expected range is, and the dyer said that it is so."""
    asked: float | None = None
    """What the step asked for when it was closed, in its unit."""
    fixed: Mapping[str, float] = {}
    """Amounts that stand since it was closed, by the id of their figure: the value, and what was done as asked."""
    earlier: tuple[Earlier, ...] = ()

    @property
    def closed(self) -> bool:
        """Whether nothing more is to be done for it."""
        return self.state != "open"


class TimerRecord(Timer, frozen=True, kw_only=True):
    """One clock that was started."""

    started: Moment
    n: int
    """Number of the event that started it, or its round."""
    by: str
    """The step that started it."""
    round: int = 1
    head_start_s: float = 0.0
    """Seconds already run when `started` was set (after a person confirmed an unsure time)."""
    stopped_after_s: float | None = None
    stopped: Moment | None = None
    off: tuple[tuple[Moment, Moment | None], ...] = ()
    """When it stood still since `started`, in order of time."""
    raised: frozenset[str] = frozenset()
    """Levels already sounded in this round."""

    @property
    def running(self) -> bool:
        """Whether it has been started and not stopped."""
        return self.stopped_after_s is None

    @property
    def ran_min(self) -> float | None:
        """Minutes it ran; None until it is stopped."""
        return None if self.stopped_after_s is None else self.stopped_after_s / 60

    @property
    def paused(self) -> Moment | None:
        """Since when it stands still."""
        return self.off[-1][0] if self.off and self.off[-1][1] is None else None


class AlarmRecord(msgspec.Struct, frozen=True):
    """One alarm that was raised."""

    n: int
    timer: str
    level: AlarmLevel
    priority: Urgency
    text: str
    raised: Moment
    late_s: float
    acknowledged_after_s: float | None = None
    ended_by: str = ""
    """What ended it in place of the dyer's word: a step, `refill`, `more time`, `true time`, `dry pot`."""
    snoozed_at: Moment | None = None
    snoozed_min: float = 0.0

    @property
    def ahead(self) -> bool:
        """Whether it only tells that a clock is about to come due, and waits for nobody."""
        return self.level in ("60 s", "10 s")

    @property
    def standing(self) -> bool:
        """Whether it still waits for the dyer."""
        return not self.ahead and self.acknowledged_after_s is None


def place_of(alarms: Sequence[AlarmRecord], n: int) -> int | None:
    """Where the alarm that event `n` raised lies among those raised, in the order of their numbers."""
    at = bisect_left(alarms, n, key=attrgetter("n"))
    return at if at < len(alarms) and alarms[at].n == n else None


class Note(msgspec.Struct, frozen=True):
    """A remark in the dyer's words."""

    n: int
    at_ns: int
    text: str
    addendum: bool = False
    happened_at: str = ""
    """For a late entry: the time of day it happened at, `14:05`; `at_ns` is when it was written."""


# Which events stand: an undo names another event, and what it names counts no more.


class Undone(Event, frozen=True, tag="undone"):
    """Event `ref` does not count; where that is an undo, what it took back counts again."""

    undo: ClassVar[Undo] = "last"

    ref: EventN
    undone: Annotated[str, Meta(description="Kind of that event.")]

    def apply(self, state: State, head: Head) -> None:
        """What was taken back leaves its traces."""
        undone = state.log.find(self.ref)
        for part in parts(undone.told) if undone is not None and undone.n in state.gone else ():
            part.taken_back(state, head)

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

    def __init__(self, events: list[Record], count: int | None = None) -> None:
        self._all = events
        self._count = len(events) if count is None else count

    def then(self, event: Record) -> Log:
        """With one more event."""
        if self._count and len(self._all) == self._count:
            self._all.append(event)
            return Log(self._all)
        return Log([*self, event])

    def find(self, n: int) -> Record | None:
        """The event of that number."""
        at = n - self._all[0].n if self._all else 0
        if 0 <= at < self._count and self._all[at].n == n:
            return self._all[at]
        return next((event for event in self if event.n == n), None)

    def __iter__(self) -> Iterator[Record]:
        return iter(self._all[: self._count])

    def __reversed__(self) -> Iterator[Record]:
        return (self._all[at] for at in range(self._count - 1, -1, -1))

    def __len__(self) -> int:
        return self._count

    def __eq__(self, other: object) -> bool:
        """Whether they tell the same, whatever records the events are read into."""
        return isinstance(other, Log) and [*map(_told, self)] == [*map(_told, other)]


def _told(event: Record) -> tuple[object, ...]:
    return event.n, event.kind, event.at, event.boot_ns, event.boot, event.data


def taken_back(events: Sequence[Record] | Log) -> frozenset[int]:
    """Numbers of the events that do not stand; an undo that was itself taken back takes nothing back.

    **Source:** house rule.
    """
    gone: set[int] = set()
    for event in reversed(events):
        told = event.told
        if isinstance(told, Undone) and event.n not in gone and told.ref < event.n:
            gone.add(told.ref)
    return frozenset(event.n for event in events if event.n in gone and event.told.undo != "never")


# The state of a session: everything that is known after some of its events.

NO_LOG = Log([])
OPEN_STEP = StepRecord()


class State(msgspec.Struct):
    """Everything that is known of a session after some of its events.

    Events change it, and its lists and tables, in place: one that `folding` has made for that, see `copied`. Whatever
    lies in them never changes.
    """

    title: str
    worksheet: Worksheet
    """As it was begun; the steps and clocks of later sets are added. `sheet_now` has the figures of now."""
    choices: Settled
    """What the worksheet was worked out of; fixed when the session began."""
    plan_text: str
    opened: Moment
    last: Moment
    last_n: int
    utc_offset_min: int = 0
    rehearsal_speed: float | None = None
    program: str = ""
    plan_file: str = ""
    """Its name; empty in a session of a version that did not keep it."""
    steps: dict[str, StepRecord] = {}
    timers: dict[str, TimerRecord] = {}
    rounds_over: list[TimerRecord] = []
    """Of clocks that began anew: each round before the one in `timers`."""
    alarms: list[AlarmRecord] = []
    notes: list[Note] = []
    accepted: dict[str, str] = {}
    """Cautions taken on with the reason given."""
    log: Log = NO_LOG
    """Every event so far, whether it stands or not."""
    gone: frozenset[int] = frozenset()
    """Numbers of those that do not stand."""
    resumed: list[tuple[int, str]] = []
    """When it was taken up again, wall time in ns, and by which version of the program."""
    gate_digit: int = 0
    """The digit that opened the newest gate; 0 before the first."""
    things: list[Kept[Event]] = []
    """The events that are kept as they are, in their order: `kept` has those of one kind."""
    steam_off: tuple[tuple[Moment, Moment | None], ...] = ()
    """When the steam stopped, and when it rolled again."""
    coats: list[Kept[BandPainted]] = []
    """On the bands, in the order they were painted."""
    sets: int = 1
    """How many times the goods are or were set."""
    follow_ups: list[FollowUp] = []
    """Fastness tests planned after the end, in the order they were planned."""
    outcome: Literal["", "finished", "abandoned"] = ""
    outcome_why: str = ""
    came_to: tuple[Figure, ...] = ()
    """Once it is closed: the figures that are not as they were begun."""
    unknown_kinds: list[str] = []
    """Kinds of event this version does not know; kept and shown, never dropped."""

    def copied(self) -> State:
        """One that events can change and this one stays as it is."""
        fields = msgspec.structs.asdict(self).items()
        own = {name: value.copy() for name, value in fields if isinstance(value, list | dict)}
        return msgspec.structs.replace(self, **own)

    def kept(self, kind: type[E]) -> list[Kept[E]]:
        """Those of that kind that stand, in their order."""
        return cast("list[Kept[E]]", [one for one in self.things if isinstance(one.event, kind)])

    def step(self, step_id: str) -> StepRecord:
        """How that step stands."""
        return self.steps.get(step_id, OPEN_STEP)

    def all_steps(self) -> Iterable[Step]:
        """The steps of the procedure, in order."""
        for stage in self.worksheet.procedure:
            yield from stage.steps

    def find_step(self, step_id: str) -> Step | None:
        """The step of the procedure with that id, or None."""
        return next((s for s in self.all_steps() if s.id == step_id), None)

    @property
    def sound_heard(self) -> bool:
        """Whether the alarm was heard before the session began, or nobody was asked."""
        asked = self.worksheet.step_for("sound")
        return asked is None or self.step(asked.id).state != "skipped"

    @property
    def closed(self) -> bool:
        """Whether the session has ended, well or not."""
        return bool(self.outcome)
