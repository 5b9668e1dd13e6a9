"""Sections of text on standard output, with rich; plain where it is not a terminal."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from studio.report.spans import Role, Section

if TYPE_CHECKING:
    from rich.console import Console

STYLES: dict[Role, str] = {
    "strong": "bold",
    "plain": "",
    "quiet": "dim",
    "done": "green",
    "due": "yellow",
    "danger": "bold red",
    "focus": "bold cyan",
}


def console() -> Console:
    """A console that parses no markup, highlights nothing and honours NO_COLOR."""
    from rich.console import Console

    return Console(markup=False, highlight=False, emoji=False, soft_wrap=False)


def print_sections(sections: Sequence[Section], out: Console) -> None:
    """Each section under its name, a blank line between two."""
    from rich.text import Text

    for index, section in enumerate(sections):
        if index:
            out.print()
        if section.name:
            out.print(Text(section.name, style=STYLES["focus"]))
        indent = "  " if section.name else ""
        for line in section.rows:
            out.print(Text.assemble(indent, *((text, STYLES[role]) for text, role in line)))
