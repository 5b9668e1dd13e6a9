"""Grey-scale grades and what each looks like in our own words, and three home tests of fastness."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Literal

import msgspec

from studio.craft.limits import within

# Three home tests of fastness: how each is done, when it is looked at, and on which grey scale. They are
# home tests. The tests of the standards need lamps, adjacent fabrics and rubbing machines of set make,
# and a grade from here is not one from there.

Scale = Literal["change", "staining"]
TestName = Literal["light", "wash", "wet rub"]
Grade = Literal["5", "4-5", "4", "3-4", "3", "2-3", "2", "1-2", "1"]

NOT_THE_STANDARD = "Tested at home, graded by eye; a laboratory tests"


class HomeTest(msgspec.Struct, frozen=True):
    """One test a dyer can do without a laboratory.

    **Source:** `TEST_SOURCE`.
    """

    name: TestName
    days: int
    """From planning it to looking at it."""
    why_then: str
    scales: tuple[Scale, ...]
    """What is graded: change in colour of the dyed piece, staining of undyed cloth."""
    how: str
    standard: str
    """The laboratory's test of the same thing."""


LIGHT = HomeTest(
    name="light",
    days=28,
    why_then="four weeks of daylight are enough to see a weak dye fade (house rule)",
    scales=("change",),
    how=(
        "Wind a strip of the dyed yarn flat on card. Cover one half with foil or thick card, and hang it behind "
        "glass in the window with most sun: a south one, a north one south of the equator. Then uncover it and "
        "lay the two halves beside each other in daylight."
    ),
    standard="ISO 105-B02 (xenon lamp, against blue wools)",
)
WASH = HomeTest(
    name="wash",
    days=7,
    why_then="a week lets the fibre dry through and rest (house rule)",
    scales=("change", "staining"),
    how=(
        "Keep back a piece. Tack another between a piece of undyed wool and one of white cotton. Move it for "
        "30 min in water at 40 °C with a little mild soap, rinse cool, and dry all three apart. Grade the "
        "change against the piece kept, the staining by the worse of the two undyed ones."
    ),
    standard="ISO 105-C06 (domestic and commercial laundering)",
)
WET_RUB = HomeTest(
    name="wet rub",
    days=1,
    why_then="it is rubbed once it is dry: the next day (house rule)",
    scales=("staining",),
    how=(
        "Wet a white cotton cloth and wring it out. Rub it ten times to and fro over the dry dyed piece with a "
        "finger's pressure. Let the cloth dry, and grade its staining beside a clean part of it."
    ),
    standard="ISO 105-X12 (rubbing, dry and wet)",
)
HOME_TESTS = (WET_RUB, WASH, LIGHT)
"""In the order they come due."""


def home_test(name: str) -> HomeTest:
    """The test of that name; `rub`, `wet-rub` and `washing` are understood.

    `name`: as it is written. Refused (ValueError): a name of none of them.

    >>> home_test("Wet-rub").days, home_test("light").scales
    (1, ('change',))

    **Source:** see `TEST_SOURCE`.
    """
    asked = name.strip().casefold().replace("-", " ").replace("_", " ")
    asked = {"rub": "wet rub", "rubbing": "wet rub", "washing": "wash"}.get(asked, asked)
    for test in HOME_TESTS:
        if test.name == asked:
            return test
    raise ValueError(
        f"A follow-up is one of {', '.join(t.name for t in HOME_TESTS)}; write for example wash."
    )


# Grey-scale grades: how far a colour has changed, how far undyed cloth was stained, how two lots differ.
# Nine grades each, from 5 (nothing to be seen) by half grades to 1. A difference is given the grade of
# the nearest step; on the very edge between two it is given the lower one (house rule).

MOST_DIFFERENCE = 500.0
"""CIELAB; beyond what two real colours can differ by (house rule, catches a slipped column)."""

CHANGE_SOURCE = (
    "EN 20105-A02:1994 (ISO 105-A02), clause 2.4: CIELAB difference of each step and its tolerance"
)
STAINING_SOURCE = (
    "the steps of the AATCC staining scale as teaching material gives them (read second-hand; centres and "
    "tolerances worked out from its intervals); that ISO 105-A03 has the same nine is from memory"
)


class GreyStep(msgspec.Struct, frozen=True):
    """One step of a grey scale.

    **Source:** `CHANGE_SOURCE`, `STAINING_SOURCE`.
    """

    grade: Grade
    """`5`, `4-5`, ... `1`."""
    number: float
    """The same as a number, 4.5 for `4-5`."""
    delta_e: float
    """CIELAB difference of the pair of chips."""
    tolerance: float
    """How far a made scale may be off at this step; not the band of differences that get the grade."""
    words: str
    """What the grade looks like, in our own words."""


def _steps(*rows: tuple[Grade, float, float, str]) -> tuple[GreyStep, ...]:
    return tuple(
        GreyStep(grade, 5.0 - n / 2, delta_e, tolerance, words)
        for n, (grade, delta_e, tolerance, words) in enumerate(rows)
    )


CHANGE_STEPS = _steps(
    ("5", 0.0, 0.2, "no change to be seen, even edge to edge with the piece that was kept"),
    ("4-5", 0.8, 0.2, "a change that is only suspected, edge to edge in good light"),
    ("4", 1.7, 0.3, "a slight change, seen edge to edge and missed on its own"),
    ("3-4", 2.5, 0.35, "a small change, seen when the two lie beside each other"),
    ("3", 3.4, 0.4, "a plain change; two skeins like this will not pass for one lot in one piece"),
    ("2-3", 4.8, 0.5, "a strong change, seen at once from across the table"),
    ("2", 6.8, 0.6, "much of the colour is gone or turned; the shade is another one"),
    ("1-2", 9.6, 0.7, "most of the colour is gone or turned"),
    ("1", 13.6, 1.0, "hardly the same colour any more"),
)
"""Change of the dyed piece against a part of it that was kept in the dark, best first; source `CHANGE_SOURCE`."""

STAINING_STEPS = _steps(
    ("5", 0.0, 0.2, "undyed cloth as clean as before"),
    ("4-5", 2.2, 0.3, "a trace of colour, seen only beside clean cloth"),
    ("4", 4.3, 0.3, "a slight tint, seen beside clean cloth and easily missed alone"),
    ("3-4", 6.0, 0.4, "a tint that is seen without looking for it"),
    ("3", 8.5, 0.5, "plainly coloured; wash it apart from anything pale"),
    ("2-3", 12.0, 0.7, "strongly coloured; wash it alone and cold"),
    ("2", 16.9, 1.0, "deeply coloured; more rinsing or another set is needed"),
    ("1-2", 24.0, 1.5, "very deeply coloured; most of what left the fibre is loose dye"),
    ("1", 34.1, 2.0, "nearly as deep as the dyed piece itself"),
)
"""Colour that undyed cloth took up beside the dyed piece, best first; source and its standing in `STAINING_SOURCE`."""

GRADES = tuple(step.grade for step in CHANGE_STEPS)


def grade_of_change(delta_e: float) -> GreyStep:
    """The step of the change scale nearest to a CIELAB difference.

    `delta_e`: CIELAB (1976) difference between what it was and what it is, 0 to 500.
    Returns the step with its grade, 5 best; the lower of two that are equally near.
    Refused (ValueError): outside that range.

    >>> grade_of_change(3.4).grade, grade_of_change(2.0).grade, grade_of_change(40).grade
    ('3', '4', '1')

    **Source:** steps: EN 20105-A02:1994 (ISO 105-A02), clause 2.4; nearest step: house rule. Its edges are the
    half-grade limits we remember for ISO 105-A05 (0.40, 1.25, 2.10, 2.95, 4.10, 5.80, 8.20, 11.60, from memory).
    Breaks for strong colours: ISO 105-A05 grades a modified difference, not the plain one, and an eye judges
    the character of a change besides its size.
    """
    return _nearest(CHANGE_STEPS, delta_e)


def grade_of_staining(delta_e: float) -> GreyStep:
    """The step of the staining scale nearest to a CIELAB difference.

    `delta_e`: CIELAB (1976) difference of undyed cloth before and after it lay against the dyed, 0 to 500.
    Returns the step with its grade, 5 best; the lower of two that are equally near.
    Refused (ValueError): outside that range.

    >>> grade_of_staining(8.5).grade, grade_of_staining(3.0).grade
    ('3', '4-5')

    **Source:** steps of the AATCC staining scale, read second-hand in teaching material; that ISO 105-A03 has
    the same is from memory; nearest step: house rule.
    Breaks between the steps: the scale's own tolerances leave gaps that no standard we read assigns.
    """
    return _nearest(STAINING_STEPS, delta_e)


def _nearest(steps: Sequence[GreyStep], delta_e: float) -> GreyStep:
    within("colour difference", delta_e, 0, MOST_DIFFERENCE)
    for better, worse in pairwise(steps):
        # The edge is rounded as it is written, so that 1.25 itself is on it whatever the floats say.
        if delta_e < round((better.delta_e + worse.delta_e) / 2, 6):
            return better
    return steps[-1]


def step_of(grade: str, scale: Literal["change", "staining"]) -> GreyStep:
    """The step of a grade a person read off a scale.

    `grade`: as it is written, `4-5`; `4/5`, `4.5` and blanks are understood. `scale`: which of the two.
    Refused (ValueError): anything that is none of the nine grades.

    >>> step_of("4/5", "staining").delta_e, step_of(" 3.5 ", "change").grade
    (2.2, '3-4')

    **Source:** see `CHANGE_SOURCE` and `STAINING_SOURCE`.
    """
    steps = CHANGE_STEPS if scale == "change" else STAINING_STEPS
    asked = grade.strip().replace("/", "-").replace(" ", "").replace(",", ".")
    for step in steps:
        if asked in (step.grade, f"{step.number:g}", f"{step.number:.1f}"):
            return step
    raise ValueError(f"A grey-scale grade is one of {', '.join(GRADES)}; write for example 4-5.")


class LotGrade(msgspec.Struct, frozen=True):
    """How far a second lot is off the first, on the scale for change.

    **Source:** `CHANGE_SOURCE`.
    """

    delta_e: float
    lighter: float
    """Lightness L of the second less that of the first; above 0 where it is lighter."""
    step: GreyStep


def grade_of_lots(first: Sequence[float], second: Sequence[float]) -> LotGrade:
    """Two lots of one colour, graded by the steps of the change scale.

    dE = sqrt(dL^2 + da^2 + db^2)

    `first`, `second`: measured L, a, b of the two lots under one light.
    Returns the difference, how much lighter the second is, and the step.
    Refused (ValueError): not three numbers, L outside 0 to 100, a or b outside -200 to 200.

    >>> lots = grade_of_lots((52.0, 40.0, 30.0), (53.0, 38.0, 28.0))
    >>> lots.delta_e, lots.lighter, lots.step.grade
    (3.0, 1.0, '3')

    **Source:** CIELAB difference: ISO/CIE 11664-4 (from memory); steps: EN 20105-A02:1994, clause 2.4.
    Breaks where the two were measured on different cloth or by photographs: the light is then the difference.
    """
    from studio.craft.colour.observer import checked_lab

    one, other = checked_lab(first), checked_lab(second)
    delta_e = math.dist(one, other)
    return LotGrade(delta_e, other[0] - one[0], grade_of_change(min(delta_e, MOST_DIFFERENCE)))
