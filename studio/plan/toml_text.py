"""From a file, or its text, to a TOML table: sized before it is parsed, and refused in one sentence.

Limits: 64 KiB of text and 2 000 characters a line, because a TOML parser may take a minute over one long
dotted key (CPython issue 149231). House rule.
"""

from __future__ import annotations

import os
import re
import stat
import tomllib
from pathlib import Path
from typing import Any

from studio.plaintext import clean
from studio.plan.errors import PlanError, UnreadableFile

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
