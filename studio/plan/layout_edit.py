"""Changing a layout band by band: pure, and every result is a layout again."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from studio.plan.layout import MOST_BANDS
from studio.plan.model import LayoutPlan, PlannedBand

NEW_ROWS = 6
"""Rows of the first band of a new colour where there is none to go by. House rule."""
NEXT_SHARE = 5.0
"""Per cent by which a band of a share grows or shrinks. House rule."""


def widened(layout: LayoutPlan, index: int, by: int) -> LayoutPlan:
    """One band wider or narrower by rows, or by 5 % where bands are shares; never less than 1 row or 1 %."""
    band = layout.order[index]
    if band.rows is not None:
        return _with(layout, index, msgspec.structs.replace(band, rows=max(1, band.rows + by)))
    share = (band.share_percent or 0.0) + by * NEXT_SHARE
    left = 100.0 - sum(b.share_percent or 0.0 for n, b in enumerate(layout.order) if n != index)
    share = round(max(1.0, min(share, left)), 6)
    return _with(layout, index, msgspec.structs.replace(band, share_percent=share))


def inserted(layout: LayoutPlan, index: int) -> LayoutPlan:
    """A band like that one after it; a band of a share is parted in two."""
    if len(layout.order) >= MOST_BANDS:
        return layout
    band = layout.order[index]
    halves = (band, band)
    if band.share_percent is not None:
        half = msgspec.structs.replace(band, share_percent=band.share_percent / 2)
        halves = (half, half)
    order = (*layout.order[:index], *halves, *layout.order[index + 1 :])
    return msgspec.structs.replace(layout, order=order)


def deleted(layout: LayoutPlan, index: int) -> LayoutPlan:
    """Without that band; the last one stays."""
    if len(layout.order) == 1:
        return layout
    return msgspec.structs.replace(layout, order=(*layout.order[:index], *layout.order[index + 1 :]))


def recoloured(layout: LayoutPlan, index: int, names: Sequence[str], way: int = 1) -> LayoutPlan:
    """The next colour of the plan in that band; after the last one it is bare."""
    circle = [*names, ""]
    now = layout.order[index].colour
    at = circle.index(now) if now in circle else -1
    return _with(
        layout, index, msgspec.structs.replace(layout.order[index], colour=circle[(at + way) % len(circle)])
    )


def filling(layout: LayoutPlan) -> LayoutPlan:
    """Once, to fill, once again: bands of rows only."""
    if layout.order[0].share_percent is not None:
        return layout
    return msgspec.structs.replace(layout, times=None if layout.times is not None else 1)


def with_colour(layout: LayoutPlan, name: str) -> LayoutPlan:
    """A band of a new colour at the end: as wide as the last coloured one, or half of the widest share."""
    if layout.order[0].share_percent is None:
        rows = next((b.rows for b in reversed(layout.order) if b.colour), None) or NEW_ROWS
        return msgspec.structs.replace(layout, order=(*layout.order, PlannedBand(colour=name, rows=rows)))
    taken = sum(b.share_percent or 0.0 for b in layout.order)
    if taken < 99.0:
        share = round(100.0 - taken, 6)
        return msgspec.structs.replace(
            layout, order=(*layout.order, PlannedBand(colour=name, share_percent=share))
        )
    widest = max(range(len(layout.order)), key=lambda n: layout.order[n].share_percent or 0.0)
    parted = inserted(layout, widest)
    return _with(parted, widest + 1, msgspec.structs.replace(parted.order[widest + 1], colour=name))


def without_colour(layout: LayoutPlan, name: str) -> LayoutPlan:
    """Its bands stay bare, so that the others keep their places."""
    bare = tuple(msgspec.structs.replace(b, colour="") if b.colour == name else b for b in layout.order)
    return msgspec.structs.replace(layout, order=bare)


def _with(layout: LayoutPlan, index: int, band: PlannedBand) -> LayoutPlan:
    order = (*layout.order[:index], band, *layout.order[index + 1 :])
    return msgspec.structs.replace(layout, order=order)
