"""What stands in a jar: how strong it is, when two jars are two lots, how long to keep it."""

from __future__ import annotations

from dataclasses import dataclass

from studio.craft.limits import above, within

# What really stands in a jar: its strength, and when two jars are two lots.

LOT_LIMIT_PERCENT = 5.0
"""% by which two jars of one colour may differ in strength and still be one lot (house rule)."""
_ROUNDING = 1e-9
"""Relative; a last-bit error is not a weak jar and not another lot."""


def lot_difference_percent(strength_a: float, strength_b: float) -> float:
    """How much stronger (or, below 0, weaker) the second jar of a colour is than the first.

    difference = 100 x (b - a) / a

    `strength_a`: of the first jar, above 0 to 100 g per 100 mL. `strength_b`: of the second, 0 to 100.
    Returns % of the first strength.
    Refused (ValueError): outside those ranges.

    >>> lot_difference_percent(2.0, 2.1)
    5.0

    **Source:** house rule (the first jar is the lot the second has to match).
    Breaks as a forecast of colour: how far a difference shows depends on the depth and the hue.
    """
    above("strength of the first jar", strength_a, 0, 100, "%")
    within("strength of the second jar", strength_b, 0, 100, "%")
    return 100.0 * (strength_b - strength_a) / strength_a


def is_another_lot(strength_a: float, strength_b: float, limit_percent: float = LOT_LIMIT_PERCENT) -> bool:
    """Whether two jars differ so much that what they dye should be kept apart.

    |difference| > limit

    `strength_a`, `strength_b`: as in `lot_difference_percent`. `limit_percent`: 0 to 100 %.
    Returns true above the limit; exactly at it the jars are one lot.
    Refused (ValueError): outside those ranges.

    >>> is_another_lot(2.0, 2.1), is_another_lot(2.0, 2.2)
    (False, True)

    **Source:** house rule, `LOT_LIMIT_PERCENT`.
    Breaks as `lot_difference_percent` does.
    """
    within("lot limit", limit_percent, 0, 100, "%")
    return abs(lot_difference_percent(strength_a, strength_b)) > limit_percent + 100.0 * _ROUNDING


# Leftover stock and paint: how long to keep it, and how strong it is when it is used again.


@dataclass(frozen=True)
class AgeLimit:
    """How long a leftover is kept: `days` to use it by, and the `source`.

    `standing`: `published` where `days` is a source's own figure, `house rule` where we chose it.

    **Source:** in each, see `AGE_LIMITS`.
    """

    days: float
    source: str
    standing: str


WEIL = "George Weil, Dye recipes using acid dyes (supplier's page, undated): about 6 months"
GAY = (
    "Gaywool Dyes, Depth of shade, auxiliaries, stock solutions and water ratios (supplier's sheet, undated): "
    "mostly 3 to 6 months away from light, some only 1 to 2 weeks"
)

AGE_LIMITS = {
    "stock": AgeLimit(
        90.0, f"{GAY}; {WEIL}; a month counted as 30 days, the shorter figure taken", "published"
    ),
    "short-lived stock": AgeLimit(7.0, f"{GAY}; the shorter figure taken", "published"),
    "paint": AgeLimit(
        7.0,
        "no published figure for mixed or thickened paint; kept like the shortest-lived stock",
        "house rule",
    ),
}
"""By kind: `stock` (dye and water), `short-lived stock` (a dye known to spoil), `paint` (mixed for painting, with
acid or thickener)."""


def use_by_days(kind: str) -> AgeLimit:
    """How many days a kind of leftover is kept, with the source.

    `kind`: a key of `AGE_LIMITS`.
    Returns `AgeLimit`.
    Refused (ValueError): another kind.

    >>> use_by_days("stock").days
    90.0

    **Source:** in the answer.
    Breaks for a jar that smells, has mould on it or was not kept cool and dark: age is not all.
    """
    if kind not in AGE_LIMITS:
        raise ValueError(f"A leftover is one of {', '.join(AGE_LIMITS)}, not {kind!r:.40}.")
    return AGE_LIMITS[kind]
