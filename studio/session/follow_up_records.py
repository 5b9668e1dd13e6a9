"""What a state keeps of each fastness test that was planned for after the session."""

from __future__ import annotations

from typing import Literal

import msgspec


class Graded(msgspec.Struct, frozen=True):
    """The grades of one look at a test; a later one does not remove the earlier."""

    n: int
    at_ns: int
    change: str = ""
    """Grey-scale grade of the change in colour, `4-5`; empty where none was given."""
    staining: str = ""
    note: str = ""
    why: str = ""
    """Why an earlier grade was wrong."""


class FollowUp(msgspec.Struct, frozen=True):
    """One test that was planned, and what became of it."""

    number: int
    """1 for the first of the session."""
    test: str
    """`light`, `wash`, `wet rub`."""
    n: int
    at_ns: int
    due: str
    """The day, 2026-10-10."""
    how: str = ""
    note: str = ""
    grades: tuple[Graded, ...] = ()
    """Oldest first; the last one counts."""
    moved_from: tuple[str, ...] = ()
    """Days it was due before it was planned anew."""
    cancelled: str = ""
    """Why it will not be done."""

    @property
    def standing(self) -> Literal["waiting", "graded", "cancelled"]:
        """How it stands."""
        if self.cancelled:
            return "cancelled"
        return "graded" if self.grades else "waiting"

    @property
    def grade(self) -> Graded | None:
        """The grades that count."""
        return self.grades[-1] if self.grades else None
