"""Text with roles on standard output, with rich, plain where it is not a terminal; and JSON laid out to be
read.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import msgspec

from studio.plaintext import clean
from studio.quantity.showing import show_day
from studio.session.clock import local

if TYPE_CHECKING:
    from jinja2 import Environment
    from rich.console import Console


# Text with roles, drawn alike by the printer and by the screen. A role says what the words are, not how
# they look: `strong`, `plain`, `quiet`, `done`, `due`, `danger` or `focus`.

Role = Literal["strong", "plain", "quiet", "done", "due", "danger", "focus"]
Span = tuple[str, Role]
Row = tuple[Span, ...]


class Section(msgspec.Struct, frozen=True):
    """Rows under a name; the name may be empty."""

    name: str
    rows: tuple[Row, ...]


def row(*spans: Span) -> Row:
    """Spans of one line."""
    return spans


# Times as they are read where the session was opened.


def day_and_time(wall_ns: int, utc_offset_min: int) -> str:
    """`2026-10-03 14:32`."""
    return f"{local(wall_ns, utc_offset_min):%Y-%m-%d %H:%M}"


def short_day(wall_ns: int, utc_offset_min: int) -> str:
    """`3 Oct`."""
    return show_day(local(wall_ns, utc_offset_min))


# Sections of text on standard output, with rich; plain where it is not a terminal.

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
        indent = 2 * bool(section.name)
        for line in section.rows:
            told = Text.assemble(*((text, STYLES[role]) for text, role in line))
            fits = told.cell_len <= out.width - indent
            parts = [told] if fits else told.wrap(out, max(16, out.width - indent - HANG))
            for n, part in enumerate(parts):
                out.print(Text.assemble(" " * (indent + HANG * bool(n)), part))


HANG = 2
"""What is too long for its line goes on below it, so much further in. House rule."""
WIDEST = 110
"""Cells of a line that is printed, or of a row of columns on a screen, however wide the terminal. House rule."""


def print_wide(made: Callable[[int], Sequence[Section]], margin: int = 0) -> None:
    """What `made` makes of the width of standard output, without a margin of so many cells."""
    out = console()
    print_sections(made(min(out.width, WIDEST) - margin), out)


# JSON that is printed: laid out to be read, and in ASCII, so that no text in it can steer a terminal.

_NOT_PLAIN = r"[^\x00-\x7e]"


def printable_json(encoded: bytes) -> str:
    r"""The same document, indented by two; what is not ASCII is escaped, and reads back the same.

    JSON itself escapes only what stands below a blank: the control signs from U+0080 on and the marks that turn
    the direction of writing it leaves as they are. They can stand in strings alone, so the text may be taken as it is.

    >>> printable_json('["a\u202eb \U0001f9f6"]'.encode())
    '[\n  "a\\u202eb \\ud83e\\uddf6"\n]'
    """
    return re.sub(_NOT_PLAIN, _escaped, msgspec.json.format(encoded, indent=2).decode())


def _escaped(found: re.Match[str]) -> str:
    units = found[0].encode("utf-16-be")
    return "".join(f"\\u{units[i]:02x}{units[i + 1]:02x}" for i in range(0, len(units), 2))


def document(form: str, body: Mapping[str, Any], *, order: Literal["sorted"] | None = "sorted") -> str:
    """A document of the contract `form`, as `printable_json` lays it out."""
    return printable_json(msgspec.json.encode({"format": form, **body}, order=order))


def picked(thing: object, *names: str) -> dict[str, Any]:
    """These members of a thing, by their own names."""
    return {name: getattr(thing, name) for name in names}


ALL_OF_IT = 4000
"""Cells of a text that an export shows; more than a line of a session file is written with. House rule."""

# Pages and pictures from the templates: always escaped, no script, nothing loaded from anywhere. jinja2 is
# loaded when used.


def fill(template: str, **values: Any) -> str:
    """The template of that name with these values; every value is escaped, a missing one is an error."""
    return str(_environment().get_template(template).render(**values))


@cache
def _environment() -> Environment:
    from jinja2 import Environment, FunctionLoader, StrictUndefined

    folder = Path(__file__).with_name("templates")
    made = Environment(
        loader=FunctionLoader(lambda name: (folder / name).read_text(encoding="utf-8")),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    made.filters["all_of"] = partial(clean, limit=ALL_OF_IT)
    return made


def marks(value: int) -> str:
    """A rating as marks.

    >>> marks(4)
    '■■■■□'
    """
    return "■" * min(5, max(0, value)) + "□" * min(5, max(0, 5 - value))
