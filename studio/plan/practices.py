"""Published practices, doses of acid and times at heat: the one a plan names, and how far all of them lie
apart.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import msgspec

from studio.plan.errors import PlanError, quoted, write
from studio.plan.materials import AcidAtHand, acid_called
from studio.plan.model import Plan
from studio.plan.shapes import Figure, Origin, fig, num, weakest
from studio.plan.shelf import EMPTY_SHELF, Shelf
from studio.tables.finding import find_dose, near_names
from studio.tables.rows import DyeClass, HoldRow, PracticeDose, Use, holds, practice

if TYPE_CHECKING:
    from studio.plan.work.souring import Souring

# Published doses of acid for the weight at hand: the one a plan names, and how far all of them lie
# apart.


class Spread(msgspec.Struct, frozen=True):
    """Lowest and highest published dose, in mL or g of the acid at hand, each with who published it."""

    low: float
    high: float
    low_source: str
    high_source: str
    origin: Origin = "published"
    """The weaker of the two."""
    doses: tuple[tuple[float, str], ...] = ()
    """Every end of every dose, with the id of its practice."""

    def nearest(self, amount: float) -> str:
        """Id of the practice whose dose is nearest to an amount."""
        return min(self.doses, key=lambda dose: abs(dose[0] - amount))[1]


class Dose(msgspec.Struct, frozen=True, kw_only=True):
    """What a practice asks for on the weight at hand, in mL or g of the acid at hand."""

    practice: PracticeDose
    amount: float
    """The middle of `low` and `high`."""
    low: float
    high: float
    because: str

    @property
    def origin(self) -> Origin:
        """Of the practice."""
        return _origin(self.practice)

    @property
    def source(self) -> str:
        """Who published it; what is reported by another says so."""
        told = self.practice.source
        if self.practice.standing == "second hand" and "second-hand" not in told:
            told = f"second hand: {told}"
        return f"{told}; practice {self.practice.id}, none of those published is right for all"


def _origin(dose: PracticeDose) -> Origin:
    """What is told of a publication by another is no better than what everybody does."""
    return "common practice" if dose.standing in ("common practice", "second hand") else "published"


def ends_of(dose: PracticeDose, acid: AcidAtHand) -> tuple[float, float] | None:
    """Low and high end of a dose in mL or g of the acid at hand, by moles; None where it is told of another.

    Acetic acid of any strength stands for acetic acid, citric acid with or without its water for citric.
    """
    theirs = acid_called(EMPTY_SHELF, dose.acid)
    if theirs is None or theirs.row.kind != acid.row.kind or theirs.row.state != acid.row.state:
        return None
    factor = theirs.mol_per_unit / acid.mol_per_unit
    return dose.low * factor, dose.high * factor


def dose_chosen(plan: Plan, acid: AcidAtHand, dry_g: float, water_ml: float) -> Dose | None:
    """The dose of the practice a plan names, on its fibre or in its water; None where it names none.

    PlanError where no practice is called so, or where it is told of another acid.
    """
    name = plan.sour.practice
    if not name:
        return None
    found = find_dose(name)
    if found is None:
        names = [row.id for row in practice()]
        near = near_names(name, names) or names[:3]
        raise plan.wrong(
            ("presoak", "practice"),
            f"names {quoted(name)}, which is not one published dose; write the name of one, such as "
            f"{', '.join(quoted(one) for one in near)}; potside practices lists them all.",
        )
    ends = ends_of(found, acid)
    if ends is None:
        raise plan.wrong(
            ("presoak", "practice"),
            f"is {quoted(found.id)}, a dose of {found.acid}, but the plan's acid is {acid.name}; write ",
            write("acid", found.acid),
            f", or a practice for {acid.row.kind} acid.",
        )
    times = _counted(found.use, dry_g, water_ml)[0]
    low, high = (end * times for end in ends)
    return Dose(
        practice=found,
        amount=(low + high) / 2.0,
        low=low,
        high=high,
        because=_because(found, acid, ends, dry_g, water_ml),
    )


def _counted(use: Use, dry_g: float, water_ml: float) -> tuple[float, str, str]:
    """How often its measure goes into the plan's, 100 g of fibre into a bath, a litre into a soak; that measure, and
    the plan's, in words."""
    if use == "soak":
        return water_ml / 1000.0, "to 1 L", f"{num(water_ml / 1000.0)} L"
    return dry_g / 100.0, "on 100 g", f"{num(dry_g)} g / 100"


def _because(
    found: PracticeDose, acid: AcidAtHand, ends: tuple[float, float], dry_g: float, water_ml: float
) -> str:
    (low, high), (times, each, own) = ends, _counted(found.use, dry_g, water_ml)
    of_theirs = f"{_ends(found.low, found.high)} {found.unit} of {found.acid}"
    as_ours = "" if low == found.low else f" (as {acid.name}: {_ends(low, high)} {acid.unit})"
    middle = "" if low == high else f", the middle of {num(low * times)} and {num(high * times)}"
    amount = (low + high) / 2 * times
    return f"{found.label}: {of_theirs} {each}{as_ours} x {own} = {num(amount)} {acid.unit}{middle}"


def _ends(low: float, high: float) -> str:
    return num(low) if low == high else f"{num(low)} to {num(high)}"


def published_spread(
    acid: AcidAtHand, use: Use, classes: Sequence[DyeClass], dry_g: float, water_ml: float
) -> Spread | None:
    """Lowest and highest published dose for that use, of the same kind of acid: of these classes, or told of any."""
    found: list[tuple[float, str, PracticeDose]] = []
    for dose in practice() if dry_g > 0 and water_ml > 0 else ():
        if dose.use != use or (dose.for_class and dose.for_class not in {one.id for one in classes}):
            continue
        times = _counted(dose.use, dry_g, water_ml)[0]
        found.extend((end * times, dose.source, dose) for end in ends_of(dose, acid) or ())
    if not found:
        return None
    low, high = (end(found, key=lambda row: row[:2]) for end in (min, max))
    origin = weakest(_origin(low[2]), _origin(high[2]))
    doses = tuple((amount, dose.id) for amount, _, dose in found)
    return Spread(low[0], high[0], low[1], high[1], origin, doses)


def where_it_lies(value: float, low: float, high: float) -> str:
    """Where a choice lies in a spread.

    >>> where_it_lies(45.0, 30.0, 60.0), where_it_lies(20.0, 30.0, 60.0), where_it_lies(30.0, 30.0, 30.0)
    ('50 % of the way from least to most', 'below the least', 'all that is published')
    """
    near = 1e-9 * max(abs(low), abs(high))
    if value < low - near or value > high + near:
        return "below the least" if value < low else "above the most"
    if high <= low:
        return "all that is published"
    return f"{100 * (value - low) / (high - low):.0f} % of the way from least to most"


def spread_figure(bath: Souring, acid: AcidAtHand, spread: Spread, amount: float) -> Figure:
    """.acid.spread: what is published beside the dose; a soak's by its water, a bath's by its fibre."""
    settled, low, high = bath.settled, spread.low, spread.high
    times, each, own = _counted(bath.use, settled.dry_g, bath.water_ml)
    label, ends = "published doses, low to high", ""
    if bath.table == "presoak":
        label = f"published soaks, {'more acid' if amount < low else 'less acid' if amount > high else 'low to high'}"
        ends = (
            "; they are taught by the cup and name no pH: with the fibre in it the least of them ends at pH "
            f"{bath.with_acid(acid, low).ph:.1f}, the most at pH {bath.with_acid(acid, high).ph:.1f}, "
            f"this plan's at pH {bath.with_acid(acid, amount).ph:.1f}"
        )
    because = (
        f"{num(low / times)} to {num(high / times)} {acid.unit} of {acid.name} {each} x {own} "
        f"= {num(low)} to {num(high)} {acid.unit}; the {num(amount)} {acid.unit} of this plan: "
        f"{where_it_lies(amount, low, high)}, nearest to {spread.nearest(amount)}{ends}"
    )
    return fig(
        f"{bath.table}.acid.spread",
        low,
        acid.unit,
        label,
        because,
        weakest(spread.origin, bath.counted_on(bath.use)),
        f"least: {spread.low_source}; most: {spread.high_source}; none of them is right for all",
        low=low,
        high=high,
        chosen=amount,
    )


# All published practices, the doses of acid worked out for an acid and a weight.

MOST_G = 100_000.0


class ListedDose(msgspec.Struct, frozen=True, kw_only=True):
    """A published dose, and what it comes to."""

    practice: PracticeDose
    acid: str
    """What it is counted in: the acid asked for, or its own where it is told of another."""
    unit: str
    low: float
    high: float
    """mL or g of that acid on the weight asked for; of a soak to 1 L of its water."""
    converted: bool
    """Whether the acid asked for stands for the one that was published."""


class Practices(msgspec.Struct, frozen=True, kw_only=True):
    acid: str
    """The acid asked for; empty for none."""
    weight_g: float
    doses: tuple[ListedDose, ...]
    holds: tuple[HoldRow, ...]


def list_practices(shelf: Shelf, acid_name: str, weight_g: float) -> Practices:
    """Doses on `weight_g` of dry fibre (above 0 to 100 000 g) and times at heat, in the order of the tables.

    acid_name: of the shelf or the tables; empty to leave each dose in its own acid. An acid is converted by
    moles, only to its own kind. PlanError, one sentence, where no acid is called so or the weight is none.
    """
    if not 0 < weight_g <= MOST_G:
        raise PlanError(f"The weight must be above 0 g and at most {MOST_G:g} g; write for example 100 g.")
    acid = None
    if acid_name:
        acid = acid_called(shelf, acid_name)
        if acid is None:
            raise PlanError(
                f"{quoted(acid_name)} is no acid of the shelf or the tables; write for example white vinegar."
            )
    doses = tuple(_listed(row, acid, weight_g) for row in practice())
    return Practices(acid=acid.name if acid else "", weight_g=weight_g, doses=doses, holds=holds())


def _listed(row: PracticeDose, acid: AcidAtHand | None, weight_g: float) -> ListedDose:
    ends = ends_of(row, acid) if acid is not None else None
    low, high = ends or (row.low, row.high)
    factor = _counted(row.use, weight_g, 1000.0)[0]
    return ListedDose(
        practice=row,
        acid=acid.name if acid is not None and ends is not None else row.acid,
        unit=row.unit,
        low=low * factor,
        high=high * factor,
        converted=ends is not None and ends != (row.low, row.high),
    )
