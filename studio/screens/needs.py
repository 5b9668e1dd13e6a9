"""What the screens need from outside, as small protocols; the command line hands them the real thing."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from studio.plan.day_sheet import DaySheet
from studio.plan.foreseen import Foreseen
from studio.plan.shapes import Worksheet
from studio.plan.shopping import Shopping
from studio.screens.habit_needs import HabitBook
from studio.screens.needs_plans import PlanFiles
from studio.screens.shelf_needs import Shelves
from studio.session.commands import Command
from studio.session.follow_up_waiting import WaitingTest
from studio.session.run import Running
from studio.session.state import State

if TYPE_CHECKING:
    from studio.plan.repeating import Repeated


@dataclass(frozen=True, slots=True)
class PlanCard:
    """A plan file that can be begun."""

    key: str
    title: str
    about: str
    """One line: form, weight, colours; or the sentence that says what is wrong with the file."""
    readable: bool = True


@dataclass(frozen=True, slots=True)
class SessionCard:
    """One session file, in a list."""

    key: str
    title: str
    opened_ns: int
    utc_offset_min: int
    standing: str
    """`open`, `finished`, `abandoned`, `damaged`."""
    about: str
    """Where it stopped, or how it was rated."""
    rehearsal: bool = False


@dataclass(frozen=True, slots=True)
class Worked:
    """A plan worked out, ready to begin."""

    key: str
    plan_text: str
    worksheet: Worksheet


@dataclass(frozen=True, slots=True)
class ReadBack:
    """A session file read back."""

    name: str
    state: State
    remarks: tuple[str, ...]
    """What is wrong with the file, if anything, one sentence each."""
    may_continue: bool = False
    """Damaged before its end: it can go on from what is whole, in a new file."""


@dataclass(frozen=True, slots=True)
class BaseCard:
    """A base of the shelf that a session can be repeated on."""

    name: str
    about: str
    """One line: form, weight, blend, rows."""


class AnyServices(HabitBook, Protocol):
    """Plans, sessions and the logbook of one studio. Every call may raise Trouble (studio.trouble)."""

    @property
    def studio_name(self) -> str: ...

    @property
    def plan_files(self) -> PlanFiles: ...

    def plans(self) -> Sequence[PlanCard]: ...

    def sessions(self) -> Sequence[SessionCard]: ...

    def odd_files(self) -> Mapping[str, str]: ...

    def read_logbook(self, progress: Callable[[int, int], object], stop: Callable[[], bool]) -> int: ...

    def find(self, text: str, *, limit: int | None, refresh: bool) -> tuple[Sequence[SessionCard], int]: ...

    def work_out(self, key: str) -> Worked: ...

    def foresee(self, key: str) -> Foreseen: ...

    def foresee_text(self, plan_text: str) -> Foreseen: ...

    def day(
        self,
        wanted: Sequence[tuple[str, int | None]],
        places: int | None,
        *,
        start: float | None,
        finish_by: float | None,
    ) -> DaySheet: ...

    def begin(self, worked: Worked) -> Running: ...

    def rehearse(self, *, worked: Worked | None = None) -> Running: ...

    def resume(self, key: str, *, anew: bool = False) -> Running: ...

    def read(self, key: str) -> ReadBack: ...

    def remark(self, key: str, text: str) -> None: ...

    @property
    def shelf_book(self) -> Shelves: ...

    def shop(self, keys: Sequence[str]) -> Shopping: ...

    def bases(self) -> Sequence[BaseCard]: ...

    def repeated(self, key: str, weight: str, base: str) -> Repeated: ...

    def save_repeat(self, repeated: Repeated) -> str: ...

    def add_later(self, key: str, command: Callable[[State], Command]) -> None: ...

    def waiting(self, *, refresh: bool) -> Sequence[WaitingTest]: ...

    def today(self) -> str: ...

    def open_picture(self, path: str) -> str: ...
