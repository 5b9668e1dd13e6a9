"""Where each colour goes: bands of rows on a blank, shares of a skein, and what they come to."""

from __future__ import annotations

from studio.plan.errors import quoted, refuse
from studio.plan.facts import BandFacts
from studio.plan.keys import Keys
from studio.plan.model import ColourPlan, LayoutPlan, PlannedBand
from studio.tables import nearest

MOST_BANDS = 400


def read_layout(keys: Keys, colours: tuple[ColourPlan, ...]) -> LayoutPlan:
    """The order of the bands; a single colour without a layout covers everything."""
    keys.only(("order", "repeat"))
    rows = keys.rows("order")
    if not rows:
        if len(colours) > 1 or "order" in keys:
            raise keys.wrong(
                "order", 'is missing; write order = [ { colour = "rust", rows = 6 }, { bare = 5 } ].'
            )
        return LayoutPlan(order=(PlannedBand(colour=colours[0].name, share_percent=100.0),))
    if len(rows) > MOST_BANDS:
        raise keys.wrong("order", f"has {len(rows)} bands; write at most {MOST_BANDS}, and repeat them.")
    order = tuple(_band(row, [c.name for c in colours]) for row in rows)
    layout = LayoutPlan(order=order, times=_repeat(keys))
    by_share = [band.share_percent is not None for band in order]
    if any(by_share) and not all(by_share):
        raise keys.wrong(
            "order", "mixes rows and shares; write rows in every band, or a share in every band."
        )
    if all(by_share):
        _check_shares(keys, layout)
    for colour in colours:
        if all(band.colour != colour.name for band in order):
            raise keys.wrong(
                "order", f"does not use the colour {quoted(colour.name)}; add a band, or take it out."
            )
    return layout


def _check_shares(keys: Keys, layout: LayoutPlan) -> None:
    total = sum(band.share_percent or 0.0 for band in layout.order)
    if total > 100.5:
        raise keys.wrong(
            "order", f"has shares that sum to {total:g} %; write shares of at most 100 % together."
        )
    if layout.times != 1:
        raise keys.wrong("repeat", "goes with bands of rows; leave it out beside shares.")


def _band(keys: Keys, names: list[str]) -> PlannedBand:
    keys.only(("colour", "rows", "share", "bare"))
    bare = keys.raw("bare")
    if bare is not None:
        if "colour" in keys:
            raise keys.wrong("bare", "and colour say two things; write two bands.")
        share = keys.measure("bare", "share", high=100.0) if isinstance(bare, str) else None
        if "rows" in keys or "share" in keys:
            raise keys.wrong(
                "bare", 'says by itself how wide it is; write { bare = 5 } or { bare = "20 %" }.'
            )
        rows = None if share else keys.whole("bare", 1, 100_000, "5")
        return PlannedBand(colour="", rows=rows, share_percent=None if share is None else share.value)
    name = keys.needed_text("colour", names[0])
    if name not in names:
        near = nearest(name, names)
        hint = f'did you mean "{near}"?' if near else f"the colours are {', '.join(names[:6])}."
        raise keys.wrong("colour", f"names {quoted(name)}, which is no [[colour]] of this plan; {hint}")
    rows = keys.whole("rows", 1, 100_000, "6")
    share = keys.measure("share", "share", high=100.0)
    if (rows is None) == (share is None):
        raise keys.wrong("rows", 'or share must be there, one of the two; write rows = 6 or share = "40 %".')
    return PlannedBand(colour=name, rows=rows, share_percent=None if share is None else share.value)


def _repeat(keys: Keys) -> int | None:
    value = keys.raw("repeat")
    if value is None:
        return 1
    if isinstance(value, str):
        keys.choice("repeat", ("to fill",), "to fill")
        return None
    return keys.whole("repeat", 1, 100_000, '3, or "to fill"')


def shares(layout: LayoutPlan, rows: int | None, *, file: str) -> dict[str, float]:
    """Share (0 to 1) of the fibre under each colour; PlanError where the bands exceed the rows.

    rows: of the blank. Bands of rows are laid in order, `times` over or until the rows are full; the last
    repeat of `to fill` ends where the blank ends.
    """
    if layout.order[0].share_percent is not None:
        found: dict[str, float] = {}
        for band in layout.order:
            found[band.colour] = found.get(band.colour, 0.0) + (band.share_percent or 0.0) / 100.0
        found.pop("", None)
        return found
    if rows is None:
        raise refuse(file, "fibre.rows", "is missing; write the rows of the blank, for example rows = 220.")
    once = sum(band.rows or 0 for band in layout.order)
    laid = once * (layout.times or 1)
    if laid > rows:
        more = f" x {layout.times}" if (layout.times or 1) > 1 else ""
        raise refuse(
            file,
            "layout.order",
            f"needs {once}{more} rows, but the blank has {rows} (fibre.rows); write narrower bands, or fewer of them.",
        )
    counted = _rows_by_colour(layout, rows if layout.times is None else laid)
    return {name: count / rows for name, count in counted.items() if name}


def _rows_by_colour(layout: LayoutPlan, rows: int) -> dict[str, int]:
    """Rows under each colour when the order is laid again and again over so many rows."""
    once = sum(band.rows or 0 for band in layout.order)
    whole, left = divmod(rows, once)
    counted: dict[str, int] = {}
    for band in layout.order:
        wide = band.rows or 0
        part = min(wide, left)
        left -= part
        counted[band.colour] = counted.get(band.colour, 0) + whole * wide + part
    return counted


def laid_bands(layout: LayoutPlan, rows: int | None) -> tuple[BandFacts, ...]:
    """Every band as it lies on the goods, in order; the last of `to fill` ends where the blank ends."""
    if layout.order[0].share_percent is not None:
        return tuple(BandFacts(colour=b.colour, share_percent=b.share_percent) for b in layout.order)
    once = sum(band.rows or 0 for band in layout.order)
    left = (rows or 0) if layout.times is None else once * layout.times
    laid: list[BandFacts] = []
    while left > 0:
        for band in layout.order:
            wide = min(band.rows or 0, left)
            left -= wide
            if wide:
                laid.append(BandFacts(colour=band.colour, rows=wide))
    return tuple(laid)


def in_words(layout: LayoutPlan) -> str:
    """The order as the bench says it: `6 rust, 5 bare, 6 kelp, 5 bare, to fill`."""
    parts = []
    for band in layout.order:
        name = band.colour or "bare"
        parts.append(f"{band.rows} {name}" if band.rows is not None else f"{band.share_percent:g} % {name}")
    if len(parts) > 12:
        parts = [*parts[:11], f"and {len(parts) - 11} more bands"]
    if layout.times is None:
        parts.append("to fill")
    elif layout.times > 1:
        parts.append(f"{layout.times} times")
    return ", ".join(parts)
