"""A repeat on another base: what the shelf knows of it goes into [fibre], and the layout is fitted to it."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence

from studio.plaintext import clean
from studio.plan.draft.edits import write_layout
from studio.plan.draft.field_text import told
from studio.plan.errors import PlanError, quoted
from studio.plan.fields import FIBRE
from studio.plan.layout import shares
from studio.plan.model import LayoutPlan, Plan, PlannedBand
from studio.plan.settled import Settled, of_piece, rows_of, yarn_m_of
from studio.plan.shapes import Worksheet
from studio.plan.shelf import Shelf, ShelfBase, entry_called
from studio.plan.text import PlanText
from studio.quantity.showing import show
from studio.tables.finding import nearest

# The layout of a repeat on another base: bands keep their rows where they can; else rows or shares are
# fitted.

LEAST_LEFT_OVER = 0.005
"""A share of the fibre smaller than this is not worth a word. House rule."""

WITHOUT_ROWS = {"skein": "a skein", "loose": "loose fibre", "cloth": "cloth"}


def fit_layout(new: PlanText, planned: Plan, before: Settled, base: ShelfBase, form: str) -> tuple[str, ...]:
    """Change [layout] where it cannot stand on `base`; what was done, one sentence each.

    Rows of a blank: bands keep their rows, for a dyer measures a stripe in rows. `to fill` fills the new
    rows; a counted repeat is laid as often as it fits; an order that does not fit once is narrowed in
    proportion. On what has no rows, the bands become the shares of the fibre they were. **Source:** house rule.
    """
    order, times = planned.layout.order, planned.layout.times
    if order[0].share_percent is not None:
        if form == "blank" and before.form != "blank" and len(order) > 1:
            return (
                "The shares of the fibre stand; write the bands as rows in [layout] where stripes are meant.",
            )
        return ()
    old_rows = rows_of(before)
    if old_rows is None:
        return ()
    if form != "blank" or base.rows is None:
        return _as_shares(new, planned, before, old_rows, base, form)
    once = sum(band.rows or 0 for band in order)
    if once > base.rows:
        return _narrowed(new, order, once, base)
    if times is None:
        return _filled(old_rows, once, base.rows)
    return _counted(new, times, once, old_rows, base.rows)


def _filled(old_rows: int, once: int, rows: int) -> tuple[str, ...]:
    if rows == old_rows:
        return ()
    return (
        f"Every band keeps its rows; the order of {once} rows fills {rows} rows now, "
        f"{show(rows / once, '1')} times instead of {show(old_rows / once, '1')}.",
    )


def _counted(new: PlanText, times: int, once: int, old_rows: int, rows: int) -> tuple[str, ...]:
    if rows == old_rows:
        return ()
    fitting = min(times, rows // once)
    if fitting < times:
        new.write("layout", None, "repeat", fitting)
    laid = (
        f"laid {fitting} times instead of {times}" if fitting < times else f"laid {_often(times)} as before"
    )
    bare = rows - fitting * once
    before = f"{old_rows - times * once} of {old_rows} before"
    return (
        f"Every band keeps its rows; the order of {once} rows is {laid} and leaves {bare} of {rows} rows bare "
        f'({before}); write repeat = "to fill" where they are to be dyed.',
    )


def _often(times: int) -> str:
    return "once" if times == 1 else f"{times} times"


def _narrowed(new: PlanText, order: Sequence[PlannedBand], once: int, base: ShelfBase) -> tuple[str, ...]:
    """The order scaled to the rows, every band at least one row, laid once."""
    rows = base.rows or 0
    scaled = scaled_rows([band.rows or 0 for band in order], rows)
    if scaled is None:
        return ()  # More bands than rows: the plan is refused when it is read, in the layout's own words.
    bands = (PlannedBand(colour=b.colour, rows=wide) for b, wide in zip(order, scaled, strict=True))
    write_layout(new, LayoutPlan(order=tuple(bands)))
    return (
        f"The order of {once} rows does not fit on the {rows} rows of {clean(base.name, limit=60)}: "
        f"its bands are narrowed in proportion, to {show(rows / once, '1')} of their rows, and laid once.",
    )


def scaled_rows(widths: Sequence[int], rows: int) -> list[int] | None:
    """Whole rows in proportion to `widths`, at least 1 each, `rows` in all; None where there are too few rows.

    What rounding down leaves goes to the bands that lost most (largest remainder).

    >>> scaled_rows([30, 20, 50], 50), scaled_rows([98, 1, 1], 10), scaled_rows([1, 1], 1)
    ([15, 10, 25], [8, 1, 1], None)
    """
    if rows < len(widths):
        return None
    exact = [w * rows / sum(widths) for w in widths]
    whole = [max(1, int(e)) for e in exact]
    for index in sorted(range(len(widths)), key=lambda i: exact[i] - whole[i], reverse=True):
        if sum(whole) >= rows:
            break
        whole[index] += 1
    while sum(whole) > rows:
        # The least row of narrow bands is taken from those that lie furthest above their part.
        spare = [i for i in range(len(whole)) if whole[i] > 1]
        whole[max(spare, key=lambda i: (whole[i] - exact[i], whole[i]))] -= 1
    return whole


def _as_shares(
    new: PlanText, planned: Plan, before: Settled, old_rows: int, base: ShelfBase, form: str
) -> tuple[str, ...]:
    found = shares(planned.layout, old_rows, file=planned.file)
    bare = 1.0 - sum(found.values())
    left = {"": bare} if bare > LEAST_LEFT_OVER else {}
    bands = (
        PlannedBand(colour=name, share_percent=float(f"{100 * share:.5g}"))
        for name, share in (*found.items(), *left.items())
        if share > 0
    )
    write_layout(new, LayoutPlan(order=tuple(bands)))
    if form in WITHOUT_ROWS:
        why = f"{WITHOUT_ROWS[form]} has no rows"
    else:
        why = f"the shelf does not say how many rows {clean(base.name, limit=60)} has"
    told = [f"{clean(name, limit=40)} {show(100 * share, '%')}" for name, share in found.items()]
    if bare > LEAST_LEFT_OVER:
        told.append(f"bare {show(100 * bare, '%')}")
    return (
        f"The bands of rows became shares of the fibre, for {why}: {', '.join(told)}. "
        "You choose where on the fibre they lie.",
    )


OF_THE_BASE = tuple(
    f for f in FIBRE.fields if not f.decides and (f.key == "base" or (f.empty and f.empty.of == "base"))
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
    if base := entry_called(shelf.bases, name):
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
        new.erase("fibre", None, field.key)
    new.write("fibre", None, "base", base.name)
    if not base.form:
        new.write("fibre", None, "form", before.form)
        notes += (f"The shelf does not say what form {clean(base.name, limit=60)} has: {form}, as before.",)
    if planned.fibre.circumference is not None:
        if form == "skein":
            round_it = show(planned.fibre.circumference.value, "cm")
            notes += (f"The skein is taken to be wound {round_it} round, as before.",)
        else:
            new.erase("fibre", None, "circumference")
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
    return (
        f"Depth is on the fibre that takes the dye: {show(now.value, '%')} of the blend instead of "
        f"{show(was.value, '%')}, as deep as before; {show(100 - now.value, '%')} stays undyed.",
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
    rows, metres, strands = rows_of(settled), yarn_m_of(settled), of_piece(settled, "strands") or 1
    return metres / rows / strands if settled.form == "blank" and rows and metres else None
