"""Grey scales: order, edges, grades as people write them, lots, refusals."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.craft.fastness import (
    CHANGE_STEPS,
    GRADES,
    STAINING_STEPS,
    grade_of_change,
    grade_of_lots,
    grade_of_staining,
    step_of,
)

DIFFERENCES = st.floats(0, 500)


@pytest.mark.parametrize("steps", [CHANGE_STEPS, STAINING_STEPS])
def test_nine_steps_from_best_to_worst_each_with_words_of_its_own(steps):
    assert [s.grade for s in steps] == ["5", "4-5", "4", "3-4", "3", "2-3", "2", "1-2", "1"]
    assert [s.number for s in steps] == [5, 4.5, 4, 3.5, 3, 2.5, 2, 1.5, 1]
    differences = [s.delta_e for s in steps]
    assert differences == sorted(differences) and differences[0] == 0
    assert len({s.words for s in steps}) == 9 and all(len(s.words) > 15 for s in steps)


@pytest.mark.parametrize(
    ("grade_of", "steps"), [(grade_of_change, CHANGE_STEPS), (grade_of_staining, STAINING_STEPS)]
)
@given(delta_e=DIFFERENCES)
def test_no_other_step_is_nearer(grade_of, steps, delta_e):
    given_step = grade_of(delta_e)
    nearest = min(abs(delta_e - s.delta_e) for s in steps)
    assert abs(delta_e - given_step.delta_e) <= nearest + 1e-6


@pytest.mark.parametrize("grade_of", [grade_of_change, grade_of_staining])
@given(one=DIFFERENCES, more=DIFFERENCES)
def test_a_larger_difference_never_gets_a_better_grade(grade_of, one, more):
    low, high = sorted((one, more))
    assert grade_of(high).number <= grade_of(low).number


def test_the_edge_between_two_steps_goes_to_the_lower_grade():
    """Midway between 0.8 (4-5) and 1.7 (4) is 1.25; a hair less is still 4-5."""
    assert grade_of_change(1.25).grade == "4"
    assert grade_of_change(math.nextafter(1.25, 0)).grade == "4-5"


@pytest.mark.parametrize(
    ("typed", "grade"), [("4-5", "4-5"), (" 4/5", "4-5"), ("4.5", "4-5"), ("3,5", "3-4"), ("5.0", "5")]
)
def test_a_grade_as_people_write_it(typed, grade):
    assert step_of(typed, "change").grade == grade
    assert step_of(typed, "staining").grade == grade


@pytest.mark.parametrize("typed", ["", "0", "6", "4-4", "5-4", "good", "4.2", "nan", "¾"])
def test_what_is_no_grade_is_refused_with_an_example(typed):
    with pytest.raises(ValueError, match="write for example 4-5"):
        step_of(typed, "change")


def test_both_scales_name_the_same_grades():
    assert tuple(s.grade for s in STAINING_STEPS) == GRADES


@pytest.mark.parametrize("wrong", [-0.1, 501.0, math.nan, math.inf])
def test_a_difference_that_cannot_be_is_refused(wrong):
    for grade_of in (grade_of_change, grade_of_staining):
        with pytest.raises(ValueError, match="colour difference must be from 0 to 500"):
            grade_of(wrong)


def test_two_lots_by_hand():
    """dL 1, da -2, db 2: sqrt(1 + 4 + 4) = 3; 3 is nearer to 3.4 than to 2.5, so grade 3, a shade lighter."""
    lots = grade_of_lots((52, 40, 30), (53, 38, 32))
    assert (lots.delta_e, lots.lighter, lots.step.grade) == (pytest.approx(3.0), 1.0, "3")


@given(lab=st.tuples(st.floats(0, 100), st.floats(-128, 127), st.floats(-128, 127)))
def test_a_lot_against_itself_is_grade_5(lab):
    lots = grade_of_lots(lab, lab)
    assert (lots.delta_e, lots.lighter, lots.step.grade) == (0, 0, "5")


@pytest.mark.parametrize("lab", [(50, 0), (150, 0, 0), (50, 300, 0), (50, 0, math.nan)])
def test_a_colour_that_cannot_be_is_refused(lab):
    with pytest.raises(ValueError):
        grade_of_lots((50, 0, 0), lab)
