"""The text of `habits.toml`, changed for one habit; comments and all other lines stay as the dyer wrote them."""

from __future__ import annotations

from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT

from studio.plan.errors import PlanError
from studio.plan.habit_kinds import HabitKind
from studio.plan.habits import Choice
from studio.plan.shelf_reading import HABITS_FILE

HEAD = """\
# Habits of this studio that are fixed by hand. Those not named here are learned from the finished sessions.
# pinned = "110 %" fixes a value; off = true goes back to the default. potside habits lists them.
"""


def with_choice(text: str, kind: HabitKind, choice: Choice) -> str:
    """The text with that choice for a habit; PlanError, one sentence, where it cannot be edited safely.

    An entry that says nothing any more is taken out. Text that is empty gets a comment that explains it.
    """
    try:
        document = tomlkit.parse(text)
        rows = document.get("habit")
        if rows is not None and not isinstance(rows, AoT):
            raise PlanError(f"{HABITS_FILE}: habit must be written as [[habit]] tables; correct that first.")
        entries: list[Any] = [] if rows is None else list(rows)
        place = next((n for n, row in enumerate(entries) if row.get("name") == kind.id), None)
        if place is None:
            return text if choice == Choice() else _appended(text, kind, choice)
        if choice != Choice():
            _write(entries[place], kind, choice)
        elif rows is None or len(entries) == 1:
            del document["habit"]
        else:
            del rows[place]
        return tomlkit.dumps(document)
    except (TOMLKitError, ValueError, TypeError) as error:
        if isinstance(error, PlanError):
            raise
        raise PlanError(
            f"{HABITS_FILE}: is not valid TOML, so it is left as it is; correct it by hand."
        ) from error


def _appended(text: str, kind: HabitKind, choice: Choice) -> str:
    """The entry at the end, a blank line before it: a table of a list may stand anywhere."""
    row = tomlkit.table()
    _write(row, kind, choice)
    return f"{text.rstrip() or HEAD.rstrip()}\n\n[[habit]]\n{tomlkit.dumps(row)}"


def _write(row: Any, kind: HabitKind, choice: Choice) -> None:
    row["name"] = kind.id
    row.pop("pinned", None)
    row.pop("off", None)
    if choice.pinned is not None:
        row["pinned"] = f"{choice.pinned:.10g} {kind.unit}"
    if choice.off:
        row["off"] = True
