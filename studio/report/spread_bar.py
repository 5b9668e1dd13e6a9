"""A small bar that shows where a plan's choice lies among what is published."""

from __future__ import annotations

from studio.plan.shapes import Figure
from studio.quantity import show_number

CELLS = 16
"""Of the bar, between its ends."""


def spread_bar(figure: Figure, cells: int = CELLS) -> str:
    """The spread from least to most with an `o` where the choice lies; empty for a figure without a choice.

    A choice beyond the spread stands outside the bar.

    >>> told = {"id": "x", "unit": "min", "label": "", "because": "", "origin": "published"}
    >>> spread_bar(Figure(value=30.0, low=30.0, high=60.0, chosen=45.0, **told), cells=5)
    '30 |--o--| 60'
    >>> spread_bar(Figure(value=30.0, low=30.0, high=60.0, chosen=20.0, **told), cells=5)
    'o 30 |-----| 60'
    """
    low, high, chosen = figure.low, figure.high, figure.chosen
    if low is None or high is None or chosen is None or not high > low:
        return ""
    marks = ["-"] * cells
    before = after = ""
    # An end of the spread worked out again may differ from it in its last digit.
    near = 1e-9 * high
    if chosen < low - near:
        before = "o "
    elif chosen > high + near:
        after = " o"
    else:
        share = min(1.0, max(0.0, (chosen - low) / (high - low)))
        marks[round(share * (cells - 1))] = "o"
    least, most = (show_number(end, figure.unit) for end in (low, high))
    return f"{before}{least} |{''.join(marks)}| {most}{after}"
