"""A plan as lists show it, and worked out, ready to begin."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from studio.plaintext import counted
from studio.plan.errors import PlanError
from studio.plan.model import Plan
from studio.plan.preview import StripBand, seen_strip
from studio.plan.reading import read_plan
from studio.plan.settled import Settled, settle
from studio.plan.shapes import Known, Worksheet
from studio.plan.sheet import worked_out
from studio.plan.toml import read_text
from studio.plan.ways import method_called
from studio.plan.work.worked import work_all
from studio.quantity.reading_in import told
from studio.quantity.showing import show_day
from studio.services.habits import HabitServices
from studio.trouble import USAGE, Trouble

if TYPE_CHECKING:
    from studio.methods.day import DaySheet
    from studio.plan.forecast import Foreseen, SkeinTold
    from studio.services.plan_files import PlanFiles
    from studio.shelf.shopping import Shopping


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


class PlanServices(HabitServices):
    """Everything that needs a plan and the shelf, and no session."""

    @property
    def plan_files(self) -> PlanFiles:
        """Plan files to be read, changed and saved."""
        from studio.services.plan_files import PlanFiles

        return PlanFiles(self.folder.shared / "plans", self.shelf)

    def plans(self) -> list[PlanCard]:
        """Plan files of the shelf and of the studio folder itself."""
        root = self.folder.root
        paths = [*sorted((root / "shared" / "plans").glob("*.plan.toml")), *sorted(root.glob("*.plan.toml"))]
        return [self._plan_card(path) for path in paths]

    def _plan_card(self, path: Path) -> PlanCard:
        try:
            worked = self.work_out_file(path)
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

    def work_out(self, key: str) -> WorkedPlan:
        """The plan of a card, worked out."""
        return self.work_out_file(Path(key))

    def work_out_file(self, path: Path) -> WorkedPlan:
        """A plan file, worked out; Trouble where it is no plan, or cannot be read."""
        path = self.folder.plan_path(path)
        text = read_text(path)
        plan = read_plan(text, name=path.name, drops_per_ml=self.shelf.studio.drops_per_ml)
        choices = settle(plan, self.shelf)
        return WorkedPlan(str(path), text, choices, worked_out(choices))

    def plan_of(self, path: Path) -> Plan:
        """A plan file, read; Trouble where it is no plan, or cannot be read."""
        path = self.folder.plan_path(path)
        return read_plan(read_text(path), name=path.name, drops_per_ml=self.shelf.studio.drops_per_ml)

    def plan_names(self) -> list[tuple[str, frozenset[tuple[str, str]]]]:
        """Plans that can be read, by title, with the shelf entries each may mean."""
        from studio.shelf.editing import names_in

        found = []
        for card in self.plans():
            if card.readable:
                plan = self.plan_of(Path(card.key))
                found.append((plan.title, names_in(plan)))
        return found

    def shop(self, keys: Sequence[str]) -> Shopping:
        """What plan files need together, against what is on hand; Trouble where one is no plan."""
        from studio.shelf.shopping import shopping

        with asking():
            worked = [work_all(settle(self.plan_of(Path(key)), self.shelf)) for key in keys]
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
        wanted: Sequence[tuple[str, int | None]],
        places: int | None = None,
        *,
        start: float | None = None,
        finish_by: float | None = None,
    ) -> DaySheet:
        """One order of work for plan files, each with its pieces (None: as the plan says).

        places: of the steamer; the most that a plan says, else one. start, finish_by: minutes of the day.
        Trouble with exit code 2 where a plan is none, or cannot be put into a day.
        """
        from studio.methods.day import with_pieces

        plans = [with_pieces(self.plan_of(Path(key)), pieces) for key, pieces in wanted]
        return self.day_of(plans, places, start, finish_by)

    def day_of(
        self,
        plans: Sequence[Plan],
        places: int | None = None,
        start: float | None = None,
        finish_by: float | None = None,
    ) -> DaySheet:
        """The same of plans that were read, saved or not."""
        from studio.methods.day import day_work, lay_out, lots_of, steam_of
        from studio.plan.habits import in_use

        with asking():
            lots = lots_of([settle(plan, self.shelf) for plan in plans])
            holds = places or max((steam_of(lot).places for lot in lots), default=1)
            own = in_use(self.shelf.habits, "hands-on")
            pace = None if own is None else Known(own.value, own.origin, own.source)
            return lay_out(day_work(lots, holds, pace), start_min=start, finish_by_min=finish_by)

    def foresee(
        self,
        key: str,
        spread: float | None = None,
        tilt: float | None = None,
        wander: float | None = None,
    ) -> Foreseen:
        """What the forecast of a plan file needs; Trouble with exit code 2 where it lacks something."""
        return self._foresee(self.plan_of(Path(key)), spread, tilt, wander)

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
        return self._foresee(read_plan(plan_text, name="the plan of this session"), None, None, None)

    def _foresee(
        self, plan: Plan, spread: float | None, tilt: float | None, wander: float | None
    ) -> Foreseen:
        from studio.plan.forecast import foresee

        with asking():
            return foresee(plan, self.shelf, spread, tilt, wander)
