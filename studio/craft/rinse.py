"""Rinse rounds: water against fibre, how coloured the water is, and what it can mean when it stays
coloured.
"""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from studio.craft.limits import within

# Rinse rounds: water against fibre, how coloured the water is.

STEP_LIMIT_C = 10.0
"""degC between fibre and rinse water (house rule; no published number was found)."""


class TemperatureStep(msgspec.Struct, frozen=True):
    """`step_c`: water minus fibre. `too_large`: beyond the limit. `low_c`, `high_c`: water that would do.

    **Source:** house rule; see `temperature_step`.
    """

    step_c: float
    too_large: bool
    low_c: float
    high_c: float


def temperature_step(fibre_c: float, water_c: float) -> TemperatureStep:
    """How far rinse water is from the fibre, and whether that is too far.

    step = water - fibre, too large where |step| > limit

    `fibre_c`, `water_c`: 0 to 100 degC.
    Returns `TemperatureStep`, its range cut to 0 to 100 degC.
    Refused (ValueError): outside those ranges.

    >>> temperature_step(38, 15)
    TemperatureStep(step_c=-23, too_large=True, low_c=28.0, high_c=48.0)

    **Source:** that wool is rinsed at its own temperature is common practice (and on suppliers' sheets); the
    10 degC are a house rule.
    Breaks as a promise: rubbing and alkali felt wool as well (common practice).
    """
    within("temperature of the fibre", fibre_c, 0, 100, "°C")
    within("temperature of the water", water_c, 0, 100, "°C")
    step_c = water_c - fibre_c
    low_c, high_c = max(0.0, fibre_c - STEP_LIMIT_C), min(100.0, fibre_c + STEP_LIMIT_C)
    return TemperatureStep(step_c, abs(step_c) > STEP_LIMIT_C, low_c, high_c)


class Staining(msgspec.Struct, frozen=True):
    """One step of the scale: `grade` 5 (clear) to 1 (dark), its `name`, and `words` for what is seen.

    **Source:** house rule; see `STAINING`.
    """

    grade: int
    name: str
    words: str


STAINING = (
    Staining(5, "clear", "A white spoon in it looks as it does in tap water."),
    Staining(4, "a breath", "A breath of colour, seen only over white and a hand deep."),
    Staining(3, "tinted", "Plainly tinted, but the bottom of the bowl shows sharp."),
    Staining(2, "strong", "Strongly coloured; a spoon on the bottom is a dim shape."),
    Staining(1, "dark", "Dark as the dye bath; a spoon is lost a finger deep."),
)
"""Colour of rinse water, our own words and no standard's grades (house rule). 5 is best, as in grey scales."""
CLEAR_GRADE = 5
"""The grade that counts as clear (house rule)."""


def is_clear(grade: int) -> bool:
    """Whether a rinse of this grade is clear.

    `grade`: 1 to 5, from `STAINING`. Returns true for 5. Refused (ValueError): another number.

    >>> is_clear(5), is_clear(4)
    (True, False)

    **Source:** house rule.
    """
    return checked_grade(grade) >= CLEAR_GRADE


def checked_grade(grade: int) -> int:
    """Give back a grade of the staining scale, 1 to 5; refused (ValueError) otherwise. **Source:** house rule.

    >>> checked_grade(3)
    3
    """
    if grade not in range(1, 6):
        raise ValueError(
            f"The colour of the rinse water is a grade from 1 (dark) to 5 (clear), not {grade!r:.20}."
        )
    return grade


# What it can mean when rinse water stays coloured.

ROUNDS_BEFORE_GUIDANCE = 3
"""Rounds that are not clear before it is asked what is wrong (house rule)."""
DEEPEST_PERCENT = 4.0
"""% on the weight of the fibre: the deepest shade suppliers name, 2 to 4 % (Gaywool Dyes, Depth of shade,
auxiliaries, stock solutions and water ratios, supplier's sheet)."""


class Meaning(msgspec.Struct, frozen=True):
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
        "It may have been hot for too short a time: set it again, and hold it longer.",
        "suppliers' sheets for acid dyes hold 30 min and longer (Earth Guild, US, no year); the rest is common "
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
    to 14; `ph_high`: the highest the dye takes at. `held_min` at the heat; `hold_min` asked for.
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
