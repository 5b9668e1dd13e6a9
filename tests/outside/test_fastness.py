"""Grey scales against the table of the standard, the instrumental formula of ISO 105-A05, and colour-science."""

from __future__ import annotations

import math
import warnings

import pytest

from studio.craft.fastness import (
    STAINING_STEPS,
    grade_of_change,
    grade_of_lots,
    grade_of_staining,
)

A02 = (
    ("5", 0.0, 0.2),
    ("4-5", 0.8, 0.2),
    ("4", 1.7, 0.3),
    ("3-4", 2.5, 0.35),
    ("3", 3.4, 0.4),
    ("2-3", 4.8, 0.5),
    ("2", 6.8, 0.6),
    ("1-2", 9.6, 0.7),
    ("1", 13.6, 1.0),
)
"""EN 20105-A02:1994, clause 2.4: grade, CIELAB difference, tolerance."""

A05_LIMITS = (0.40, 1.25, 2.10, 2.95, 4.10, 5.80, 8.20, 11.60)
"""ISO 105-A05, half-grade limits (from memory): below the first 5, below the next 4-5, and so on."""

AATCC_STAINING = (
    ("5", 0.0, 0.2),
    ("4-5", 1.9, 2.5),
    ("4", 4.0, 4.6),
    ("3-4", 5.6, 6.4),
    ("3", 8.0, 9.0),
    ("2-3", 11.3, 12.7),
    ("2", 15.9, 17.9),
    ("1-2", 22.5, 25.5),
    ("1", 32.1, 36.1),
)
"""Intervals of the gray scale for staining, AATCC Evaluation Procedure 2 (second hand): grade, least, most."""


@pytest.mark.parametrize(("grade", "delta_e", "tolerance"), A02)
def test_every_step_of_the_change_scale(grade, delta_e, tolerance):
    """EN 20105-A02:1994, clause 2.4: each grade, its difference and its tolerance."""
    step = grade_of_change(delta_e)
    assert (step.grade, step.delta_e, step.tolerance) == (grade, delta_e, tolerance)


@pytest.mark.parametrize(("grade", "delta_e", "tolerance"), A02)
def test_a_scale_within_its_tolerance_still_reads_its_own_grade(grade, delta_e, tolerance):
    """Any grey scale that EN 20105-A02:1994 lets pass, graded by its own difference."""
    assert grade_of_change(max(0.0, delta_e - tolerance)).grade == grade
    assert grade_of_change(delta_e + tolerance).grade == grade


def test_nearest_step_has_the_half_grade_limits_of_a05():
    """ISO 105-A05 (from memory): where one half grade gives way to the next."""
    for worse, limit in zip(A02[1:], A05_LIMITS, strict=True):
        assert grade_of_change(limit).grade == worse[0]
        assert grade_of_change(limit - 0.01).number == grade_of_change(limit).number + 0.5


def a05_grade(delta_e_f: float) -> float:
    """EN ISO 105-A05:1997, clause 8 (second hand: two public implementations agree on it)."""
    if delta_e_f <= 3.4:
        return 5 - delta_e_f / 1.7
    return max(1.0, 5 - math.log10(delta_e_f / 0.85) / math.log10(2))


def test_never_more_than_a_quarter_grade_from_the_formula_of_a05():
    """For neutral pairs EN ISO 105-A05:1997 grades the plain difference; bands and formula differ by hundredths at
    the edges."""
    for delta_e in (hundredths / 100 for hundredths in range(0, 1400, 7)):
        told = grade_of_change(delta_e).number
        assert told == pytest.approx(a05_grade(delta_e), abs=0.25 + 0.03), delta_e


@pytest.mark.parametrize(("grade", "least", "most"), AATCC_STAINING)
def test_every_interval_of_the_staining_scale(grade, least, most):
    """AATCC Evaluation Procedure 2: both ends and the middle of each interval are that grade."""
    for delta_e in (least, (least + most) / 2, most):
        assert grade_of_staining(delta_e).grade == grade


@pytest.mark.parametrize(("row", "step"), list(zip(AATCC_STAINING[1:], STAINING_STEPS[1:], strict=True)))
def test_centres_and_tolerances_come_of_the_intervals(row, step):
    """AATCC Evaluation Procedure 2: the difference told for a grade, less and more its tolerance."""
    _, least, most = row
    assert (step.delta_e - step.tolerance, step.delta_e + step.tolerance) == pytest.approx((least, most))


@pytest.mark.deep
def test_a_lot_difference_as_another_library_has_it():
    """The CIELAB difference of two colours of two lots, by colour-science."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        colour = pytest.importorskip("colour")
    first, second = (52.3, 41.7, 30.2), (49.8, 44.1, 27.5)
    theirs = float(colour.delta_E(first, second, method="CIE 1976"))
    assert grade_of_lots(first, second).delta_e == pytest.approx(theirs, rel=1e-9)
