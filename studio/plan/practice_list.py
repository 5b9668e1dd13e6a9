"""All published practices, the doses of acid worked out for an acid and a weight."""

from __future__ import annotations

import msgspec

from studio.plan.doses import per_100g
from studio.plan.errors import PlanError, quoted
from studio.plan.materials import AcidAtHand, acid_called
from studio.plan.shelf import Shelf
from studio.tables import HoldRow, PracticeDose, holds, practice

MOST_G = 100_000.0


class ListedDose(msgspec.Struct, frozen=True, kw_only=True):
    """A published dose, and what it comes to."""

    practice: PracticeDose
    acid: str
    """What it is counted in: the acid asked for, or its own where it is told of another."""
    unit: str
    low: float
    high: float
    """mL or g of that acid on the weight asked for."""
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
    ends = per_100g(row, acid) if acid is not None else None
    low, high = ends or (row.low_per_100g, row.high_per_100g)
    factor = weight_g / 100.0
    return ListedDose(
        practice=row,
        acid=acid.name if acid is not None and ends is not None else row.acid,
        unit=row.unit,
        low=low * factor,
        high=high * factor,
        converted=ends is not None and ends != (row.low_per_100g, row.high_per_100g),
    )
