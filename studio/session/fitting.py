"""Whether the data of an event are of the shape of its kind, and in a few words why not.

A file that was changed by hand can have right check sums and still say what no rule ever wrote. It is looked at once,
where a line is read; what has its shape may then be trusted by the folds and by all that is shown of them.
"""

from __future__ import annotations

import re
from typing import Any

import msgspec

from studio.session.event_shapes import SHAPES
from studio.session.events import FORMAT, OPENED

_PLACE = re.compile(r"(.*?)(?: - at `([^`]*)`)?\Z", re.DOTALL)
_MISSING = re.compile(r"Object missing required field `([^`]+)`")
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


def misfit(kind: str, data: dict[str, Any]) -> str:
    """What does not fit, with kind and field; empty where all does, and for an unknown kind.

    The format that an opening names is not looked at: of a file of a newer version is to be said that it is one.

    >>> misfit("step.measured", {"step": "ready.weight", "value": "100", "unit": "g", "typed": "", "flagged": False})
    'step.measured: value is not a number'
    >>> misfit("noted", {"text": "dry"})
    'noted: step is missing'
    >>> misfit("a.kind.of.the.future", {})
    ''
    """
    shape = SHAPES.get(kind)
    if shape is None:
        return ""
    if kind == OPENED:
        data = {**data, "format": FORMAT}
    try:
        msgspec.convert(data, shape)
    except (msgspec.ValidationError, RecursionError) as problem:
        return f"{kind}: {told_of(problem)}"
    return ""


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
    field = field or "data"
    wanted = _WANTED.match(what)
    if wanted is None:
        return f"{field} is not one of the values it may have"
    name, more = wanted[1], wanted[2]
    kind = " or ".join(_NAMES.get(part, part) for part in name.split(" | "))
    if more.startswith(", got"):
        return f"{field} is not {kind}"
    return f"{field} must be {kind}{more}".split(", got")[0]
