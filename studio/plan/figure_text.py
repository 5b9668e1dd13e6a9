"""Numbers as they stand in an equation, and the making of a figure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import msgspec

from studio.plan.shapes import Figure, Origin
from studio.quantity import show

HOUSE = "house rule"
PRACTICE = "common practice"
ARITHMETIC = "arithmetic on the plan's own numbers"
BROADBENT = "A. D. Broadbent, Basic Principles of Textile Coloration, Society of Dyers and Colourists 2001"


def num(value: float) -> str:
    """A number in an equation: four significant digits, no exponent for what a bench meets.

    >>> num(0.5), num(1234.5), num(26.594), num(150.0), num(61480.0)
    ('0.5', '1234', '26.59', '150', '61480')
    """
    if abs(value) >= 1000:
        return f"{value:.0f}"
    return f"{value:.4g}"


def brief(value: float) -> str:
    """A number in a sentence: three significant digits.

    >>> brief(0.39268), brief(1234.5), brief(26.594)
    ('0.393', '1 230', '26.6')
    """
    return show(value, "1")


def fig(
    figure_id: str,
    value: float,
    unit: str,
    label: str,
    because: str,
    origin: Origin,
    source: str = "",
    *,
    low: float | None = None,
    high: float | None = None,
    chosen: float | None = None,
) -> Figure:
    """A figure; where no source is named, the origin is its standing."""
    return Figure(
        id=figure_id,
        value=value,
        unit=unit,
        label=label,
        because=because,
        origin=origin,
        source=source or (ARITHMETIC if origin == "plan" else origin),
        low=low,
        high=high,
        chosen=chosen,
    )


def about(colour: str, figures: Iterable[Figure]) -> Iterator[Figure]:
    """Figures of one colour, by its slug."""
    return (msgspec.structs.replace(figure, of=colour) for figure in figures)


def where_it_lies(value: float, low: float, high: float) -> str:
    """Where a choice lies in a spread.

    >>> where_it_lies(45.0, 30.0, 60.0), where_it_lies(20.0, 30.0, 60.0), where_it_lies(30.0, 30.0, 30.0)
    ('50 % of the way from least to most', 'below the least', 'all that is published')
    """
    near = 1e-9 * max(abs(low), abs(high))
    if value < low - near or value > high + near:
        return "below the least" if value < low else "above the most"
    if high <= low:
        return "all that is published"
    return f"{100 * (value - low) / (high - low):.0f} % of the way from least to most"
