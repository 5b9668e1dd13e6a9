"""Every key of every screen. What shows keys or listens to them is made from these rows."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path

import msgspec

from studio.shaping import shaped_json
from studio.words.actions import AT_END, BY_FOCUS, Action, key_of, written

ACTIONS = shaped_json(Path(__file__).with_name("actions.json").read_bytes(), tuple[Action, ...])
"""Screen by screen, in the order they are shown."""
_EVERYWHERE = tuple(row for row in ACTIONS if row.where == "any")
NAMED_KEY = re.compile(r"\{(\w+\.\w+)\}")
_changed: dict[str, str] = {}


def declared(where: str) -> tuple[Action, ...]:
    """The rows of a screen as they are declared, with those that hold everywhere before its way out."""
    own = tuple(row for row in ACTIONS if row.where == where)
    taken = {key for row in own for key in row.keys.split(",")}
    typed = all(row.does == BY_FOCUS for row in own)
    everywhere = () if typed else tuple(r for r in _EVERYWHERE if taken.isdisjoint(r.keys.split(",")))
    return (*(r for r in own if r.name not in AT_END), *everywhere, *(r for r in own if r.name in AT_END))


@cache
def rows_of(where: str) -> tuple[Action, ...]:
    """The rows of a screen with the keys of this studio; of a field its own alone."""
    return tuple(
        msgspec.structs.replace(row, keys=_changed.get(row.id, row.keys), says=spoken(row.says))
        for row in declared(where)
    )


def spoken(sentence: str) -> str:
    """The sentence with the key of now for `{bench.override}`.

    >>> spoken("Press 3 when it is so, or pass it with a reason ({bench.override}); {home.new_plan} makes a plan.")
    'Press 3 when it is so, or pass it with a reason (O); N makes a plan.'
    """

    def key(named: re.Match[str]) -> str:
        row = _BY_ID.get(named[1])
        return written(_changed.get(row.id, row.keys).split(",")[0]) if row else named[0]

    return NAMED_KEY.sub(key, sentence)


_BY_ID = {row.id: row for row in ACTIONS}


KEYS_FILE = "keys.toml"
"""Where a studio has keys of its own, beside its shelf."""


def remap(wanted: Mapping[str, object]) -> list[str]:
    """Take the keys of a studio, by the id of their action; one sentence for each that keeps its own instead."""
    _changed.clear()
    rows_of.cache_clear()
    wrong = []
    for name, told in wanted.items():
        try:
            _changed[name] = _keys(name, told)
        except ValueError as problem:
            wrong.append(str(problem))
    rows_of.cache_clear()
    return wrong


def remapped() -> Mapping[str, str]:
    """The keys of the studio that are not as declared, by the id of their action."""
    return _changed


def _keys(name: str, told: object) -> str:
    row = _BY_ID.get(name)
    if row is None or row.does == BY_FOCUS:
        raise ValueError(f"{name} is no action with a key of its own; ? shows those of a screen.")
    keys = [key_of(part) for part in told.split(",")] if isinstance(told, str) else [""]
    if "" in keys:
        raise ValueError(f'{name} needs a key, for example "{row.keys}"; it stays at {written(row.keys)}.')
    here = declared(row.where) if row.where != "any" else ACTIONS
    for other in here:
        was = row.keys.split(",")
        taken = {*_changed.get(other.id, other.keys).split(",")} - {*was}
        if other.id != name and taken & {*keys}:
            raise ValueError(
                f"{name}: {written((taken & {*keys}).pop())} is the key of {other.id} already; "
                f"it stays at {written(was[0])}."
            )
    return ",".join(keys)
