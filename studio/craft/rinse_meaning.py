"""What it can mean when rinse water stays coloured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from studio.craft.limits import within
from studio.craft.rinse import checked_grade, is_clear

ROUNDS_BEFORE_GUIDANCE = 3
"""Rounds that are not clear before it is asked what is wrong (house rule)."""
DEEPEST_PERCENT = 4.0
"""% on the weight of the fibre: the deepest shade suppliers name, 2 to 4 % (Gaywool Dyes, Depth of shade,
auxiliaries, stock solutions and water ratios, supplier's sheet)."""


@dataclass(frozen=True)
class Meaning:
    """What water that stays coloured can mean: `sentence` for the dyer, and its `source`.

    **Source:** in each, see `MEANINGS`.
    """

    sentence: str
    source: str


MEANINGS = {
    "clearing": Meaning(
        "Each round is clearer than the one before: this is loose dye leaving, so rinse on.", "house rule"
    ),
    "too-little-acid": Meaning(
        "There may have been too little acid: measure the pH of the wet fibre, "
        "add acid down to the range of the dye, and set it again.",
        "common practice (acid dyes take in an acid bath)",
    ),
    "too-short": Meaning(
        "It may have been hot for too short a time: wrap it again and hold it longer in rolling steam.",
        "suppliers' sheets for acid dyes hold 30 min and longer (Earth Guild, undated); the rest is common "
        "practice",
    ),
    "too-much-dye": Meaning(
        "There may be more dye than the fibre takes: no second set will bind it; "
        "rinse until clear, and use less next time.",
        "2 to 4 % of the fibre is a deep shade (Gaywool Dyes, Depth of shade, supplier's sheet); the rest is "
        "common practice",
    ),
    "other": Meaning(
        "Acid, time and amount look right: the dye may be of a kind this fibre does not take; "
        "try it on a scrap of plain wool.",
        "common practice",
    ),
}
"""Sentences for the ids of `guidance`."""


def guidance(
    grades: Sequence[int],
    *,
    ph: float | None = None,
    ph_high: float | None = None,
    held_min: float | None = None,
    hold_min: float | None = None,
    depth_percent: float | None = None,
) -> tuple[str, ...]:
    """What rinses that do not clear can mean, likeliest first.

    nothing before three rounds or after a clear one; what the facts show comes first, what they leave open
    next, what they rule out is left away

    `grades`: of each round in order, 1 to 5 (see `STAINING`). `ph`: measured in the bath or the wet fibre, 0
    to 14; `ph_high`: the highest the dye takes at. `held_min` in rolling steam; `hold_min` asked for.
    `depth_percent`: dye on the weight of the fibre, 0 to 100. Leave out what is not known.
    Returns ids of `MEANINGS`; `clearing` leads where each of the last three rounds was clearer, and `other`
    stands alone where all three causes are ruled out.
    Refused (ValueError): outside those ranges.

    >>> guidance([2, 2, 2], ph=6.1, ph_high=4.5, held_min=40, hold_min=30)
    ('too-little-acid', 'too-much-dye')

    **Source:** house rule; each meaning has its own.
    Breaks where two causes meet: a second set with acid and time answers both.
    """
    for grade in grades:
        checked_grade(grade)
    if len(grades) < ROUNDS_BEFORE_GUIDANCE or is_clear(grades[-1]):
        return ()
    seen = {
        "too-little-acid": _more("pH", ph, ph_high, 14),
        "too-short": _more("hold", hold_min, held_min, 10_000),
        "too-much-dye": _more("depth of shade", depth_percent, DEEPEST_PERCENT, 100),
    }
    shown = [name for name, is_so in seen.items() if is_so]
    still_open = [name for name, is_so in seen.items() if is_so is None]
    last = grades[-ROUNDS_BEFORE_GUIDANCE:]
    clearing = ["clearing"] if list(last) == sorted(set(last)) else []
    return tuple(clearing + (shown + still_open or ["other"]))


def _more(what: str, value: float | None, limit: float | None, most: float) -> bool | None:
    """Whether a value is above its limit; nothing where one of them is not known."""
    for number in (value, limit):
        if number is not None:
            within(what, number, 0, most)
    return None if value is None or limit is None else value > limit
