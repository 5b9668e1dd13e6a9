"""The few signs used, each one cell wide, with a plain-ASCII set for terminals without them.

State is told by sign and word before colour.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache

import msgspec
from textual.content import Content
from textual.style import Style

from studio.words.actions import Action, Printed, key_of, printed
from studio.words.glossary import every_term, seen_in
from studio.words.table import NAMED_KEY, spoken

MARGIN, SENTENCE = 2, 76
"""Cells at both sides that hold nothing but a sign; cells over which no sentence runs."""


class Glyphs(msgspec.Struct, frozen=True):
    """One set of signs; `coloured` where a colour can be shown."""

    block: str
    gone: str
    """Of a bar of time, what is gone."""
    line: str
    """Of a strip, what is still to come."""
    open: str
    now: str
    done: str
    critical: str
    """Of a gate that is still to be passed."""
    left_out: str
    due: str
    caution: str
    bar: str
    """At the left of a row in hand, and down a gate."""
    right_bar: str
    down: str
    """Above the one in hand."""
    top: str
    """Of a band still to be painted, its upper edge."""
    coloured: bool = True

    @property
    def ascii_only(self) -> bool:
        """Whether nothing but ASCII can be shown."""
        return self.block == "#"


UNICODE = Glyphs(
    block="█", gone="▄", line="▄", open="□", now="►", done="■", critical="!", left_out="–",
    due="●", caution="▲", bar="▌", right_bar="▐", down="▼", top="▀",
)  # fmt: skip
NO_COLOUR = msgspec.structs.replace(UNICODE, coloured=False)
ASCII = Glyphs(
    block="#", gone="=", line="_", open=".", now=">", done="x", critical="!", left_out="-",
    due="*", caution="!", bar="|", right_bar="|", down="v", top="-", coloured=False,
)  # fmt: skip

WAITS_TO_BE_SAVED = "waiting to be saved"

# What a click does: what is drawn says it, its screen does it.

SAYS, PRESSES, LEADS, ANSWERS = "says", "presses", "leads", "answers"
"""Of what is drawn: what its key does, in full; the key that a click is; what it goes to, and which of them; what it
puts into the field."""


KEY_AND_WORDS = re.compile(rf"({NAMED_KEY.pattern})([^.;:,(){{]*)")


@lru_cache(maxsize=512)
def _click(does: str, what: object) -> Style:
    return Style.from_meta({does: what})


def presses(drawn: Content, key: str) -> Content:
    """A click on it is that key pressed, if it is the name of one."""
    return drawn.stylize(_click(PRESSES, key)) if key else drawn


def leads(drawn: Content, what: str, which: int | str, start: int = 0, end: int | None = None) -> Content:
    """A click on it, or on those cells of it, goes to that one, but where a part leads elsewhere; what that means is
    its screen's.
    """
    return drawn.stylize_before(_click(LEADS, (what, which)), start, end)


def answers(drawn: Content, text: str) -> Content:
    """A click on it puts that into the field; where it stands there already, it takes it."""
    return drawn.stylize(_click(ANSWERS, text))


def with_keys(sentence: str, style: str) -> Content:
    """The sentence with the keys of now; a click on one, or on the words behind it, is that key."""
    told, at = list[Content | tuple[str, str]](), 0
    for named in KEY_AND_WORDS.finditer(sentence):
        key = spoken(named[1])
        told.append((sentence[at : named.start()], style))
        told.append(presses(Content.styled(f"{key}{named[3]}", style), key_of(key)))
        at = named.end()
    return Content.assemble(*told, (sentence[at:], style))


def key_line(actions: Iterable[Action], width: int, takes: str = "") -> Content:
    """What a field takes and what Enter does come first, then as many as fit; keys and way out at the right end."""
    rows = [row for row in printed(actions) if row.foot]
    own, end = [r for r in rows if not r.at_end], [r for r in rows if r.at_end]
    head = f"  {takes};" if takes else " "
    while len(own) > 1 and len(head) + _cells([*own, *end]) > width + 1:
        own.pop()
    room = " " * max(0, width - len(head) - _cells([*own, *end]))
    return Content.assemble((head, "bold $text"), *_line(own), room, *_line(end))


KEY = "bold $focus"


def _line(rows: list[Printed]) -> list[Content]:
    """A click on a key, or on the word behind it, is that key pressed; what it does is told under the pointer."""
    told = []
    for row in rows:
        for name in row.foot_keys:
            word = f" {row.foot} " if name == row.foot_keys[-1] else ""
            part = Content.assemble((f" {name}", KEY), (word, "$text"))
            told.append(presses(part, key_of(name)).stylize(_click(SAYS, row.says)))
    return told


def _cells(rows: list[Printed]) -> int:
    return sum(part.cell_length for part in _line(rows))


def key_rows(actions: Iterable[Action], width: int) -> list[Content]:
    """A line for each action: its keys, and what it does, wrapped under itself."""
    rows = printed(actions)
    column = max((len(", ".join(row.keys)) for row in rows), default=0)
    lines: list[Content] = []
    for number, row in enumerate(rows):
        said = Content.styled(row.says, "$text").wrap(max(16, width - column - 4))
        told = hanging(Content.styled(f" {', '.join(row.keys):<{column}}  ", "bold $focus"), said)
        lines.extend(leads(line, "key", number) for line in told)
    return lines


def explained(text: str, width: int) -> list[Content]:
    """The terms that a text uses, then all the others; below each what it means."""
    first = seen_in(text)
    lines: list[Content] = []
    for term in (*first, *(term for term in every_term() if term not in first)):
        lines.append(Content.styled(f" {term.name}", "bold $focus"))
        lines.extend(wrapped(term.means, "$text", width, 3))
    return [*lines, Content("")]


def hanging(head: Content, lines: Sequence[Content]) -> list[Content]:
    """Lines beside a head, each below the first."""
    room = Content(" " * head.cell_length)
    return [Content.assemble(room if n else head, line) for n, line in enumerate(lines)]


def beside(left: Sequence[Content], right: Sequence[Content], column: int) -> list[Content]:
    """Two columns: the second begins at `column`, or a cell after what is longer."""
    lines = []
    for n in range(max(len(left), len(right))):
        one = left[n] if n < len(left) else Content("")
        other = right[n] if n < len(right) else None
        gap = " " * max(1, column - one.cell_length)
        lines.append(Content.assemble(one, gap, other) if other is not None and other.plain else one)
    return lines


def wrapped(text: str, style: str, width: int, indent: int = 1) -> list[Content]:
    """A sentence in as many lines as it needs, each set in."""
    lines = Content.styled(text, style).wrap(max(16, width - indent - 2))
    return [line.pad_left(indent) for line in lines]


def in_lines(said: str, style: str, width: int) -> list[Content]:
    """Wrapped where it is longer than a line: that takes long, and most are not."""
    whole = Content.styled(said, style)
    return [whole] if whole.cell_length <= width else whole.wrap(width)
