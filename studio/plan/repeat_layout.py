"""The layout of a repeat on another base: bands keep their rows where they can; else rows or shares are fitted."""

from __future__ import annotations

from collections.abc import Sequence

from studio.plaintext import clean
from studio.plan.layout import shares
from studio.plan.model import Plan, PlannedBand
from studio.plan.plan_text import PlanText
from studio.plan.settled import Settled, rows_of
from studio.plan.shelf import ShelfBase
from studio.quantity import show

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
        new.put("layout", "repeat", fitting)
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
    new.put_bands([_band(b.colour, rows=wide) for b, wide in zip(order, scaled, strict=True)])
    new.drop("layout", "repeat")
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
    bands = [_band(name, share=share) for name, share in found.items() if share > 0]
    if bare > LEAST_LEFT_OVER:
        bands.append(_band("", share=bare))
    new.put_bands(bands)
    new.drop("layout", "repeat")
    if form in WITHOUT_ROWS:
        why = f"{WITHOUT_ROWS[form]} has no rows"
    else:
        why = f"the shelf does not say how many rows {clean(base.name, limit=60)} has"
    told = [f"{clean(name, limit=40)} {show(100 * share, '%')}" for name, share in found.items()]
    if bare > LEAST_LEFT_OVER:
        told.append(f"bare {show(100 * bare, '%')}")
    return (
        f"The bands of rows became shares of the fibre, for {why}: {', '.join(told)}. "
        "Where on the fibre they lie is for you to choose.",
    )


def _band(colour: str, *, rows: int | None = None, share: float | None = None) -> dict[str, str | int]:
    wide: str | int = rows if rows is not None else show(100 * (share or 0.0), "%", 5)
    if not colour:
        return {"bare": wide}
    return {"colour": colour, "rows" if rows is not None else "share": wide}
