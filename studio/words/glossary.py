"""What a word of dyeing, or of this program, means: the rows of `glossary.toml`."""

from __future__ import annotations

import difflib
import re
from functools import cache
from pathlib import Path
from typing import NamedTuple


class Word(NamedTuple):
    """One word, the others it goes by, and what it means in a few sentences with an example."""

    name: str
    also: tuple[str, ...]
    means: str


@cache
def terms() -> dict[str, tuple[Word, ...]]:
    """Those of `dyeing` and those of `ours`, in the order of the file."""
    import tomllib

    rows = tomllib.loads(Path(__file__).with_name("glossary.toml").read_text(encoding="utf-8"))
    return {
        part: tuple(Word(row["name"], tuple(row.get("also", ())), row["means"]) for row in rows[part])
        for part in ("dyeing", "ours")
    }


def every_term() -> tuple[Word, ...]:
    """All of them."""
    return (*terms()["dyeing"], *terms()["ours"])


def find(word: str) -> Word | None:
    """The term of that name, or of one that is nearly it.

    >>> [found and found.name for found in map(find, ("Wet pick-up", "levling", "hammer"))]
    ['pick-up', 'levelling dye', None]
    """
    names = {name.casefold(): term for term in every_term() for name in (term.name, *term.also)}
    near = difflib.get_close_matches(" ".join(word.casefold().split()), names, n=1, cutoff=0.8)
    return names[near[0]] if near else None


def seen_in(text: str) -> list[Word]:
    """The terms that a text uses.

    >>> [term.name for term in seen_in("deep water stock, 3 %")]
    ['stock']
    """
    return [
        term
        for term in every_term()
        if re.search(rf"\b({'|'.join(map(re.escape, (term.name, *term.also)))})\b", text, re.IGNORECASE)
    ]


def unknown(word: str) -> str:
    """Said of a word that is none of them."""
    return f"There is no entry for {word}. There is one for {', '.join(t.name for t in every_term())}."
