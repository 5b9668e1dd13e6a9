"""Every kind of event; whether the data of a line are of the shape of their kind, and in a few words why not.

A file that was changed by hand can have right check sums and still say what no rule ever wrote. It is looked at once,
where a line is read; what has its shape may then be trusted by the folds and by all that is shown of them.
"""

from __future__ import annotations

import copy
import re
from typing import Any

import msgspec

from studio.session.events import FORMAT, Event, Unknown, kind_of
from studio.session.kinds import clocks, course, fastness, notes, paint, rinsing, steam, steps
from studio.session.kinds.course import OPENED
from studio.session.state import Undone

KINDS: dict[str, type[Event]] = {
    kind_of(kind): kind
    for kind in (
        *(*course.KINDS, *notes.KINDS, *steps.KINDS, *clocks.KINDS, *steam.KINDS),
        *(*paint.KINDS, *rinsing.KINDS, *fastness.KINDS, Undone),
    )
}
"""Every kind of event, by its name in the file."""
AFTER_THE_END = frozenset(name for name, kind in KINDS.items() if kind.after_the_end)
"""What may follow the closing line, whose SHA-256 covers every byte before it and stays true."""

_PLACE = re.compile(r"(.*?)(?: - at `([^`]*)`)?\Z", re.DOTALL)
_WAY = re.compile(r"\.(\w+)|\[(\d+)\]")
_MISSING = re.compile(r"Object missing required field `([^`]+)`")
_BESIDE = re.compile(r"Object contains unknown field `([^`]+)`")
_WANTED = re.compile(r"Expected `([^`]+)`(.*)", re.DOTALL)
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
    studio.session.fitting.Misfit: noted: step is missing
    >>> fitted("steam.stopped", {"why": "gas"}, newer=True)
    SteamStopped(ends=(), happened=None, extends=(), again=None)
    >>> fitted("a.kind.of.the.future", {"why": "gas"})
    Unknown(name='a.kind.of.the.future')
    """
    shape = KINDS.get(kind)
    if shape is None:
        return Unknown(kind)
    if kind == OPENED:
        data = {**data, "format": FORMAT}
    while True:
        try:
            return msgspec.convert(data, shape)
        except (msgspec.ValidationError, RecursionError) as problem:
            data = copy.deepcopy(data) if newer else data
            if not newer or not _dropped(data, str(problem)):
                raise Misfit(f"{kind}: {told_of(problem)}") from None


def _dropped(data: Any, problem: str) -> bool:
    """Whether the trouble was a key that is not known, and it is gone now."""
    found = _PLACE.match(problem)
    beside = _BESIDE.match(found[1]) if found else None
    if found is None or beside is None:
        return False
    for key, place in _WAY.findall(found[2] or ""):
        data = data[key] if key else data[int(place)]
    del data[beside[1]]
    return True


def told_of(problem: Exception) -> str:
    """A finding of msgspec in plain words: the field first.

    >>> told_of(ValueError("Expected `int` >= 1 - at `$.starts[0].round`"))
    'starts[0].round must be a whole number >= 1'
    """
    found = _PLACE.match(str(problem))
    what, place = (found[1], found[2] or "$") if found else (str(problem), "$")
    field = place.removeprefix("$").removeprefix(".")
    missing = _MISSING.match(what)
    if missing is not None:
        return f"{field}.{missing[1]} is missing" if field else f"{missing[1]} is missing"
    beside = _BESIDE.match(what)
    if beside is not None:
        return f"{field}.{beside[1]} is no key of it" if field else f"{beside[1]} is no key of it"
    field = field or "data"
    wanted = _WANTED.match(what)
    if wanted is None:
        return f"{field} is not one of the values it may have"
    name, more = wanted[1], wanted[2]
    kind = " or ".join(_NAMES.get(part, part) for part in name.split(" | ") if part != "null")
    if more.startswith(", got"):
        return f"{field} is not {kind}"
    return f"{field} must be {kind}{more}".split(", got")[0]
