"""Names of a plan to the things they mean: a shelf entry first, then the reference tables."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, ClassVar, Literal, TypeVar

import msgspec

from studio.craft.acid import acetic_percent_by_volume, liquid_acid_mol, powder_acid_mol
from studio.plaintext import clean, slug
from studio.plan.errors import KeyPath, PlanError, Term, quoted, refuse
from studio.plan.fields import DRY_WEIGHT
from studio.plan.model import Plan
from studio.plan.shelf import (
    Jar,
    Looks,
    Price,
    Shelf,
    ShelfAcid,
    ShelfBase,
    ShelfDye,
    ShelfThickener,
    entry_called,
    folded,
)
from studio.quantity.kinds import Quantity
from studio.tables.finding import (
    REACTIVE,
    find_acid,
    find_dye,
    find_fibre,
    find_thickener,
    is_reactive,
    meant,
)
from studio.tables.rows import (
    AcidRow,
    DyeClass,
    DyeRow,
    Fibre,
    ThickenerRow,
    acids,
    dye_classes,
    dyes,
    fibres,
    thickeners,
)


class FibreInBlend(msgspec.Struct, frozen=True):
    row: Fibre
    percent: float


class DyeAtHand(msgspec.Struct, frozen=True, kw_only=True):
    """A dye as the plan means it."""

    name: str
    slug: str
    dye_class: DyeClass
    row: DyeRow | None
    """The table row, where it is a known dye."""
    food: bool
    powder: bool
    ready_percent: float | None = None
    """Strength of a ready liquid or a leftover jar, g per 100 mL."""
    jar: Jar | None = None
    mixture: bool = False
    """Whether it is sold as a mixture of several dyes."""
    hazards: tuple[str, ...] = ()
    """Ids of the hazards table: its own and those of what it is mixed of, else those of its class."""
    price: Price | None = None
    looks: Looks | None = None
    """As the shelf has it."""
    others: tuple[str, ...] = ()
    """What else of its kind is on the shelf, where the plan names the kind alone."""


STRONG_ACID_PERCENT = 10.0
"""g/100 mL of acetic acid from which the cautions for one that burns are shown. House rule."""


class AcidAtHand(msgspec.Struct, frozen=True, kw_only=True):
    name: str
    row: AcidRow
    strength_percent: float
    price: Price | None = None
    others: tuple[str, ...] = ()
    """As for a dye."""

    @property
    def liquid(self) -> bool:
        """Measured by volume."""
        return self.row.state == "liquid"

    @property
    def strong(self) -> bool:
        """Whether it burns: vinegar essence and stronger."""
        return self.row.kind == "acetic" and self.strength_percent > STRONG_ACID_PERCENT

    @property
    def unit(self) -> Literal["mL", "g"]:
        """Of an amount of it."""
        return "mL" if self.liquid else "g"

    @property
    def mol_per_unit(self) -> float:
        """Moles of acid in one mL or one g of it."""
        of = liquid_acid_mol if self.liquid else powder_acid_mol
        return of(1.0, self.strength_percent, self.row.molar_mass_g)

    @property
    def sold(self) -> tuple[float, float]:
        """Least and most that what is sold under its name holds, for what its label says; 1 where nobody told."""
        low, high = self.row.sold_percent or (0.0, 0.0)
        if not low <= self.strength_percent <= high:
            return 1.0, 1.0
        return low / self.strength_percent, high / self.strength_percent


def _hidden(plan: Plan, shelf: Shelf, key: KeyPath, name: str, *tables: str) -> PlanError | None:
    """The refusal of a name that stands in a part of the shelf that cannot be read: the shelf is to be mended."""
    why = shelf.hidden(name, *tables)
    if why is None:
        return None
    told = f" {quoted(name)}, which {clean(plan.file, limit=80)} names, may stand there."
    return refuse("", key, Term(why.sentence, why.on_screen), told, subject="")


_NAMED: dict[str, tuple[tuple[str, ...], Callable[[], Mapping[str, Any]], str]] = {
    "dye": (("dye", "jar"), dyes, "food red"),
    "acid": (("acid",), acids, "white vinegar"),
    "thickener": (("thickener",), thickeners, "guar"),
    "fibre": ((), fibres, "superwash wool"),
}
"""Where what a plan names may stand: tables of the shelf, else rows of a reference table; and an example of it."""


def _unknown(plan: Plan, shelf: Shelf, key: KeyPath, name: str, what: str) -> PlanError:
    """The refusal of a name nobody knows: the shelf's, where it may stand there and not be read, else the nearest."""
    tables, table, example = _NAMED[what]
    if tables and (hidden := _hidden(plan, shelf, key, name, *tables)):
        return hidden
    if what == "dye" and is_reactive(name):
        return plan.wrong(key, f"names {quoted(name)}: {REACTIVE}")
    rows = table().values()
    known = [entry.name for kind in tables for entry in getattr(shelf, f"{kind}s")]
    known += [one for row in rows for one in (row.name, *row.also)]
    known += [row.ci for row in rows if getattr(row, "ci", "")]
    hint = meant(name, known, f'write for example "{example}".')
    return plan.wrong(key, f"names {quoted(name)}, which is no {what} of the shelf or the tables; {hint}")


def find_base(plan: Plan, shelf: Shelf) -> ShelfBase | None:
    """The base the plan names, or None where it names none."""
    if not plan.fibre.base:
        return None
    if base := entry_called(shelf.bases, plan.fibre.base):
        return base
    if hidden := _hidden(plan, shelf, ("fibre", "base"), plan.fibre.base, "base"):
        raise hidden
    told = f"names {quoted(plan.fibre.base)}, which is no base of the shelf; "
    if near := meant(plan.fibre.base, [base.name for base in shelf.bases], ""):
        raise plan.wrong(("fibre", "base"), told + near)
    weight = Term(DRY_WEIGHT.key, path=("fibre", DRY_WEIGHT.key))
    makes = Term("", "{plan.new_entry} in its field makes it, or ")
    out = "leave base out and write blend, "
    raise plan.wrong(("fibre", "base"), told, makes, out, weight, " and form.")


def blend_of(plan: Plan, shelf: Shelf, base: ShelfBase | None) -> tuple[FibreInBlend, ...]:
    """The fibres of the blend, scaled to 100 % where they were rounded."""
    written = plan.fibre.blend or (base.blend if base else ())
    total = sum(percent for _, percent in written)
    found: dict[str, FibreInBlend] = {}
    for name, percent in written:
        row = find_fibre(name)
        if row is None:
            raise _unknown(plan, shelf, ("fibre", "blend"), name, "fibre")
        before = found[row.name].percent if row.name in found else 0.0
        found[row.name] = FibreInBlend(row, before + percent * 100.0 / total)
    return tuple(found.values())


def find_dye_at_hand(plan: Plan, shelf: Shelf, name: str, key: KeyPath) -> DyeAtHand:
    """The dye of a colour: a shelf dye, a leftover jar, else the first powder of that kind, or a table row."""
    if entry := entry_called(shelf.dyes, name):
        return _from_shelf(plan, entry, key)
    if jar := entry_called(shelf.jars, name):
        return _from_jar(plan, shelf, jar, key)
    row = find_dye(name)
    if row is None:
        raise _unknown(plan, shelf, key, name, "dye")
    of_kind = (e for e in shelf.dyes if e.form == "powder" and e.dye and find_dye(e.dye) == row)
    powder, others = _first_of(of_kind)
    if powder is not None:
        return msgspec.structs.replace(_from_shelf(plan, powder, key), others=others)
    return _from_shelf(plan, ShelfDye(name=row.name, dye=row.name), key)


def _hazards(dye_class: DyeClass, row: DyeRow | None, parts: Iterable[str]) -> tuple[str, ...]:
    """Ids, each once."""
    rows = [found for found in (row, *map(find_dye, parts)) if found is not None]
    hazards = (one for found in rows for one in found.hazards) if rows else dye_class.hazards
    return tuple(dict.fromkeys(hazards))


def _from_shelf(plan: Plan, entry: ShelfDye, key: KeyPath) -> DyeAtHand:
    row = find_dye(entry.dye) if entry.dye else None
    class_id = entry.dye_class or (row.dye_class if row else "")
    if class_id not in dye_classes():
        raise plan.wrong(
            key, f"names {quoted(entry.name)}, whose shelf entry has no known class; correct the shelf."
        )
    dye_class = dye_classes()[class_id]
    return DyeAtHand(
        name=entry.name,
        slug=slug(entry.name),
        dye_class=dye_class,
        row=row,
        food=dye_class.food,
        powder=entry.form == "powder",
        ready_percent=entry.strength_percent,
        mixture=entry.mixture if entry.mixture is not None else bool(row and row.mixture),
        hazards=_hazards(dye_class, row, entry.components or (row.parts if row else ())),
        price=entry.price,
        looks=entry.looks,
    )


def _from_jar(plan: Plan, shelf: Shelf, jar: Jar, key: KeyPath) -> DyeAtHand:
    if entry_called(shelf.jars, jar.dye):
        raise plan.wrong(
            key, f"names the jar {quoted(jar.name)}, whose dye is a jar again; correct the shelf."
        )
    inside = find_dye_at_hand(plan, shelf, jar.dye, key)
    return msgspec.structs.replace(
        inside,
        name=jar.name,
        slug=slug(jar.name),
        powder=False,
        ready_percent=jar.strength_percent,
        jar=jar,
        price=None,
        others=(),
    )


def find_acid_at_hand(plan: Plan, shelf: Shelf) -> AcidAtHand | None:
    """The acid of the presoak or the kettle, or None where the plan names none."""
    name = plan.sour.acid
    in_paint: list[tuple[KeyPath, Quantity | None]] = [
        (("presoak", "paint_acid"), plan.presoak.paint_acid),
        *((("colour", colour.name, "acid"), colour.acid) for colour in plan.colours),
    ]
    for path, amount in in_paint:
        if amount is not None and not name:
            raise plan.wrong(path, "is acid in paint, and this plan names no acid; write one in [presoak].")
    if not name:
        return None
    acid = acid_called(shelf, name)
    if acid is None:
        raise _unknown(plan, shelf, (plan.sour.table, "acid"), name, "acid")
    for path, amount in (((plan.sour.table, "acid_amount"), plan.sour.acid_amount), *in_paint):
        if amount is not None and amount.unit != acid.unit:
            kind = "liquid, measured by volume" if acid.liquid else "powder, weighed"
            example = f"{60 if path[-1] == 'acid_amount' and acid.liquid else 5} {acid.unit}"
            said = f'is {quoted(amount.typed)}, but {acid.name} is a {kind}; write for example "{example}".'
            raise plan.wrong(path, said)
    for path, amount in in_paint:
        if amount is not None and amount.value * acid.mol_per_unit * 10.0 > MOST_PAINT_MOL_L:
            raise plan.wrong(
                path,
                f"is {amount.typed} of {acid.name} in 100 mL of paint, more acid than vinegar itself; write less.",
            )
    return acid


MOST_SWELL_MIN = 120.0
"""Minutes in which a gum may swell while a session goes on. House rule."""
MOST_PAINT_MOL_L = 0.84
"""Acid in a paint: as much as 5 % vinegar holds, 0.833. House rule."""


class ThickenerAtHand(msgspec.Struct, frozen=True, kw_only=True):
    name: str
    row: ThickenerRow
    price: Price | None = None
    unit: ClassVar[Literal["g"]] = "g"
    """Of an amount of it."""

    @property
    def overnight(self) -> bool:
        """Whether it swells too long for a session, and is mixed in plain water the evening before."""
        return self.row.swell_min > MOST_SWELL_MIN


def find_thickener_at_hand(plan: Plan, shelf: Shelf) -> ThickenerAtHand | None:
    """The one gum of its paints, or None where none is thickened."""
    found: ThickenerAtHand | None = None
    for thicken in (colour.thicken for colour in plan.colours if colour.thicken):
        key, entry = thicken.key, entry_called(shelf.thickeners, thicken.gum)
        row = find_thickener(entry.thickener if entry else thicken.gum)
        if row is None:
            raise _unknown(plan, shelf, key, thicken.gum, "thickener")
        entry = entry or ShelfThickener(name=row.name, thickener=row.name)
        gum = ThickenerAtHand(name=entry.name, row=row, price=entry.price)
        if found not in (None, gum):
            raise plan.wrong(key, f"names {gum.name} beside another gum; thicken all with one.")
        if not row.low_percent <= thicken.strength.value <= row.high_percent:
            span = f"{row.low_percent:g} to {row.high_percent:g} %"
            said = f"is {quoted(thicken.strength.typed)}, and {row.name} thickens paint at {span}; write one of these."
            raise plan.wrong(key, said)
        found = gum
    return found


def acid_called(shelf: Shelf, name: str) -> AcidAtHand | None:
    """The acid of that name: a shelf entry, else the first bottle of that kind, else the table row, or None."""
    called = [a for a in shelf.acids if folded(a.name) == folded(name)]
    kind = find_acid(name)
    of_kind = [a for a in shelf.acids if kind is not None and find_acid(a.acid) == kind]
    entry, others = _first_of(called or of_kind)
    row = find_acid(entry.acid) if entry else kind
    if row is None:
        return None
    return _acid(entry or ShelfAcid(name=row.name, acid=row.name), row, () if called else others)


Entry = TypeVar("Entry", ShelfDye, ShelfAcid)


def _first_of(entries: Iterable[Entry]) -> tuple[Entry | None, tuple[str, ...]]:
    """Of a kind the first on the shelf that is not used up, and the names of the others."""
    found = list(entries)
    left = [entry for entry in found if entry.on_hand is None or entry.on_hand.value > 0]
    first = next(iter(left or found), None)
    return first, tuple(entry.name for entry in found if entry is not first)


def _acid(entry: ShelfAcid, row: AcidRow, others: tuple[str, ...]) -> AcidAtHand:
    stated = row.strength_percent if entry.strength_percent is None else entry.strength_percent
    if entry.strength_by == "weight" and entry.strength_percent is not None:
        stated = acetic_percent_by_volume(stated)
    return AcidAtHand(name=entry.name, row=row, strength_percent=stated, price=entry.price, others=others)


def class_range(classes: Sequence[DyeClass]) -> tuple[float, float]:
    """The pH range all of the classes share; low above high where they share none."""
    return max((c.ph_low for c in classes), default=0.0), min((c.ph_high for c in classes), default=14.0)
