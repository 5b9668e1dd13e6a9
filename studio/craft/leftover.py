"""Leftover stock and paint: how long to keep it, and how strong it is when it is used again."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class AgeLimit:
    """How long a leftover is kept: `days` to use it by, `longest_days` anybody names, and the `source`.

    `standing`: `published` where `days` is a source's own figure, `house rule` where we chose it.

    **Source:** in each, see `AGE_LIMITS`.
    """

    days: float
    longest_days: float
    source: str
    standing: str


WEIL = "George Weil, Dye recipes using acid dyes (supplier's page, undated): about 6 months"
GAY = (
    "Gaywool Dyes, Depth of shade, auxiliaries, stock solutions and water ratios (supplier's sheet, undated): "
    "mostly 3 to 6 months away from light, some only 1 to 2 weeks"
)

AGE_LIMITS = {
    "stock": AgeLimit(
        90.0, 180.0, f"{GAY}; {WEIL}; a month counted as 30 days, the shorter figure taken", "published"
    ),
    "short-lived stock": AgeLimit(7.0, 14.0, f"{GAY}; the shorter figure taken", "published"),
    "paint": AgeLimit(
        7.0,
        14.0,
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
