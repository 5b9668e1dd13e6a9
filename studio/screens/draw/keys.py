"""The few signs used, each one cell wide, with a plain-ASCII set for terminals without them.

State is told by word and shape before colour: `[x]` done, `[~]` waits to be saved, `[ ]` open, `[!]` critical,
`[-]` left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import msgspec
from textual.content import Content

from studio.words.actions import Action, Printed, printed


class Glyphs(msgspec.Struct, frozen=True):
    """One set of signs."""

    block: str
    wound: str
    """The strand of the stage rail where it has been wound."""
    loose: str
    """The strand ahead."""
    rule: str
    dash: str


UNICODE = Glyphs(block="█", wound="━", loose="─", rule="─", dash="–")
ASCII = Glyphs(block="#", wound="=", loose="-", rule="-", dash="-")

WAITS_TO_BE_SAVED = "waiting to be saved"
OPEN, DONE, WAITS, CRITICAL, LEFT_OUT, NOW = "[ ]", "[x]", "[~]", "[!]", "[-]", ">> "


def key_line(actions: Iterable[Action], width: int, takes: str = "") -> Content:
    """What a field takes and what Enter does come first, then as many as fit; keys and way out at the right end."""
    rows = [row for row in printed(actions) if row.foot]
    own, end = [r for r in rows if not r.at_end], [r for r in rows if r.at_end]
    head = f" {takes};" if takes else ""
    while len(own) > 1 and len(head) + _cells([*own, *end]) > width:
        own.pop()
    room = " " * max(0, width - len(head) - _cells([*own, *end]))
    return Content.assemble((head, "bold $focus"), *_line(own), room, *_line(end))


def _line(rows: list[Printed]) -> list[tuple[str, str]]:
    return [
        part
        for row in rows
        for part in ((f" {' '.join(row.foot_keys)}", "bold $text"), (f" {row.foot} ", "$quiet"))
    ]


def _cells(rows: list[Printed]) -> int:
    return sum(len(text) for text, _ in _line(rows))


def key_rows(actions: Iterable[Action], width: int) -> list[Content]:
    """A line for each action: its keys, and what it does, wrapped under itself."""
    rows = printed(actions)
    column = max((len(", ".join(row.keys)) for row in rows), default=0)
    lines: list[Content] = []
    for row in rows:
        said = Content.styled(row.says, "$text").wrap(max(16, width - column - 4))
        lines.extend(hanging(Content.styled(f" {', '.join(row.keys):<{column}}  ", "bold $focus"), said))
    return lines


def hanging(head: Content, lines: Sequence[Content]) -> list[Content]:
    """Lines beside a head, each below the first."""
    room = Content(" " * head.cell_length)
    return [Content.assemble(room if n else head, line) for n, line in enumerate(lines)]


def wrapped(text: str, style: str, width: int, indent: int = 1) -> list[Content]:
    """A sentence in as many lines as it needs, each set in."""
    lines = Content.styled(text, style).wrap(max(16, width - indent - 2))
    return [line.pad_left(indent) for line in lines]
