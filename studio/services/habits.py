"""What may be asked of shelf and habits: what the sessions measured, and what the dyer pins or switches off."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from functools import cached_property
from typing import TYPE_CHECKING

from studio.plan.habits import KIND_OF, MOST_MEASUREMENTS, Choice, Habit, HabitKind
from studio.plan.shelf import Shelf
from studio.plan.toml import read_text
from studio.quantity.reading_in import UnitSystem, read_in
from studio.session.clock import Clock
from studio.shelf.habits import named, pinned_value, with_choice, with_habits
from studio.shelf.reading import HABITS_FILE, load_shelf
from studio.store.disk import StoreError
from studio.store.files import write_whole
from studio.store.folder import StudioFolder
from studio.store.system_clock import on_the_wall
from studio.trouble import Trouble

if TYPE_CHECKING:
    from studio.logbook.index import Index

MOST_READ = 200
"""New session files that are read for a worksheet; more wait for the logbook, which tells of its progress.
House rule: half a second's worth."""


class HabitServices:
    """The shelf, with what the sessions of the studio taught."""

    def __init__(self, folder: StudioFolder, clock: Clock) -> None:
        self.folder = folder
        self.clock = clock
        self._as_written: Shelf | None = None
        self._shelf: Shelf | None = None
        self._units_known = True
        read_in(self.units)

    def units(self) -> UnitSystem:
        """The units to read in, as the shelf has them; metric while it is being read, or cannot be."""
        if not self._units_known:
            return "metric"
        self._units_known = False
        try:
            return self._written().studio.units
        except (Trouble, ValueError, OSError):
            return "metric"
        finally:
            self._units_known = True

    @cached_property
    def _logbook(self) -> Index:
        from studio.logbook.index import Index

        return Index(self.folder)

    def here(self) -> datetime:
        """The day and time it is here."""
        return on_the_wall(self.clock.now().wall_ns)

    def today(self) -> str:
        """The day it is here, by which jars are old or not: `2026-11-25`."""
        return self.here().date().isoformat()

    @property
    def shelf(self) -> Shelf:
        """The shelf with the studio's habits, read once, and anew after it was changed here."""
        if self._shelf is None:
            self._shelf = with_habits(self._written(), self.folder.shared, self.measured())
        return self._shelf

    def _written(self) -> Shelf:
        """The shelf as its files have it, for which no session is looked at."""
        if self._as_written is None:
            self._as_written = load_shelf(self.folder.shared, self.today())
        return self._as_written

    def read_shelf_anew(self) -> None:
        """Shelf and habits are read again at their next use, after either may have changed."""
        self._as_written = self._shelf = None

    @property
    def studio_name(self) -> str:
        """As the shelf has it, else the folder's name."""
        return self.shelf.studio.name or self.folder.root.resolve().name

    def measured(self) -> Mapping[str, Sequence[float]]:
        """Values by habit, newest session first; none where there are no sessions, or they cannot be listed."""
        return {habit: [value for _, value in told] for habit, told in self.measurements().items()}

    def measurements(self) -> Mapping[str, Sequence[tuple[str, float]]]:
        """By habit: the session and what was measured in it, newest first."""
        read = 0

        def enough() -> bool:
            nonlocal read
            read += 1
            return read > MOST_READ

        try:
            if not self.folder.session_paths():
                return {}
            self._logbook.refresh(stop=enough)
            return self._logbook.observed(tuple(KIND_OF), MOST_MEASUREMENTS)
        except StoreError:
            return {}  # A worksheet needs no sessions; whoever lists them is told what is wrong.

    def habits(self) -> Sequence[Habit]:
        """Every habit as it stands now."""
        return self.shelf.habits

    def habit(self, name: str) -> Habit:
        """The habit of that name, or of that beginning; Trouble where there is none."""
        kind = named(name)
        return next(h for h in self.habits() if h.id == kind.id)

    def pin_habit(self, name: str, value: str) -> Habit:
        """Fix a habit to a value, `110 %`; Trouble where either is none, or it cannot be written."""
        kind = named(name)
        return self._choose(kind, Choice(pinned=pinned_value(kind, value)))

    def switch_habit(self, name: str, on: bool) -> Habit:
        """Off: the default stands. On: it is learned again, and no longer pinned."""
        return self._choose(named(name), Choice(off=not on))

    def _choose(self, kind: HabitKind, choice: Choice) -> Habit:
        path = self.folder.shared / HABITS_FILE
        before = read_text(path) if path.exists() else ""
        after = with_choice(before, kind, choice)
        if after != before:
            write_whole(path, after.encode("utf-8"), overwrite=True)
        self.read_shelf_anew()
        return self.habit(kind.id)
