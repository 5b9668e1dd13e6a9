"""Leftover stock and paint: how long to keep it, and how strong it is when it is used again."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from studio.craft.limits import above, liquid_volume, within


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


def days_left(kind: str, age_days: float) -> float:
    """Days a leftover still keeps; below 0 it is past its use-by.

    left = limit - age

    `kind`: a key of `AGE_LIMITS`. `age_days`: since it was mixed (the stock in it, where that is older), 0 to
    36 500.
    Returns days.
    Refused (ValueError): another kind, an age outside that range.

    >>> days_left("paint", 10)
    -3.0

    **Source:** as `use_by_days`.
    Breaks as `use_by_days` does.
    """
    return use_by_days(kind).days - within("age", float(age_days), 0, 36_500, "days")


def strength_now_percent(strength_percent: float, put_away_ml: float, now_ml: float) -> float:
    """Strength of a leftover that has lost water since it was put away.

    strength now = strength x volume put away / volume now

    `strength_percent`: then, 0 to 100 g per 100 mL. `put_away_ml`: at the mark on the jar, above 0 to
    1 000 000 mL. `now_ml`: above 0 to `put_away_ml`.
    Returns g per 100 mL.
    Refused (ValueError): outside those ranges; more in the jar than was put away.

    >>> strength_now_percent(1.0, 250, 200)
    1.25

    **Source:** conservation of mass: the water goes, the dye stays.
    Breaks with a sediment that does not stir up again, and if some was poured out in between.
    """
    within("strength", strength_percent, 0, 100, "%")
    above("volume put away", put_away_ml, 0, 1_000_000, "mL")
    above("volume now", now_ml, 0, put_away_ml, "mL")
    return strength_percent * put_away_ml / now_ml


def pooled_strength_percent(jars: Sequence[tuple[float, float]]) -> float:
    """Strength of several leftovers of one dye poured together.

    strength = sum(volume_i x strength_i) / sum(volume_i)

    `jars`: (mL, g per 100 mL) of each, 0 to 1 000 000 mL and 0 to 100 %, not all empty.
    Returns g per 100 mL. The age of the whole is that of the oldest.
    Refused (ValueError): outside those ranges, nothing in any jar.

    >>> pooled_strength_percent([(100, 1.0), (300, 2.0)])
    1.75

    **Source:** conservation of mass.
    Breaks for different dyes: their strengths add up, their colours do not.
    """
    total_ml = math.fsum(liquid_volume("volume of a leftover", ml) for ml, _ in jars)
    above("volume of all leftovers", total_ml, 0, math.inf, "mL")
    dye = math.fsum(ml * within("strength", percent, 0, 100, "%") for ml, percent in jars)
    return dye / total_ml
