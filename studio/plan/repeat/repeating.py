"""A session's inputs written back as a plan: its own text, edited so that its comments stay.

The plan is made to come to what was done. Each key that decides a figure (`decides` in `fields`) is written where the
plan would not come to the measured value by itself, and left as it was typed where it does. What goes with the weight
is held per gram, so that another weight is another dry weight; packet, hold and pot water are worked out anew for it.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from typing import Any

import msgspec

from studio.plaintext import clean
from studio.plan.errors import PlanError
from studio.plan.fields import DRY_WEIGHT, WEIGHT, ousted
from studio.plan.model import Plan
from studio.plan.reading import read_plan
from studio.plan.repeat.base import base_facts, base_notes, find_base_named, in_rows, put_base, takes_less
from studio.plan.repeat.decided import DecidedKey, decided
from studio.plan.settled import Settled, SettledColour, settle
from studio.plan.shapes import Worksheet
from studio.plan.sheet import work_out, work_sheet, worked_out
from studio.plan.shelf import Shelf, ShelfBase
from studio.plan.text import PlanText, put
from studio.plan.ways import method_of
from studio.plan.work.stocks import keep_of
from studio.quantity.showing import show

DIGITS = 5
"""Of the quantities that are written: more than any scale or jug of a studio gives. House rule."""
AS_PLANNED = 5e-4
"""Relative: a value this near to what the plan comes to, or one that reads alike, is left as the plan has it: what is
typed at the bench is as near as what was shown there. House rule."""
HALF_MIN = 0.5
"""Times nearer than this are the same: they are written in whole minutes. House rule."""
WHOLE_ML = 10.0
"""Pot water is rounded up to this. House rule."""
MOST_FACTOR = 100.0
"""A repeat is at most a hundred times larger or smaller. House rule."""
SAME = 1e-9
"""Relative; a weight this near to the one that was dyed is the same."""
ABSOLUTE = ("mass", "volume", "amount")
"""Kinds of keys that hold an amount for the plan's own weight."""


class Done(msgspec.Struct, frozen=True, kw_only=True):
    """What was done in a session, free of the session."""

    choices: Settled
    """Of the plan and the shelf, as they were when it began."""
    amounts: Mapping[str, float] = {}
    """What was measured, poured or done, minutes too, by the id of its figure."""
    beside: Mapping[str, str] = {}
    """What belongs behind a value as a comment, by the id of its figure."""
    notes: tuple[str, ...] = ()
    """What a plan cannot hold, one sentence each."""

    @property
    def sheet(self) -> Worksheet:
        """The begun sheet with what was measured in it, and all that follows; PlanError where nothing does."""
        try:
            worked = work_sheet(self.choices, self.amounts)
        except (ValueError, ArithmeticError, LookupError) as problem:
            raise PlanError("Nothing can be worked out from what the session holds.") from problem
        figures = tuple(
            msgspec.structs.replace(f, value=self.amounts.get(f.id, f.value)) for f in worked.figures
        )
        return msgspec.structs.replace(worked, figures=figures)


class Repeated(msgspec.Struct, frozen=True, kw_only=True):
    """A repeat, worked out."""

    text: str
    """The plan, as TOML."""
    plan: Plan
    worksheet: Worksheet
    at_same_weight: Worksheet
    """What was really done, worked out at its own weight: what the scaled figures are held against."""
    factor: float
    """New dry weight over the one that was dyed."""
    done: Done
    base: tuple[tuple[str, str, str], ...] | None
    """What is another fact on the new base: name, before, after; None where no base was named."""
    notes: tuple[str, ...]
    """What was assumed, one sentence each."""


def repeat(
    text: str,
    done: Done,
    shelf: Shelf,
    *,
    weight_g: float | None = None,
    base: str = "",
    name: str,
    source: str,
) -> Repeated:
    """The plan of a session as it was really done, at another dry weight or on another base if one is given.

    text: the session's plan. base: one of the shelf; without a weight it is dyed at the weight the shelf has for it,
    else at the weight that was dyed. name: of the new plan, for sentences. source: of the session, for the comment at
    the top. PlanError, one sentence, where the text or the new plan is no plan, the shelf has no such base, or the
    new weight is more than a hundred times off.
    **Source:** depth, stock and liquid are proportional to weight (common practice); heat-through, hold and
    pot water as in `steam_work.work_set`; the size of the packet by its volume (house rule).
    """
    planned = _read(text, done.choices.shelf, name)
    if _built(planned) != _built(done.choices.plan):
        raise PlanError(
            f"{name}: its text and the choices of the session do not go together; nothing follows."
        )
    found = find_base_named(base, shelf) if base else None
    if weight_g is None and found is not None and found.dry_weight_g is not None:
        weight_g = found.dry_weight_g * done.choices.pieces
    factor = _factor(done, weight_g, name)
    new, notes = _Writing(text, done, name, source, factor, found).written()
    plan = _read(new, shelf, name)
    worksheet = work_out(plan, shelf)
    same, change = worksheet, None
    if factor != 1.0 or found is not None:
        as_done = _Writing(text, done, name, source).written()[0]
        old = _read(as_done, shelf, name)
        same = work_out(old, shelf)
        if found is not None:
            before, after = settle(old, shelf), settle(plan, shelf)
            change = base_facts((as_done, before), (new, after))
            notes = (*takes_less(same, worksheet), *in_rows(before, after), *notes)
    return Repeated(
        text=new,
        plan=plan,
        worksheet=worksheet,
        at_same_weight=same,
        factor=factor,
        done=done,
        base=change,
        notes=notes,
    )


def _built(plan: Plan) -> tuple[str, list[tuple[str, int]]]:
    """What must be the same in a text and in what was settled of it, to be written into it."""
    return plan.method, [(colour.slug, len(colour.mix)) for colour in plan.colours]


def _read(text: str, shelf: Shelf, name: str) -> Plan:
    return read_plan(text, name=name, drops_per_ml=shelf.studio.drops_per_ml)


def _dyed_g(done: Done) -> float:
    return done.amounts.get(WEIGHT, done.choices.dry_g)


def _factor(done: Done, weight_g: float | None, name: str) -> float:
    dyed_g = _dyed_g(done)
    factor = 1.0 if weight_g is None else weight_g / dyed_g
    if not 1 / MOST_FACTOR <= factor <= MOST_FACTOR:
        raise PlanError(
            f"{name}: {show(weight_g or 0.0, 'g')} is more than {MOST_FACTOR:g} times off the "
            f"{show(dyed_g, 'g')} that were dyed; write a weight nearer to it."
        )
    return 1.0 if abs(factor - 1.0) < SAME else factor


class _Writing:
    """A plan on its way from what was planned to what was done."""

    def __init__(
        self,
        text: str,
        done: Done,
        name: str,
        source: str,
        factor: float = 1.0,
        base: ShelfBase | None = None,
    ) -> None:
        """base: None for the one it was."""
        self.new = PlanText(text, name=name)
        self.data = tomllib.loads(text)
        self.done, self.name, self.source = done, name, source
        self.factor, self.base = factor, base
        self.real, self.planned = done.sheet, done.choices
        self.now_g = _dyed_g(done) * factor
        """Dry weight of all the fibre."""

    def written(self) -> tuple[str, tuple[str, ...]]:
        """The text, and what was assumed for it."""
        notes = () if self.base is None else put_base(self.new, self.planned, self.base)
        self._at_the_weight()
        notes += self._packet() + self._as_done()
        on = f", on {clean(self.base.name, limit=60)}" if self.base is not None else ""
        told, weight = clean(self.source, limit=120), show(self.now_g, "g", DIGITS)
        self.new.comment_at_top(f"Repeated from {told} from what was done, on {weight} of dry fibre{on}.")
        return self.new.text(), (*notes, *self._assumed())

    def _then(self, text: str) -> Settled:
        """A plan settled on what the shelf held when the session began."""
        was = self.done.choices
        bases = was.shelf.bases if self.base is None else (self.base,)
        shelf = msgspec.structs.replace(was.shelf, bases=bases)
        now = settle(_read(text, shelf, self.name), shelf)
        return msgspec.structs.replace(now, kit=was.kit, scale_g=was.scale_g, hob_w=was.hob_w)

    def _sheet(self) -> Worksheet:
        return worked_out(self._then(self.new.text()))

    def _at_the_weight(self) -> None:
        """The dry weight, and what is written for the old one: held per gram of it, as it was done."""
        if abs(self.now_g / self.planned.dry_g - 1) < SAME and self.base is None:
            return
        self.new.write("fibre", None, DRY_WEIGHT.key, show(self.now_g / self.planned.pieces, "g", DIGITS))
        for row in decided(self.planned, self.real):
            figure = self.real.figure(row.path)
            if row.goes_with and figure is not None and row.field.kind in ABSOLUTE and self._written(row):
                self._write(row, figure.value * self.factor, 1.0)

    def _packet(self) -> tuple[str, ...]:
        """What its way of setting makes of another weight."""
        if self.factor == 1.0:
            return ()
        set_by = method_of(self.planned).set_by
        values, notes = set_by.scaled(self.planned, self.factor)
        for key, value in values.items():
            self.new.write(set_by.table, None, key, value)
        return notes

    def _as_done(self) -> tuple[str, ...]:
        """Every key that the plan needs to come to what was done."""
        notes: list[str] = []
        self._hues()
        sheet = self._sheet()
        rows = tuple(decided(self.planned, self.real))
        for row in rows:
            target = row.value(self.real)
            figure, whole = sheet.figure(row.path), sheet.figure(row.goes_with)
            if not target or target < 0 or figure is None:
                continue
            if row.field.at_least and (self.factor != 1.0 or self.base is not None):
                notes.extend(self._enough(row, target))
                sheet = self._sheet()
            elif not _alike(amount := target * (whole.value if whole else 1.0), figure.value, figure.unit):
                for one in rows:  # a jar that colours share is of one strength
                    if (one.field, one.path) == (row.field, row.path):
                        self._write(one, amount, target)
                sheet = self._sheet()
            if row.path in self.done.beside:
                self.new.comment(row.table, row.field.key, self.done.beside[row.path])
        return tuple(notes)

    def _enough(self, row: DecidedKey, before: float) -> tuple[str, ...]:
        """Written as it was, but never less than is worked out for another packet; left out where it was."""
        if not self._written(row) and row.path not in self.done.amounts:
            return ()
        self._erase(row, row.field.key, *self._ousted(row))
        figure = self._sheet().figure(row.path)
        if figure is None:
            return ()
        whole = WHOLE_ML if figure.unit == "mL" else 1.0
        least = math.ceil(figure.value / whole) * whole
        self._write(row, max(before, least), 1.0)
        if row.field.key != "hold" or least <= before:
            return ()
        return (f"Held {show(before, 'min')} before; for this packet {show(least, 'min')} is advised.",)

    def _write(self, row: DecidedKey, value: float, ratio: float) -> None:
        """The key in the words of a plan; what it takes the place of goes."""
        field = row.field
        figure = self.real.figure(row.path)
        unit = "" if figure is None else figure.unit
        if field.kind == "number":
            self._put(row, float(f"{ratio:.5g}"))
            return
        if field.kind == "drops" and row.colour is not None and row.colour.plan.drops_in is not None:
            self._put(row, float(f"{ratio * row.colour.plan.drops_in.value:.4g}"))
            return
        if row.table == "fibre":
            value /= self.planned.pieces
        if row.path.endswith(".apply"):
            value *= keep_of(self.planned)
        self._put(row, show(max(1.0, round(value)) if unit == "min" else value, unit, DIGITS))

    def _put(self, row: DecidedKey, value: str | float) -> None:
        self._erase(row, *self._ousted(row))
        put(_within(self.new.place(row.table, row.number), row), row.field.key, value)

    def _erase(self, row: DecidedKey, *keys: str) -> None:
        for key in keys:
            self.new.erase(row.table, row.number, key)

    def _written(self, row: DecidedKey) -> bool:
        """Whether the plan of the session has the key."""
        return row.field.key in self._typed(row)

    def _typed(self, row: DecidedKey) -> Mapping[str, Any]:
        table = self.data.get(row.table, {})
        found: Mapping[str, Any] = _within(table if row.number is None else table[row.number], row)
        return found

    def _ousted(self, row: DecidedKey) -> tuple[str, ...]:
        return ousted(row.table, row.field.key, "", self._typed(row))

    def _hues(self) -> None:
        """Of a mixed colour, the shares of the dye that went into it."""
        for number, colour in enumerate(self.planned.colours):
            grams = [_dye_g(self.real, colour, n) for n in range(len(colour.stocks))]
            total = sum(grams)
            if len(grams) == 1 or total <= 0:
                continue
            for part, stock, dye_g in zip(
                self.new.place("colour", number)["mix"], colour.stocks, grams, strict=True
            ):
                if not _alike(dye_g / total, stock.share, "%"):
                    put(part, "share", show(100 * dye_g / total, "%", DIGITS))

    def _assumed(self) -> tuple[str, ...]:
        notes = [] if self.base is None else base_notes(self.base, self.now_g)
        if self.base is None and self.factor != 1.0 and self.planned.form in ("blank", "skein"):
            notes.append(
                "Rows, length of yarn and layout stay those of one piece, as if "
                f"{show(self.factor, '1')} of them lay side by side; change [fibre] where the new piece is longer."
            )
        notes.extend(self.done.notes)
        if WEIGHT not in self.done.amounts:
            notes.append("The dry weight was not measured; the planned one stands for it.")
        return tuple(notes)


def _within(table: Any, row: DecidedKey) -> Any:
    """The table of a row, or of its part of a mix."""
    return table if row.part is None else table["mix"][row.part]


def _alike(target: float, value: float, unit: str) -> bool:
    if unit == "min":
        return abs(target - value) < HALF_MIN
    return show(target, unit) == show(value, unit) or math.isclose(target, value, rel_tol=AS_PLANNED)


def _dye_g(sheet: Worksheet, colour: SettledColour, number: int) -> float:
    """Dye of one stock that went in: what was poured of it, in a bath all that was made."""
    stock = colour.stocks[number]
    poured = sheet.figure(f"paint.{colour.plan.slug}.stock.{stock.dye.slug}")
    poured = poured or sheet.figure(f"stock.{stock.slug}.volume")
    strength = sheet.figure(f"stock.{stock.slug}.strength")
    return 0.0 if poured is None or strength is None else poured.value * strength.value / 100.0
