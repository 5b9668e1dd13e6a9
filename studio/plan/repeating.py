"""A new plan from what was really done: the session's own plan text, edited so that its comments stay.

What carries the shade is written down as it was done: weights, soak, acid, jars, depth, hold. Another
weight scales what is proportional to it; size of the packet, hold and pot water are worked out anew.
Another base of the shelf brings its own blend, form and rows, and the layout is fitted to them.
"""

from __future__ import annotations

import msgspec

from studio.plaintext import clean
from studio.plan.errors import PlanError
from studio.plan.model import Plan
from studio.plan.plan_text import PlanText
from studio.plan.reading import read_plan
from studio.plan.repeat_base import BaseChange, base_change, find_base_named, put_base, what_follows
from studio.plan.repeat_colours import write_colours
from studio.plan.repeat_facts import BandDone, Done
from studio.plan.repeat_kettle import write_kettle
from studio.plan.repeat_set import write_set
from studio.plan.settled import settle
from studio.plan.shapes import Worksheet
from studio.plan.shelf import Shelf, ShelfBase
from studio.plan.worksheet import work_out
from studio.quantity import show

DIGITS = 5
"""Of the quantities that are written: more than any scale or jug of a studio gives. House rule."""
MOST_FACTOR = 100.0
"""A repeat is at most a hundred times larger or smaller. House rule."""
SAME_PIECE = 0.05
"""Relative; a weight this near to that of one piece is one piece. House rule."""
SAME = 1e-9
"""Relative; a weight this near to the one that was dyed is the same."""


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
    base: BaseChange | None
    """What is another fact on the new base; None where the base is the same."""
    notes: tuple[str, ...]
    """What was assumed, one sentence each."""


class _Onto(msgspec.Struct, frozen=True, kw_only=True):
    """What a repeat is made on."""

    factor: float = 1.0
    base: ShelfBase | None = None
    """None = the base it was."""
    source: str

    @property
    def as_it_was(self) -> bool:
        return self.factor == 1.0 and self.base is None


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

    text: the session's plan. done: what was measured. base: one of the shelf; without a weight it is dyed at
    the weight the shelf has for it, else at the weight that was dyed. name: of the new plan, for sentences.
    source: of the session, for the comment at the top. PlanError, one sentence, where the text or the new plan
    is no plan, the shelf has no such base, the weight that was dyed is not known, or the new weight is more
    than a hundred times off.
    **Source:** depth, stock and liquid are proportional to weight (common practice); heat-through, hold and
    pot water as in `figures_set`; the size of the packet by its volume (house rule).
    """
    found = find_base_named(base, shelf) if base else None
    if weight_g is None and found is not None:
        pieces = _read(text, shelf, name).fibre.pieces or 1
        weight_g = None if found.dry_weight_g is None else found.dry_weight_g * pieces
    onto = _Onto(factor=_factor(done, weight_g, name), base=found, source=source)
    new, notes = _edited(text, done, shelf, onto, name)
    plan = _read(new, shelf, name)
    worksheet = work_out(plan, shelf)
    same, change = worksheet, None
    if not onto.as_it_was:
        as_done, _ = _edited(text, done, shelf, _Onto(source=source), name)
        old = _read(as_done, shelf, name)
        same = work_out(old, shelf)
        if found is not None:
            change = base_change(settle(old, shelf), settle(plan, shelf))
            notes = (*what_follows(same, worksheet, found.name), *notes)
    return Repeated(
        text=new,
        plan=plan,
        worksheet=worksheet,
        at_same_weight=same,
        factor=onto.factor,
        base=change,
        notes=notes,
    )


def _read(text: str, shelf: Shelf, name: str) -> Plan:
    return read_plan(text, name=name, drops_per_ml=shelf.studio.drops_per_ml)


def _factor(done: Done, weight_g: float | None, name: str) -> float:
    dyed_g = done.fibre_g
    if dyed_g is None or dyed_g <= 0:
        raise PlanError(f"{name}: the session does not say what weight was dyed, so it cannot be repeated.")
    factor = 1.0 if weight_g is None else weight_g / dyed_g
    if not 1 / MOST_FACTOR <= factor <= MOST_FACTOR:
        raise PlanError(
            f"{name}: {show(weight_g or 0.0, 'g')} is more than {MOST_FACTOR:g} times off the "
            f"{show(dyed_g, 'g')} that were dyed; write a weight nearer to it."
        )
    return 1.0 if abs(factor - 1.0) < SAME else factor


def _edited(text: str, done: Done, shelf: Shelf, onto: _Onto, name: str) -> tuple[str, tuple[str, ...]]:
    """The text for a weight and a base, and what was assumed for it."""
    planned = _read(text, shelf, name)
    new = PlanText(text, name=name)
    notes = () if onto.base is None else put_base(new, planned, onto.base, shelf)
    _fibre(new, planned, done, onto.factor)
    _soak(new, planned, done, onto.factor)
    write_colours(new, planned, done, _on_fibre(new, planned, shelf, onto))
    notes += write_set(new, planned, done, shelf, onto.factor, as_it_was=onto.as_it_was)
    notes += write_kettle(new, planned, done, onto.factor)
    weight = show((done.fibre_g or 0.0) * onto.factor, "g", DIGITS)
    on = f", on {clean(onto.base.name, limit=60)}" if onto.base is not None else ""
    told = clean(onto.source, limit=120)
    new.comment_at_top(f"Repeated from {told} as it was really done, on {weight} of dry fibre{on}.")
    return new.text(), (*notes, *_assumed(planned, done, shelf, onto))


def _on_fibre(new: PlanText, planned: Plan, shelf: Shelf, onto: _Onto) -> dict[str, float]:
    """For each colour, the fibre it covers now over what it covered then."""
    if onto.base is None:
        return {colour.name: onto.factor for colour in planned.colours}
    before = settle(planned, shelf).colours
    now = settle(_read(new.text(), shelf, new.name), shelf).colours
    return {
        old.plan.name: onto.factor * (one.share / old.share if old.share else 1.0)
        for old, one in zip(before, now, strict=True)
    }


def _assumed(planned: Plan, done: Done, shelf: Shelf, onto: _Onto) -> tuple[str, ...]:
    notes = [] if onto.base is None else _assumed_of_base(onto.base, done, onto.factor)
    if onto.base is None and onto.factor != 1.0 and settle(planned, shelf).form in ("blank", "skein"):
        notes.append(
            "Rows, length of yarn and layout stay those of one piece, as if "
            f"{show(onto.factor, '1')} of them lay side by side; change [fibre] where the new piece is longer."
        )
    if done.sets > 1:
        notes.append(
            f"The goods were set {done.sets} times; the plan holds one set, the next is added at the bench."
        )
    notes.extend(map(_band_note, done.bands))
    if done.dry_g is None:
        notes.append("The dry weight was not measured; the planned one stands for it.")
    return tuple(notes)


def _band_note(band: BandDone) -> str:
    """The layout of a repeat is the planned one."""
    painted = " and then ".join(clean(name, limit=40) for name in band.painted)
    return (
        f"Band {band.number} was painted {painted}; the plan paints it {clean(band.planned, limit=40)} once. "
        "Change the layout, or paint it so again."
    )


def _assumed_of_base(base: ShelfBase, done: Done, factor: float) -> list[str]:
    name, dry_g = clean(base.name, limit=60), (done.fibre_g or 0.0) * factor
    notes = []
    if base.dry_weight_g is None:
        notes.append(f"The shelf does not say what one piece of {name} weighs; {show(dry_g, 'g')} are dyed.")
    elif abs(dry_g / base.dry_weight_g - 1) > SAME_PIECE and base.form in ("blank", "skein"):
        notes.append(
            f"One {base.form} weighs {show(base.dry_weight_g, 'g')}: rows, length of yarn and layout are those of "
            f"one piece, as if {show(dry_g / base.dry_weight_g, '1')} of them lay side by side."
        )
    notes.append(
        "Another yarn holds another share of water and packs otherwise: the squeezed weight and the packet are "
        "taken over in proportion to weight; weigh and measure them."
    )
    return notes


def _fibre(new: PlanText, planned: Plan, done: Done, factor: float) -> None:
    # A plan gives the weights of one piece; what was weighed is all of them together.
    pieces = planned.fibre.pieces or 1
    dyed_g = done.fibre_g or 0.0
    new.put("fibre", "dry_weight", show(dyed_g * factor / pieces, "g", DIGITS))
    written = planned.fibre.squeezed_weight
    if done.squeezed_g is not None and done.squeezed_g >= dyed_g:
        new.put("fibre", "squeezed_weight", show(done.squeezed_g * factor / pieces, "g", DIGITS))
    elif written is not None:
        # Never measured: what was planned for the planned weight is held by the new one in proportion.
        share = written.value / (done.planned_dry_g or dyed_g)
        new.put("fibre", "squeezed_weight", show(share * dyed_g * factor, "g", DIGITS))


def _soak(new: PlanText, planned: Plan, done: Done, factor: float) -> None:
    """Liquor ratio, acid and time as they were."""
    dyed_g = done.fibre_g or 1.0
    if done.soak_ml:
        new.put("presoak", "liquor_ratio", float(f"{done.soak_ml / dyed_g:.5g}"))
    written = planned.presoak.acid_amount
    if planned.kettle is None and planned.presoak.acid and done.acid_amount:
        new.drop("presoak", "target_ph")
        new.drop("presoak", "practice")
        new.put("presoak", "acid_amount", show(done.acid_amount * factor, done.acid_unit, DIGITS))
    elif written is not None:
        new.put("presoak", "acid_amount", show(written.value * factor, written.unit, DIGITS))
    if done.soak_min is not None and round(done.soak_min) >= 1:
        new.put("presoak", "time", show(round(done.soak_min), "min", DIGITS))
