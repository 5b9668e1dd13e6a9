"""Bands changed by keys: the layout with the chosen one changed, and what is said where nothing is."""

from __future__ import annotations

from collections.abc import Callable

from studio.plan.model import LayoutPlan
from studio.screens.plan.fields import Fields
from studio.screens.plan.rows import BandRow

NO_BANDS = "There are no bands that keys could change; {plan.edit} types them."
ALL_TAKEN = "It cannot be wider: the bands take all of the fibre. Make another narrower first."
NARROWEST = "A band has 1 row or 1 % at least."
MANY_BANDS = "That is as many bands as a plan can have; take one out first, or widen one."
LAST_BAND = "A layout has one band at least; this is its only one."
NO_NAMES = "No colour has a name yet; name one among the colours first."
SHARES_FILL = "Bands that take a share lie once over all of the fibre; only bands of rows are repeated."
NONE_MARKED = "No band was marked; the first one is. The same key again changes it."
FIRST_BAND = 1
"""The row of the first band: the typed line stands above it."""


def changed(fields: Fields, change: Callable[[LayoutPlan, int], LayoutPlan]) -> LayoutPlan | str:
    """The layout with the chosen band changed; a sentence where none is chosen, and then the first one is."""
    row, layout = fields.row(), fields.draft.layout()
    if layout is None:
        return NO_BANDS
    if not isinstance(row, BandRow):
        fields.cursor = FIRST_BAND
        return NONE_MARKED
    return change(layout, row.index)
