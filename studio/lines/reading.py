"""What a line asks for: a command with the rest of its line, or an answer to the step."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass

ALONE = (
    "done", "heard", "why", "correct", "time", "list", "bell", "wait", "help", "leave",
    "steam", "bands", "packets",
)  # fmt: skip
"""Words that make a whole line."""
KEPT = ("earlier", "photo", "swatch", "dropper", "pot", "undo")
"""Words for what is kept beside the steps, or taken back; where a reason is asked for they may begin it."""
WITH_TEXT = (
    *KEPT, "note", "override", "skip", "not measured", "later", "more", "less", "ran", "give up",
    "reading", "refill", "acid", "mix", "jar", "band", "packet in", "packet out", "again",
)  # fmt: skip
"""Words that go on with a text, a number or a reason; alone they ask for it."""
IN_A_QUESTION = ("heard", "later", "time", "help", "leave")
"""Words that mean themselves, alone in a line, also while something else is being asked."""

_FIRST = re.compile(
    r"(not\s+measured|give\s+up|packet\s+(?:in|out)|[a-z]+)(?:\s+(.*))?", re.IGNORECASE | re.DOTALL
)


@dataclass(frozen=True, slots=True)
class Asked:
    """A command of a line."""

    word: str
    rest: str


def read_line(text: str, *, free_text: bool = False) -> Asked | None:
    """The command a line begins with, or None where the line is an answer.

    `free_text`: the step wants an answer in the dyer's own words; a sentence that only happens to begin
    with a word of `ALONE` or `KEPT` is then that answer ("leave it damp, tried before").

    >>> read_line("note  pot was late")
    Asked(word='note', rest='pot was late')
    >>> read_line("Not  measured scale is flat")
    Asked(word='not measured', rest='scale is flat')
    >>> read_line("41.5 g") is None, read_line("undo it all", free_text=True) is None
    (True, True)
    """
    found = _FIRST.fullmatch(text.strip())
    if found is None:
        return None
    word = " ".join(found[1].casefold().split())
    rest = (found[2] or "").strip()
    if word not in (*ALONE, *WITH_TEXT) or (rest and free_text and word in (*ALONE, *KEPT)):
        return None
    return Asked(word, rest)


def nearest(text: str) -> str:
    """The command that was probably meant by a line that is none; empty where nothing is near.

    >>> nearest("nott late"), nearest("41.5")
    ('note', '')
    """
    first = text.split(maxsplit=1)[0][:20].casefold() if text.split() else ""
    near = difflib.get_close_matches(first, (*ALONE, *WITH_TEXT), n=1, cutoff=0.7)
    return near[0] if near else ""
