"""Rinse rounds: water against fibre, how coloured the water is."""

from __future__ import annotations

from dataclasses import dataclass

from studio.craft.limits import within

STEP_LIMIT_C = 10.0
"""degC between fibre and rinse water (house rule; no published number was found)."""


@dataclass(frozen=True)
class TemperatureStep:
    """`step_c`: water minus fibre. `too_large`: beyond the limit. `low_c`, `high_c`: water that would do.

    **Source:** house rule; see `temperature_step`.
    """

    step_c: float
    too_large: bool
    low_c: float
    high_c: float


def temperature_step(fibre_c: float, water_c: float, limit_c: float = STEP_LIMIT_C) -> TemperatureStep:
    """How far rinse water is from the fibre, and whether that is too far.

    step = water - fibre, too large where |step| > limit

    `fibre_c`, `water_c`: 0 to 100 degC. `limit_c`: 0 to 100 degC.
    Returns `TemperatureStep`, its range cut to 0 to 100 degC.
    Refused (ValueError): outside those ranges.

    >>> temperature_step(38, 15)
    TemperatureStep(step_c=-23, too_large=True, low_c=28.0, high_c=48.0)

    **Source:** that wool is rinsed at its own temperature is common practice (and on suppliers' sheets); the
    10 degC are a house rule.
    Breaks as a promise: rubbing and alkali felt wool as well (common practice).
    """
    within("temperature of the fibre", fibre_c, 0, 100, "degC")
    within("temperature of the water", water_c, 0, 100, "degC")
    within("limit", limit_c, 0, 100, "degC")
    step_c = water_c - fibre_c
    return TemperatureStep(
        step_c, abs(step_c) > limit_c, max(0.0, fibre_c - limit_c), min(100.0, fibre_c + limit_c)
    )


@dataclass(frozen=True)
class Staining:
    """One step of the scale: `grade` 5 (clear) to 1 (dark), `id`, and `words` for what is seen.

    **Source:** house rule; see `STAINING`.
    """

    grade: int
    id: str
    words: str


STAINING = (
    Staining(5, "clear", "A white spoon in it looks as it does in tap water."),
    Staining(4, "breath", "A breath of colour, seen only over white and a hand deep."),
    Staining(3, "tinted", "Plainly tinted, but the bottom of the bowl shows sharp."),
    Staining(2, "coloured", "Strongly coloured; a spoon on the bottom is a dim shape."),
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
