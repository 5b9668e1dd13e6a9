"""Rinse rounds and what is left over."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.craft.rinse import MEANINGS, STAINING, guidance, is_clear, temperature_step
from studio.craft.shade import AGE_LIMITS, use_by_days


@pytest.mark.parametrize(
    ("fibre", "water", "step", "too_large"),
    [(38, 28, -10, False), (38, 27.9, -10.1, True), (20, 30.5, 10.5, True), (20, 22, 2, False)],
)
def test_steps_of_temperature(fibre: float, water: float, step: float, too_large: bool) -> None:
    found = temperature_step(fibre, water)
    assert found.step_c == pytest.approx(step)
    assert found.too_large is too_large


def test_water_that_would_do_stays_water() -> None:
    assert (temperature_step(5, 20).low_c, temperature_step(95, 20).high_c) == (0, 100)
    with pytest.raises(ValueError, match="temperature of the water must be from 0 to 100"):
        temperature_step(40, 120)


def test_the_scale_has_five_steps_told_apart() -> None:
    assert [row.grade for row in STAINING] == [5, 4, 3, 2, 1]
    assert len({row.name for row in STAINING}) == len({row.words for row in STAINING}) == 5
    assert [is_clear(row.grade) for row in STAINING] == [True, False, False, False, False]


def test_guidance_waits_for_three_rounds_and_ends_with_a_clear_one() -> None:
    assert guidance([1, 2]) == ()
    assert guidance([1, 2, 3, 5]) == ()
    assert guidance([2, 2, 2]) == ("too-little-acid", "too-short", "too-much-dye")


def test_guidance_puts_what_is_known_first_and_leaves_out_what_is_ruled_out() -> None:
    found = guidance([2, 2, 2], ph=4.0, ph_high=4.5, held_min=22, hold_min=30)
    assert found == ("too-short", "too-much-dye")
    assert guidance([2, 2, 2], depth_percent=5) == ("too-much-dye", "too-little-acid", "too-short")
    ruled_out = guidance([2, 2, 2], ph=4.0, ph_high=4.5, held_min=35, hold_min=30, depth_percent=1.5)
    assert ruled_out == ("other",)


def test_rinses_that_get_clearer_say_so_first() -> None:
    assert guidance([1, 2, 3])[0] == "clearing"
    assert guidance([2, 1, 2, 3])[0] == "clearing"
    assert "clearing" not in guidance([2, 3, 3])
    assert "clearing" not in guidance([3, 2, 1])


@given(
    st.lists(st.integers(1, 5), max_size=6),
    st.none() | st.floats(0, 14),
    st.none() | st.floats(0, 14),
    st.none() | st.floats(0, 200),
    st.none() | st.floats(0, 100),
)
def test_every_id_has_its_sentence(
    grades: list[int], ph: float | None, high: float | None, held: float | None, depth: float | None
) -> None:
    found = guidance(grades, ph=ph, ph_high=high, held_min=held, hold_min=30, depth_percent=depth)
    assert set(found) <= set(MEANINGS)
    assert len(set(found)) == len(found)
    assert bool(found) == (len(grades) >= 3 and grades[-1] != 5)


def test_every_meaning_is_a_sentence_with_a_source() -> None:
    for meaning in MEANINGS.values():
        assert meaning.sentence.endswith(".") and meaning.source


@pytest.mark.parametrize("grade", [0, 6, -1])
def test_grades_off_the_scale_are_refused(grade: int) -> None:
    with pytest.raises(ValueError, match="grade from 1"):
        guidance([3, 3, grade])


def test_published_ages() -> None:
    # Gaywool Dyes: mostly 3 to 6 months, some only 1 to 2 weeks; George Weil: about 6 months.
    assert (use_by_days("stock").days, use_by_days("short-lived stock").days) == (90, 7)
    assert use_by_days("paint").standing == "house rule"
    assert use_by_days("thickened paint").days < use_by_days("paint").days
    assert all(limit.source for limit in AGE_LIMITS.values())
    with pytest.raises(
        ValueError, match="one of stock, short-lived stock, paint, thickened paint, not 'soup'"
    ):
        use_by_days("soup")
