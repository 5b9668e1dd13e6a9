"""The session's own sentences name keys of the bench in brackets; here they name what is written in a line."""

from __future__ import annotations

import re

WRITTEN = {
    "C": "mix",
    "D": "acid and how much",
    "E": "more, minutes and a reason",
    "F": "refill and how much",
    "G": "steam",
    "K": "correct",
    "M": "not measured and a reason",
    "N": "note and a remark",
    "O": "override and a reason",
    "R": "reading and the degrees",
    "T": "ran and the minutes",
    "U": "undo",
    "+": "band, its number and coat",
}
_KEY = re.compile(r"\(([A-Z+])\)")


def for_lines(sentence: str) -> str:
    """The sentence with line commands in place of keys.

    >>> for_lines("A gate or a wait is not skipped; it is passed with a reason (O).")
    'A gate or a wait is not skipped; it is passed with a reason (write override and a reason).'
    """
    return _KEY.sub(lambda key: f"(write {WRITTEN[key[1]]})" if key[1] in WRITTEN else key[0], sentence)
