"""Every kind of event: the data of a line as one, and the events that stand folded into a state."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterable, Iterator
from functools import cache, cached_property
from typing import Annotated, Any

import msgspec
from msgspec import Meta

from studio.session.clock import Moment, Reading, utc_text, wall_ns_of
from studio.session.events import FORMAT, Event, Head, Unknown, data_of, kind_of, parts
from studio.session.kinds.clocks import AlarmAcknowledged, late_of, ring_anew
from studio.session.kinds.course import OPENED, Opened
from studio.session.state import Log, State, Undone, place_of, taken_back
from studio.shaping import shaped
from studio.trouble import UNREADABLE, Trouble

# Every kind of event; whether the data of a line are of the shape of their kind, and in a few words why
# not. A file that was changed by hand can have right check sums and still say what no rule ever wrote.
# It is looked at once, where a line is read; what has its shape may then be trusted by the folds and by
# all that is shown of them.


def _kinds(of: type[Event]) -> Iterator[type[Event]]:
    """Those below it that a file may name; what several have in common goes by the name of its class."""
    for kind in of.__subclasses__():
        if kind_of(kind).islower():
            yield kind
        yield from _kinds(kind)


@cache
def kinds() -> dict[str, type[Event]]:
    """Every kind of event, by its name in the file; gathered where the first line is read, not where one is begun."""
    from studio.session.kinds import fastness, heat, notes, paint  # noqa: F401 - so that their kinds are there

    return {kind_of(kind): kind for kind in sorted(_kinds(Event), key=kind_of)}


def after_the_end(kind: str) -> bool:
    """Whether it may follow the closing line, whose SHA-256 covers every byte before it and stays true."""
    return kind in kinds() and kinds()[kind].after_the_end


_PLACE = r"(?s)(.*?)(?: - at `([^`]*)`)?\Z"
_WAY = r"\.(\w+)|\[(\d+)\]"
_MISSING = r"Object missing required field `([^`]+)`"
_BESIDE = r"Object contains unknown field `([^`]+)`"
_WANTED = r"(?s)Expected `([^`]+)`(.*)"
_NAMES = {
    "float": "a number",
    "int": "a whole number",
    "str": "a text",
    "bool": "true or false",
    "object": "a table",
    "array": "a list",
    "null": "nothing",
}


class Misfit(ValueError):
    """Data that are not what an event of their kind holds: kind and field, in a few words."""


def fitted(kind: str, data: dict[str, Any], *, newer: bool = False) -> Event:
    """The event that the data tell; Misfit where they are not of the shape of their kind.

    `newer`: the file is of a later version, which may have put keys beside those that are known; they are passed over.
    The format that an opening names is not looked at: of a file of a newer version is to be said that it is one.

    >>> fitted("noted", {"text": "dry"})
    Traceback (most recent call last):
    studio.session.folding.Misfit: noted: step is missing
    >>> fitted("steam.stopped", {"why": "gas"}, newer=True)
    SteamStopped(ends=(), happened=None, extends=(), again=None)
    >>> fitted("a.kind.of.the.future", {"why": "gas"})
    Unknown(name='a.kind.of.the.future')
    """
    shape = kinds().get(kind)
    if shape is None:
        return Unknown(kind)
    if kind == OPENED:
        data = {**data, "format": FORMAT}
    while True:
        try:
            return shaped(data, shape)
        except (msgspec.ValidationError, RecursionError) as problem:
            data = copy.deepcopy(data) if newer else data
            if not newer or not _dropped(data, str(problem)):
                raise Misfit(f"{kind}: {told_of(problem)}") from None


def _dropped(data: Any, problem: str) -> bool:
    """Whether the trouble was a key that is not known, and it is gone now."""
    found = re.match(_PLACE, problem)
    beside = re.match(_BESIDE, found[1]) if found else None
    if found is None or beside is None:
        return False
    for key, place in re.findall(_WAY, found[2] or ""):
        data = data[key] if key else data[int(place)]
    del data[beside[1]]
    return True


def told_of(problem: Exception) -> str:
    """A finding of msgspec in plain words: the field first.

    >>> told_of(ValueError("Expected `int` >= 1 - at `$.starts[0].round`"))
    'starts[0].round must be a whole number >= 1'
    """
    found = re.match(_PLACE, str(problem))
    what, place = (found[1], found[2] or "$") if found else (str(problem), "$")
    field = place.removeprefix("$").removeprefix(".")
    for pattern, said in ((_MISSING, "is missing"), (_BESIDE, "is no key of it")):
        if key := re.match(pattern, what):
            return f"{field}.{key[1]} {said}".removeprefix(".")
    field = field or "data"
    wanted = re.match(_WANTED, what)
    if wanted is None:
        return f"{field} is not one of the values it may have"
    name, more = wanted[1], wanted[2]
    kind = " or ".join(_NAMES.get(part, part) for part in name.split(" | ") if part != "null")
    if more.startswith(", got"):
        return f"{field} is not {kind}"
    return f"{field} must be {kind}{more}".split(", got")[0]


# An event and its line.

FIRST_PREV = "00000000"

_ShortText = Annotated[str, Meta(min_length=1, max_length=100)]


class Record(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, dict=True):
    """One event as it stands, or will stand, in a session file; its members in the order of the line."""

    at: _ShortText
    """UTC, like 2026-11-25T06:36:38.123Z."""
    boot: _ShortText
    boot_ns: Annotated[int, Meta(ge=0, le=2**63 - 1)]
    data: dict[str, Any]
    kind: _ShortText
    n: Annotated[int, Meta(ge=1, le=2**63 - 1)]
    """Counts from 1 without a gap."""
    prev: Annotated[str, Meta(min_length=8, max_length=8)] = FIRST_PREV
    crc: str = FIRST_PREV

    def fit(self, *, newer: bool) -> None:
        """Have `told` made; Misfit where the data are not of the shape of their kind, see `fitted`."""
        vars(self)["told"] = fitted(self.kind, self.data, newer=newer)

    def known(self, event: Event) -> None:
        """Have `told` the event that the data were made of: to read a whole plan out of them takes as long as a key."""
        vars(self)["told"] = event

    @cached_property
    def told(self) -> Event:
        """What the data tell, of a line that fits, in whatever format."""
        return fitted(self.kind, self.data, newer=True)

    @cached_property
    def moment(self) -> Moment:
        """When it happened; ValueError where there is no such time."""
        return Moment(wall_ns_of(self.at), self.boot_ns, self.boot)


def drafted(n: int, kind: str, data: dict[str, Any], at: Reading | Moment) -> Record:
    """An event that was not written yet."""
    return Record(at=utc_text(at.wall_ns), boot=at.boot, boot_ns=at.boot_ns, data=data, kind=kind, n=n)


# The events that stand, folded into a state; live, resumed and reviewed alike.


class NotASession(Trouble, ValueError):
    """The events do not begin with an opening."""

    exit_code = UNREADABLE


def replay(events: Iterable[Record]) -> State:
    """The fold of the events that stand; NotASession where the opening is missing or unreadable."""
    return _folded(Log(list(events)))


def apply(state: State, event: Record) -> State:
    """The state after one more event; after an undo the fold of those that stand now."""
    log = state.log.then(event)
    if isinstance(event.told, Undone):
        return _folded(log)
    state = state.copied()
    state.last, state.last_n, state.log = event.moment, event.n, log
    _fold(state, event)
    return state


def foreseen(state: State, told: Event, at: Reading | Moment) -> State:
    """The state as it would be once that were told, at that time."""
    record = drafted(state.last_n + 1, told.kind, data_of(told), at)
    record.known(told)
    return apply(state, record)


def _folded(log: Log) -> State:
    stream = iter(log)
    first = next(stream, None)
    if first is None or first.kind != OPENED:
        raise NotASession(
            "The file does not begin with the opening of a session, so there is nothing to show."
        )
    state, last = _opened(first), next(reversed(log))
    state.log, state.gone, state.last, state.last_n = log, taken_back(log), last.moment, last.n
    for event in stream:
        if event.n not in state.gone:
            _fold(state, event)
    return state


def _fold(state: State, event: Record) -> None:
    """What the event and its parts do, from when it happened; an answer to an alarm that is gone does nothing."""
    whole = event.told
    late = late_of(whole)
    if isinstance(whole, AlarmAcknowledged) and place_of(state.alarms, whole.alarm) is None:
        return
    head = Head(event.n, event.moment if late is None else late.moment)
    for part in parts(whole):
        part.apply(state, head)
    if late is not None:
        ring_anew(state, event.moment)


def _opened(event: Record) -> State:
    try:
        told = event.told
        assert isinstance(told, Opened)
    except Misfit as problem:
        raise NotASession(
            f"The opening of the session (line 1) cannot be read, {problem}; "
            "verify the file to see what is left of it."
        ) from None
    when = event.moment
    return State(
        title=told.title,
        worksheet=told.worksheet,
        choices=told.choices,
        plan_text=told.plan,
        opened=when,
        last=when,
        last_n=event.n,
        utc_offset_min=told.utc_offset_min,
        rehearsal_speed=told.clock.speed if told.clock else None,
        program=told.program,
        plan_file=told.plan_file,
    )
