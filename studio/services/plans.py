"""What may be asked of plans and shelf: a plan as lists show it, and worked out; what the sessions taught."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from datetime import datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from studio.plaintext import counted
from studio.plan.errors import PlanError
from studio.plan.habits import KIND_OF, MOST_MEASUREMENTS, Choice, Habit, HabitKind
from studio.plan.model import Plan
from studio.plan.preview import StripBand, seen_strip
from studio.plan.reading import read_plan
from studio.plan.settled import Settled, self_contained, settle
from studio.plan.shapes import Known, Worksheet
from studio.plan.sheet import worked_out
from studio.plan.shelf import Shelf
from studio.plan.toml import read_text
from studio.plan.ways import method_called
from studio.plan.work.worked import work_all
from studio.quantity.reading_in import UnitSystem, read_in, told
from studio.quantity.showing import show_day
from studio.session.clock import Clock
from studio.shelf.habits import named, pinned_value, with_choice, with_habits
from studio.shelf.reading import HABITS_FILE, load_shelf
from studio.store.disk import StoreError
from studio.store.files import write_whole
from studio.store.folder import StudioFolder
from studio.store.system_clock import on_the_wall
from studio.trouble import USAGE, Trouble

if TYPE_CHECKING:
    from studio.logbook.index import Index
    from studio.methods.day import DaySheet
    from studio.plan.forecast import Foreseen, SkeinTold
    from studio.services.plan_files import PlanFiles
    from studio.shelf.shopping import Shopping

MOST_READ = 200
"""New session files that are read for a worksheet; more wait for the logbook, which tells of its progress.
House rule: half a second's worth."""


class PlanCard(msgspec.Struct, frozen=True):
    """A plan file that can be begun."""

    key: str
    title: str
    about: str
    """One line: form, weight, colours; or the sentence that says what is wrong with the file."""
    readable: bool = True
    ready: bool = True
    """Whether nothing keeps it from beginning."""
    goods: str = ""
    """`100 g blank`."""
    colours: str = ""
    """Their names, parted by commas."""
    bands: tuple[StripBand, ...] = ()


class ShelfMatter(msgspec.Struct, frozen=True):
    """Something of the shelf that is to be seen to."""

    what: str
    why: str
    """As short as a column."""


class WorkedPlan(msgspec.Struct, frozen=True):
    """A plan worked out, ready to begin."""

    key: str
    plan_text: str
    choices: Settled
    """What the worksheet was worked out of."""
    worksheet: Worksheet


def summarise(choices: Settled, sheet: Worksheet) -> str:
    """`100 g blank, rust, kelp; 2 warnings`; what would keep it from beginning comes first."""
    if sheet.stops:
        return f"cannot begin yet: {sheet.stops[0].text}"
    line = ", ".join((goods_of(choices), *(c.plan.name for c in choices.colours)))
    warnings = sum(c.level == "warn" for c in sheet.cautions)
    if warnings:
        line += f"; {counted(warnings, 'warning')}"
    return line


def goods_of(choices: Settled) -> str:
    """`100 g blank`."""
    noun = choices.form if choices.form in ("blank", "skein") else "fibre"
    plural = "s" if choices.pieces > 1 and noun != "fibre" else ""
    return f"{told(choices.dry_g, 'g', kitchen=True)} {noun}{plural}"


def refusal_text(problem: Exception) -> str:
    """A refusal as a screen says it: a plan's by its fields, without the keys of the file; any other as it is."""
    from studio.plan.draft.edits import plan_sentence
    from studio.words.table import spoken

    return spoken(plan_sentence(problem)) if isinstance(problem, PlanError) else str(problem)


@contextmanager
def asking() -> Iterator[None]:
    """What the sums refuse is refused with their own sentence, as something that was asked for wrongly."""
    try:
        yield
    except Trouble:
        raise
    except ValueError as problem:
        raise Trouble(str(problem), USAGE) from problem


class PlanServices:
    """Plans, and the shelf with what the sessions of the studio taught; no session itself."""

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

    @property
    def plan_files(self) -> PlanFiles:
        """Plan files to be read, changed and saved."""
        from studio.services.plan_files import PlanFiles

        return PlanFiles(self.folder.shared / "plans")

    def plans(self) -> list[PlanCard]:
        """Plan files of the shelf and of the studio folder itself."""
        root = self.folder.root
        paths = [*sorted((root / "shared" / "plans").glob("*.plan.toml")), *sorted(root.glob("*.plan.toml"))]
        return [self._plan_card(path) for path in paths]

    def _plan_card(self, path: Path) -> PlanCard:
        try:
            worked = self.work_out(path)
        except Trouble as problem:
            return PlanCard(str(path), path.name, refusal_text(problem), readable=False)
        choices = worked.choices
        return PlanCard(
            str(path),
            worked.worksheet.title,
            summarise(choices, worked.worksheet),
            ready=not worked.worksheet.stops,
            goods=goods_of(choices),
            colours=", ".join(colour.plan.name for colour in choices.colours),
            bands=seen_strip(choices),
        )

    def work_out(self, key: str | Path) -> WorkedPlan:
        """A plan file, worked out; Trouble where it is no plan, or cannot be read."""
        path, text, plan = self._read(key)
        # As a session has them: its first sheet is this one.
        choices = self_contained(settle(plan, self.shelf))
        return WorkedPlan(str(path), text, choices, worked_out(choices))

    def plan_of(self, key: str | Path) -> Plan:
        """A plan file, read; Trouble where it is no plan, or cannot be read."""
        return self._read(key)[2]

    def _read(self, key: str | Path) -> tuple[Path, str, Plan]:
        path = self.folder.plan_path(Path(key))
        text = read_text(path)
        return path, text, read_plan(text, name=path.name, drops_per_ml=self.shelf.studio.drops_per_ml)

    def shop(self, keys: Sequence[str]) -> Shopping:
        """What plan files need together, against what is on hand; Trouble where one is no plan."""
        from studio.shelf.shopping import shopping

        with asking():
            worked = [work_all(settle(self.plan_of(key), self.shelf)) for key in keys]
        return shopping(worked, self.shelf)

    def short_of(self, plans: Sequence[str] | None = None) -> dict[tuple[str, str], str]:
        """What plan files need more of, together, than the shelf has: by kind and name, in words.

        plans: those that can be read where none are named.
        """
        from studio.report.shelf_rows import short_told

        keys = plans if plans is not None else [card.key for card in self.plans() if card.readable]
        listed = self.shop(keys)
        return {(need.kind, need.name): short_told(need) for need in listed.to_buy if need.on_shelf}

    def shelf_matters(self, plans: Sequence[str]) -> list[ShelfMatter]:
        """Jars that are too old or soon will be, then what those plan files together need more of than there is."""
        from studio.shelf.shopping import jars_to_use

        found = [
            ShelfMatter(
                f"{jar.name}: {told(jar.volume_ml, 'mL')}",
                f"{'was good' if days < 0 else 'good'} to {show_day(last)}",
            )
            for jar, last, days in jars_to_use(self.shelf.jars, self.here().date())
        ]
        with suppress(Trouble):  # A plan that cannot be counted says so where it is opened.
            found.extend(ShelfMatter(name, told) for (_, name), told in self.short_of(plans).items())
        return found

    def day(
        self,
        wanted: Sequence[tuple[str | Plan, int | None]],
        places: int | None = None,
        *,
        start: float | None = None,
        finish_by: float | None = None,
    ) -> DaySheet:
        """One order of work for plans, by their files or as they were read, each with its pieces (None: its own).

        places: of the steamer; the most that a plan says, else one. start, finish_by: minutes of the day.
        Trouble with exit code 2 where a plan is none, or cannot be put into a day.
        """
        from studio.methods.day import lay_out, lots_of, steam_of, with_pieces
        from studio.plan.habits import in_use

        read = ((self.plan_of(plan) if isinstance(plan, str) else plan, pieces) for plan, pieces in wanted)
        plans = [with_pieces(plan, pieces) for plan, pieces in read]
        with asking():
            lots = lots_of([settle(plan, self.shelf) for plan in plans])
            holds = places or max((steam_of(lot).places for lot in lots), default=1)
            own = in_use(self.shelf.habits, "hands-on")
            pace = None if own is None else Known(own.value, own.origin, own.source)
            return lay_out(lots, holds, pace, start_min=start, finish_by_min=finish_by)

    def foresee(self, key: str | Path, *knobs: float | None) -> Foreseen:
        """What the forecast of a plan file needs; Trouble with exit code 2 where it lacks something.

        knobs: spread, tilt and wander in rows, where they are not those of the studio.
        """
        return self._foresee(self.plan_of(key), *knobs)

    def is_skein(self, path: Path) -> bool:
        """Whether the plan is for a skein, whose colours lie along the yarn and not in rows."""
        plan = self.plan_of(path)
        return method_called(plan.method).put_on.has_bands and settle(plan, self.shelf).form == "skein"

    def foretell_skein(self, path: Path) -> SkeinTold:
        """Runs and pooling of a skein; Trouble with exit code 2 where the plan lacks something."""
        from studio.plan.forecast import foretell_skein

        with asking():
            return foretell_skein(self.plan_of(path), self.shelf)

    def foresee_text(self, plan_text: str) -> Foreseen:
        """The same for the plan of a session under way."""
        return self._foresee(read_plan(plan_text, name="the plan of this session"))

    def _foresee(self, plan: Plan, *knobs: float | None) -> Foreseen:
        from studio.plan.forecast import foresee

        with asking():
            return foresee(plan, self.shelf, *knobs)
