"""A TOML text: sized before it is parsed, refused in one sentence, and the lines on which its keys and
entries stand.
"""

from __future__ import annotations

import os
import re
import stat
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import msgspec

from studio.plaintext import clean
from studio.plan.errors import KeyPath, PlanError, UnreadableFile, path_text

# From a file, or its text, to a TOML table: sized before it is parsed, and refused in one sentence.
# Limits: 64 KiB of text and 2 000 characters a line, because a TOML parser may take a minute over one
# long dotted key (CPython issue 149231). House rule.

MOST_BYTES = 64 * 1024
LONGEST_LINE = 2_000


def read_text(path: Path) -> str:
    """The text of a small file; PlanError where it is not there, not a file, too big or not UTF-8."""
    name = clean(path.name or str(path), limit=80)
    try:
        # Non-blocking, so that a named pipe answers at once instead of waiting for a writer.
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0))
    except FileNotFoundError:
        raise PlanError(f"{name}: there is no such file; check the name and the folder.") from None
    except IsADirectoryError:
        raise PlanError(f"{name}: this is a folder; name the plan file inside it.") from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "the name cannot be used"
        raise PlanError(f"{name}: cannot be opened ({why}); check its permissions and its name.") from None
    try:
        mode = os.fstat(handle).st_mode
        if stat.S_ISDIR(mode):
            raise PlanError(f"{name}: this is a folder; name the plan file inside it.")
        if not stat.S_ISREG(mode):
            raise PlanError(f"{name}: this is not an ordinary file; name a TOML file.")
        data = _first_bytes(handle, MOST_BYTES + 1)
    except OSError as error:
        told = f"{name}: cannot be read ({error.strerror}); look at the disk it is on."
        raise UnreadableFile(told) from None
    finally:
        os.close(handle)
    if len(data) > MOST_BYTES:
        raise _too_big(name)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise PlanError(f"{name}: line {line} is not UTF-8 text; save the file as UTF-8.") from None


def _first_bytes(handle: int, most: int) -> bytes:
    data = b""
    while len(data) < most and (piece := os.read(handle, most - len(data))):
        data += piece
    return data


def toml_table(text: str, *, file: str) -> dict[str, Any]:
    """The table of a TOML text; PlanError where it is too big or no TOML."""
    name = clean(file, limit=80)
    if len(text.encode("utf-8", "surrogatepass")) > MOST_BYTES:
        raise _too_big(name)
    for number, line in enumerate(text.split("\n"), start=1):
        if len(line) > LONGEST_LINE:
            raise PlanError(f"{name}: line {number} is longer than {LONGEST_LINE} characters; break it up.")
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        where = re.search(r"\(at line (\d+), ", str(error))
        line = where[1] if where else str(len(text.rstrip("\n").split("\n")))
        raise PlanError(
            f"{name}: line {line} is not valid TOML ({clean(str(error), limit=120)}); correct that place."
        ) from None
    except RecursionError:
        raise PlanError(f"{name}: is nested too deeply; write plain tables and lists.") from None
    except ValueError:
        raise PlanError(f"{name}: holds a number or date that cannot be read; write a shorter one.") from None


def _too_big(name: str) -> PlanError:
    return PlanError(
        f"{name}: is larger than {MOST_BYTES // 1024} KiB; a plan is a page, so write it shorter."
    )


# Which lines of a TOML text a key and an entry stand on, so that a sentence can name them. The parser of
# the standard library gives values without their places. This reads only as much as is needed for that:
# headers, keys, and where a value goes on over several lines.

_NAME = r"""(?:[A-Za-z0-9_-]+|"(?:[^"\\]|\\.)*"|'[^']*')"""
_ARRAY = rf"\s*\[\[\s*({_NAME})\s*\]\]"
_TABLE = rf"\s*\[\s*({_NAME})\s*\]"
_BELOW = rf"\s*\[\[?\s*({_NAME})\s*\."
_KEY = rf"\s*({_NAME})\s*(?:\.[^=]*)?="
_TOKENS = (
    r'"{3}(?:\\.|[^\\])*?"{3}',
    r"'{3}.*?'{3}",
    r'"(?:\\.|[^"\\\n])*"',
    r"'[^'\n]*'",
    r"#[^\n]*|[\[\]{}]|\n",
)
"""What decides where a value ends: strings and comments, brackets, the end of a line."""


class Span(msgspec.Struct, frozen=True):
    """Lines, from 1: where something begins, and the last line that holds a value of it."""

    first: int
    last: int


class _Found(msgspec.Struct, frozen=True):
    """A header, with no key, or a key under the header before."""

    table: str
    number: int
    array: bool
    key: str
    span: Span


def lines_of(text: str) -> dict[str, int]:
    """Line, from 1, by place as a refusal names it: `dye[2]`, `dye[2].strength`, `studio.hob`.

    A key that is written in an inline table has no line of its own here.

    >>> lines_of('[[dye]]\\nname = "rust"\\n[studio]\\nhob = "1 kW"\\n')
    {'dye[1]': 1, 'dye': 1, 'dye[1].name': 2, 'studio[1]': 3, 'studio': 3, 'studio[1].hob': 4, 'studio.hob': 4}
    """
    found: dict[str, int] = {}
    for one in _scan(text):
        numbered = f"{one.table}[{one.number}]" if one.table else ""
        places = (numbered,) if one.array and one.key else (numbered, one.table)
        for place in dict.fromkeys(places):
            name = ".".join(part for part in (place, one.key) if part)
            found.setdefault(name, one.span.first)
    return found


def entry_spans(text: str) -> dict[tuple[str, int], Span]:
    """The lines of each table by name and number: from its header to its last value.

    >>> entry_spans('[[dye]]\\nname = "rust"\\n\\n# next\\n[[dye]]\\n')
    {('dye', 1): Span(first=1, last=2), ('dye', 2): Span(first=5, last=5)}
    """
    found: dict[tuple[str, int], Span] = {}
    for one in _scan(text):
        if one.table:
            before = found.get((one.table, one.number), one.span)
            found[one.table, one.number] = Span(before.first, one.span.last)
    return found


def line_of(path: KeyPath, lines: Mapping[str, int]) -> int | None:
    """The line of a place, else of what it stands in; None where neither is known.

    >>> line_of(("dye", 1, "pack"), {"dye[1]": 4}), line_of((), {})
    (4, None)
    """
    ways = (path_text(path[:end]) for end in range(len(path), 0, -1))
    return next((lines[key] for key in ways if key in lines), None)


def _scan(text: str) -> Iterator[_Found]:
    counts: dict[str, int] = {}
    table, number, array = "", 0, False
    at, first = 0, 1
    while at < len(text):
        whole = text[at : _end(text, at)]
        span = Span(first, first + whole.count("\n"))
        if header := re.match(_ARRAY, whole) or re.match(_TABLE, whole):
            table, array = header[1].strip("\"'"), re.match(_ARRAY, whole) is not None
            number = counts[table] = counts.get(table, 0) + 1
            yield _Found(table, number, array, "", span)
        elif below := re.match(_BELOW, whole):
            if below[1].strip("\"'") != table:
                table, number, array = "", 0, False
            yield _Found(table, number, array, "", span)
        elif key := re.match(_KEY, whole):
            yield _Found(table, number, array, key[1].strip("\"'"), span)
        at, first = at + len(whole) + 1, span.last + 1


def _end(text: str, at: int) -> int:
    """Where what begins there ends: with its line, or with the last line of a value that goes on."""
    depth = 0
    for token in re.compile("|".join(_TOKENS), re.DOTALL).finditer(text, at):
        if token[0] == "\n" and not depth:
            return token.start()
        depth = max(0, depth + (token[0] in "[{") - (token[0] in "]}"))
    return len(text)
