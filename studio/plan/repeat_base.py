"""A repeat on another base: what the shelf knows of it goes into [fibre], and the layout is fitted to it."""

from __future__ import annotations

import tomllib

from studio.plaintext import clean
from studio.plan.errors import PlanError, quoted
from studio.plan.fields import FIBRE
from studio.plan.plan_text import PlanText
from studio.plan.repeat_layout import fit_layout
from studio.plan.settled import Settled, rows_of
from studio.plan.shapes import Worksheet
from studio.plan.shelf import Shelf, ShelfBase
from studio.plan.stand_ins import told
from studio.quantity import show
from studio.tables import nearest

OF_THE_BASE = tuple(
    f for f in FIBRE.fields if not f.decides and (f.key == "base" or f.empty.startswith("base "))
)
"""Keys of [fibre] that say what the shelf says of the base."""
MOST_NAMED = 8
"""Bases that a sentence names. House rule."""

SAME_PIECE = 0.05
"""Relative; a weight this near to that of one piece is one piece. House rule."""
SAME_ROW = 0.005
"""Relative; rows with as much yarn as this are the same. House rule."""


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


def put_base(new: PlanText, before: Settled, base: ShelfBase) -> tuple[str, ...]:
    """Write the base into [fibre] and fit the layout to it; what was assumed, one sentence each.

    Depth stays on the weight of all the fibre: a smaller dyeable part is dyed deeper, and that is said by
    the figures. **Source:** house rule.
    """
    planned = before.plan
    form = base.form or before.form
    notes: tuple[str, ...] = ()
    for field in OF_THE_BASE[1:]:
        new.drop("fibre", field.key)
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


def base_facts(before: tuple[str, Settled], after: tuple[str, Settled]) -> tuple[tuple[str, str, str], ...]:
    """What is another fact, and no figure, on the new base: name, before, after; `-` for what is not known.

    before, after: the text of a plan and the plan settled.
    """
    was, now = (
        [told(field, tomllib.loads(text)["fibre"], settled) or "-" for field in OF_THE_BASE]
        for text, settled in (before, after)
    )
    rows = zip((field.label for field in OF_THE_BASE), was, now, strict=True)
    return tuple((label, old, new) for label, old, new in rows if old != new)


def takes_less(before: Worksheet, after: Worksheet) -> tuple[str, ...]:
    """What another share that takes the dye means for the depth, in a sentence."""
    was, now = (sheet.figure("fibre.dyeable") for sheet in (before, after))
    if was is None or now is None or was.value == now.value:
        return ()
    depth = f", and there it is {show(was.value / now.value, '1')} times as deep" if now.value > 0 else ""
    return (
        f"Depth stays on the weight of all the fibre: {show(now.value, '%')} of it takes the dye instead of "
        f"{show(was.value, '%')}{depth}; {show(100 - now.value, '%')} stays undyed.",
    )


def in_rows(before: Settled, after: Settled) -> tuple[str, ...]:
    """What another blank means for the stripes and their forecast, in a sentence."""
    was, now = _per_row_m(before), _per_row_m(after)
    if was is None or after.plan.knit is None:
        return ()
    if now is None:
        name = clean(after.base.name if after.base else after.form, limit=60)
        return (f"No forecast of rounds can be made of the plan on {name}.",)
    if abs(now / was - 1) <= SAME_ROW:
        return ()
    ratio = show(now / was, "1")
    return (
        f"A row of the blank holds {ratio} times the yarn, and so a stripe of as many rows is {ratio} times as long "
        "when it is knitted; potside forecast shows it.",
    )


def base_notes(base: ShelfBase, dry_g: float) -> list[str]:
    """What is taken over onto another base, one sentence each; dry_g: of all pieces together."""
    name = clean(base.name, limit=60)
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


def _per_row_m(settled: Settled) -> float | None:
    """Metres of each strand in one row of a blank."""
    rows, fibre, base = rows_of(settled), settled.plan.fibre, settled.base
    metres = fibre.yarn_length.value if fibre.yarn_length else base.yarn_length_m if base else None
    strands = fibre.strands or (base.strands if base else None) or 1
    return metres / rows / strands if settled.form == "blank" and rows and metres else None
