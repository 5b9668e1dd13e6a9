"""What the screens ask about the studio's habits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol

from studio.plan.habits import Habit


class HabitBook(Protocol):
    """The habits of one studio. Every call may raise Trouble (studio.trouble)."""

    def habits(self) -> Sequence[Habit]: ...

    def measurements(self) -> Mapping[str, Sequence[tuple[str, float]]]: ...

    def pin_habit(self, name: str, value: str) -> Habit: ...

    def switch_habit(self, name: str, on: bool) -> Habit: ...
