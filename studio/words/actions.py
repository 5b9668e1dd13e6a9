"""An action: its name, its keys, where it holds, its words, what it asks; and how keys are written for people."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from itertools import groupby

import msgspec

ASK_FOR_KEYS = "{any.keys} shows the keys."
"""Said where a key does nothing."""
BY_FOCUS = "-"
AT_END = ("keys", "leave")
"""Names of the rows that stay at the right end of the line at the foot."""
MOST_PRINTED = 2
"""Keys of one row on the key card, one where rows are printed together; further ones work and are not printed."""
_WRITTEN = {
    "question_mark": "?",
    "plus": "+",
    "minus": "-",
    "equals_sign": "=",
    "slash": "/",
    "escape": "Esc",
    "pageup": "PgUp",
    "pagedown": "PgDn",
    "delete": "Del",
}
_NAMED = {sign.lower(): name for name, sign in _WRITTEN.items()}
_OTHERS = {*_WRITTEN, "enter", "space", "tab", "backspace", "up", "down", "left", "right", "home", "end", "comma",
           "full_stop", "semicolon"}  # fmt: skip


class Action(msgspec.Struct, frozen=True):
    """One row of the table.

    Keys are named as the keymap names them, the most usual first; a letter holds in both cases.
    Neighbours that say the same are printed as one: `Up, Down  choose a field`.
    """

    where: str
    """The screen, `any`, or the kind of field that is typed into."""
    name: str
    keys: str
    says: str
    """For the key card."""
    foot: str = ""
    """For the line at the foot; empty where only the card has room for it."""
    does: str = ""
    """What is called, where that is not the name; `-` where the field in focus sees to it."""
    when: str = ""
    """Name of the condition under which it holds; always where empty."""
    otherwise: str = ASK_FOR_KEYS
    """Said where it is pressed and does not hold."""
    repeats: bool = False
    """Meant also when it comes fast."""
    first: bool = False
    """Comes before what the list or field in focus would do with the key."""

    @property
    def id(self) -> str:
        """Its name in a keymap."""
        return f"{self.where}.{self.name}"

    @property
    def call(self) -> str:
        """What carries it out."""
        return self.does or self.name


class Printed(msgspec.Struct, frozen=True):
    """Neighbouring rows as one, as people read them."""

    keys: tuple[str, ...]
    foot_keys: tuple[str, ...]
    """The first key of each row."""
    says: str
    foot: str
    at_end: bool


def written(key: str) -> str:
    """A key as it is printed.

    >>> [written(key) for key in ("n", "escape", "ctrl+z", "question_mark", "f2", "up")]
    ['N', 'Esc', 'Ctrl+Z', '?', 'F2', 'Up']
    """
    return "+".join(_WRITTEN.get(one, one.capitalize()) for one in key.split("+"))


def key_of(text: str) -> str:
    """The name of a key that a person wrote; empty where it is none.

    >>> [key_of(text) for text in ("N", "Esc", "Ctrl+Z", "?", "f2", "Hammer")]
    ['n', 'escape', 'ctrl+z', 'question_mark', 'f2', '']
    """
    before, plus, last = text.strip().lower().rpartition("+")
    if not last and plus:
        before, last = before.rstrip("+"), "+"
    name = _NAMED.get(last, last)
    known = name in _OTHERS or re.fullmatch(r"[a-z0-9]|f([1-9]|1[0-2])", name, re.ASCII)
    held = [part for part in before.split("+") if part]
    return "+".join((*held, name)) if known and {*held} <= {"ctrl", "shift", "alt"} else ""


def _as_range(keys: list[str]) -> tuple[str, ...]:
    """Digits in a row as `1-5`."""
    if len(keys) > 2 and all(key.isdigit() for key in keys):
        return (f"{keys[0]}-{keys[-1]}",)
    return tuple(keys)


def printed(actions: Iterable[Action]) -> list[Printed]:
    """Rows for people, in the order of the table."""
    told = []
    for (says, foot, at_end), same in groupby(actions, lambda a: (a.says, a.foot, a.name in AT_END)):
        rows = [[written(key) for key in row.keys.split(",")] for row in same]
        first = _as_range([row[0] for row in rows])
        told.append(
            Printed(first if len(rows) > 1 else tuple(rows[0][:MOST_PRINTED]), first, says, foot, at_end)
        )
    return told


WORDS, REASON = "Words", "A reason"


class Question(msgspec.Struct, frozen=True):
    """What is being asked, and what is to be done with the answer."""

    label: str
    answer: Callable[[str], object]
    """Called with the text: the next question, or what is done with; ValueError or Trouble where it cannot be taken."""
    takes: str
    """What the field takes, for the line at the foot: `Grams`."""
    initial: str = ""
    typed: str = ""
    """By the key that opened the field; what is typed next goes on from it."""
