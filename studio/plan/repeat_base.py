"""A repeat on another base: what the shelf knows of it goes into [fibre], and the layout is fitted to it."""

from __future__ import annotations

import msgspec

from studio.plaintext import clean
from studio.plan.errors import PlanError, quoted
from studio.plan.facts import KnitFacts
from studio.plan.model import Plan
from studio.plan.plan_text import PlanText
from studio.plan.repeat_layout import fit_layout
from studio.plan.settled import Settled, settle
from studio.plan.shapes import Worksheet
from studio.plan.shelf import Shelf, ShelfBase
from studio.quantity import show
from studio.tables import nearest

OF_THE_BASE = ("blend", "form", "yarn_length", "strands", "rows", "stitches")
"""Keys of [fibre] that would stand in the way of what the shelf says of the base."""
MOST_NAMED = 8
"""Bases that a sentence names. House rule."""

SAME_ROW = 0.005
"""Relative; rows with as much yarn as this are the same. House rule."""


class BaseChange(msgspec.Struct, frozen=True, kw_only=True):
    """What is another fact, and no figure, on the new base: name, before, after."""

    name: str
    facts: tuple[tuple[str, str, str], ...]
    """Only those that differ; `-` for what is not known."""


def find_base_named(name: str, shelf: Shelf) -> ShelfBase:
    """The base of that name, whatever its capitals and blanks; PlanError with the near ones otherwise."""
    wanted = " ".join(name.casefold().split())
    for base in shelf.bases:
        if " ".join(base.name.casefold().split()) == wanted:
            return base
    names = [base.name for base in shelf.bases]
    if not names:
        raise PlanError("--base: the shelf has no bases; write one as [[base]] in its bases.toml.")
    near = nearest(name, names)
    hint = f"did you mean {quoted(near)}? " if near else ""
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    listed = ", ".join(quoted(n) for n in names[:MOST_NAMED])
    raise PlanError(f"--base: {quoted(name)} is no base of the shelf; {hint}It has {listed}{more}.")


def put_base(new: PlanText, planned: Plan, base: ShelfBase, shelf: Shelf) -> tuple[str, ...]:
    """Write the base into [fibre] and fit the layout to it; what was assumed, one sentence each.

    Depth stays on the weight of all the fibre: a smaller dyeable part is dyed deeper, and that is said by
    the figures. **Source:** house rule.
    """
    before = settle(planned, shelf)
    form = base.form or before.form
    notes: tuple[str, ...] = ()
    for key in OF_THE_BASE:
        new.drop("fibre", key)
    new.put("fibre", "base", base.name)
    if not base.form:
        new.put("fibre", "form", before.form)
        notes += (f"The shelf does not say what form {clean(base.name, limit=60)} has: {form}, as before.",)
    if planned.fibre.circumference is not None:
        if form == "skein":
            round_it = show(planned.fibre.circumference.value, "cm")
            notes += (f"The skein is taken to be wound {round_it} round, as before.",)
        else:
            new.drop("fibre", "circumference")
    return notes + fit_layout(new, planned, before, base, form)


def base_change(before: Settled, after: Settled) -> BaseChange:
    """The facts that differ between two settled plans."""
    rows = tuple(
        (label, was, now) for (label, was), (_, now) in zip(_facts(before), _facts(after), strict=True)
    )
    return BaseChange(
        name=after.base.name if after.base else after.form,
        facts=tuple((label, was, now) for label, was, now in rows if was != now),
    )


def what_follows(before: Worksheet, after: Worksheet, name: str) -> tuple[str, ...]:
    """What another base means for the shade and the forecast, one sentence each; worksheets before and after."""
    notes = []
    was, now = (sheet.figure("fibre.dyeable") for sheet in (before, after))
    if was is not None and now is not None and was.value != now.value:
        undyed = show(100 - now.value, "%")
        depth = f", and there it is {show(was.value / now.value, '1')} times as deep" if now.value > 0 else ""
        notes.append(
            f"Depth stays on the weight of all the fibre: {show(now.value, '%')} of it takes the dye instead of "
            f"{show(was.value, '%')}{depth}; {undyed} stays undyed."
        )
    old, new = _knit(before), _knit(after)
    if old is not None and new is None:
        notes.append(f"No forecast of rounds can be made of the plan on {clean(name, limit=60)}.")
    elif old is not None and new is not None:
        ratio = new.stitches * new.loop_mm / (old.stitches * old.loop_mm)
        if abs(ratio - 1) > SAME_ROW:
            notes.append(
                f"A row of the blank holds {show(ratio, '1')} times the yarn, and so a stripe of as many rows is "
                f"{show(ratio, '1')} times as long when it is knitted; potside forecast shows it."
            )
    return tuple(notes)


def _knit(sheet: Worksheet) -> KnitFacts | None:
    live = sheet.facts.live if sheet.facts is not None else None
    return live.knit if live is not None else None


def _facts(settled: Settled) -> list[tuple[str, str]]:
    fibre, base = settled.plan.fibre, settled.base

    def known(key: str) -> float | None:
        written = getattr(fibre, key)
        if written is None:
            return getattr(base, "yarn_length_m" if key == "yarn_length" else key, None) if base else None
        return written if isinstance(written, int) else float(written.value)

    def told(value: float | None, unit: str) -> str:
        return "-" if value is None else show(value, unit)

    blend = ", ".join(f"{f.row.name} {show(f.percent, '%')}" for f in settled.blend)
    rows, stitches, metres = known("rows"), known("stitches"), known("yarn_length")
    strands = known("strands") or 1
    per_row = metres / rows / strands if metres and rows and settled.form == "blank" else None
    return [
        ("base", base.name if base else "-"),
        ("blend", blend),
        ("form", settled.form),
        ("yarn in one piece", told(metres, "m")),
        ("strands", told(strands, "1")),
        ("rows", told(rows, "1")),
        ("stitches", told(stitches, "1")),
        ("yarn in one row", told(per_row, "m")),
    ]
