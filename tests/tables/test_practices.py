"""Published practices: doses by the trade's own measures, times at heat, and how they are found by name."""

from __future__ import annotations

import pytest

from studio.tables.finding import find_dose, find_hold, holds_for
from studio.tables.rows import holds, practice

US_CUP_ML, US_TABLESPOON_ML, POUND_G = 236.588, 14.7868, 453.592
"""NIST Special Publication 811 (2008), appendix B.8."""


@pytest.mark.parametrize(
    ("practice", "ml_to_a_pound"),
    [
        ("vinegar-quarter-cup", US_CUP_ML / 4),
        ("vinegar-one-cup", US_CUP_ML),
        ("vinegar-two-cups", US_CUP_ML * 2),
        ("acetic-56-two-spoons", US_TABLESPOON_ML * 2),
        ("vinegar-reactive-pound", 330.0),
    ],
)
def test_a_dose_to_the_pound_on_a_hundred_grams(practice: str, ml_to_a_pound: float) -> None:
    dose = find_dose(practice)
    assert dose is not None
    assert dose.low == dose.high
    assert dose.low == pytest.approx(ml_to_a_pound / POUND_G * 100, rel=0.001)


def test_two_per_cent_acetic_by_the_millilitre() -> None:
    """10 mL of 2 % on 10 g are 0.2 g of acid; on 100 g 2 g, and 5 % vinegar holds 5 g in 100 mL: 40 mL."""
    dose = find_dose("vinegar-studio")
    assert dose is not None and dose.low == pytest.approx(10 * 0.02 * 10 / 0.05)


HOLDS = {
    # As the suppliers' sheets, the papers and the dyers' pages have them.
    "steam-packet-least": ("steam", 30, 30), "steam-packet-30-45": ("steam", 30, 45),
    "steam-packet-45": ("steam", 45, 45), "steam-packet-turned": ("steam", 45, 45),
    "steam-print-laboratory": ("steam", 30, 30), "steam-print-chamber": ("steam", 45, 60),
    "steam-silk-light": ("steam", 45, 60), "steam-silk-heavy": ("steam", 120, 180),
    "kettle-acid-sheet": ("kettle", 30, 30), "kettle-metal-complex": ("kettle", 30, 45),
    "kettle-union": ("kettle", 30, 40), "kettle-reactive": ("kettle", 30, 60),
    "kettle-at-heat": ("kettle", 30, 60), "kettle-wool-nylon": ("kettle", 60, 60),
}  # fmt: skip


@pytest.mark.parametrize("practice", [*HOLDS])
def test_times_at_heat(practice: str) -> None:
    row = find_hold(practice)
    assert row is not None
    assert (row.method, row.low_min, row.high_min) == HOLDS[practice]


def test_rows_agree_with_themselves() -> None:
    rows = holds()
    assert len({row.id for row in rows}) == len(rows)
    assert {row.method for row in rows} == {"steam", "kettle"}
    for row in rows:
        assert row.low_min <= row.high_min and (row.low_c is None) == (row.high_c is None)
        assert row.id.startswith(row.method)
        if row.low_c is not None and row.high_c is not None:
            assert 80 <= row.low_c <= row.high_c <= 105
        assert (row.standing == "hobby page") == ("hobby page" in row.source)


def test_an_id_a_label_and_the_words_of_a_label_find_the_same() -> None:
    by_id = find_dose("vinegar-one-cup")
    assert by_id is not None
    for written in ("Vinegar one cup", by_id.label, by_id.label.upper(), "1 US cup home dye"):
        assert find_dose(written) is by_id, written
    for row in practice():
        assert find_dose(row.id) is row and find_dose(row.label) is row
    for hold in holds():
        assert find_hold(hold.id) is hold and find_hold(hold.label, hold.method) is hold


@pytest.mark.parametrize("written", ["", "vinegar", "no such thing", "x" * 500, "%", "\x1b[2J"])
def test_what_is_no_one_practice_finds_none(written: str) -> None:
    assert find_dose(written) is None
    assert find_hold(written) is None


def test_a_time_of_one_method_is_not_found_under_another() -> None:
    assert find_hold("kettle-union", "steam") is None
    assert find_hold("kettle-union", "kettle") is not None


def test_silk_is_told_of_where_there_is_silk() -> None:
    wool = holds_for("steam", frozenset({"wool", "polyamide"}))
    silk = holds_for("steam", frozenset({"wool", "silk"}))
    assert {row.id for row in silk} - {row.id for row in wool} == {"steam-silk-light", "steam-silk-heavy"}
