"""Bands of rows and shares: what each colour covers."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.plan.errors import PlanError
from studio.plan.layout import in_words, shares
from studio.plan.model import LayoutPlan, PlannedBand

STRIPES = (
    PlannedBand(colour="rust", rows=6),
    PlannedBand(colour="", rows=5),
    PlannedBand(colour="kelp", rows=6),
    PlannedBand(colour="", rows=5),
)


@pytest.mark.parametrize(
    ("rows", "times", "rust", "kelp"),
    [
        # 22 rows once, on 220: 6 / 220.
        (220, 1, 6 / 220, 6 / 220),
        # Ten times 22 fill 220 exactly.
        (220, None, 60 / 220, 60 / 220),
        (220, 10, 60 / 220, 60 / 220),
        # 4 x 22 = 88, 12 rows left: 6 rust, 5 bare, 1 kelp.
        (100, None, 30 / 100, 25 / 100),
        (100, 3, 18 / 100, 18 / 100),
        # Exactly one order.
        (22, None, 6 / 22, 6 / 22),
    ],
)
def test_shares_of_rows(rows: int, times: int | None, rust: float, kelp: float) -> None:
    found = shares(LayoutPlan(order=STRIPES, times=times), rows, file="p")
    assert found == {"rust": pytest.approx(rust), "kelp": pytest.approx(kelp)}


@pytest.mark.parametrize(("rows", "times"), [(21, 1), (21, None), (43, 2)])
def test_bands_that_exceed_the_rows_are_refused(rows: int, times: int | None) -> None:
    with pytest.raises(PlanError, match=r"layout\.order needs 22"):
        shares(LayoutPlan(order=STRIPES, times=times), rows, file="p")


def test_shares_of_a_skein_add_up_by_colour() -> None:
    order = (
        PlannedBand(colour="rust", share_percent=40.0),
        PlannedBand(colour="", share_percent=20.0),
        PlannedBand(colour="rust", share_percent=30.0),
    )
    assert shares(LayoutPlan(order=order), None, file="p") == {"rust": pytest.approx(0.7)}


@given(
    st.lists(st.tuples(st.sampled_from(("rust", "kelp", "")), st.integers(1, 30)), min_size=1, max_size=12),
    st.integers(1, 500),
)
def test_filling_lays_every_row_once(bands: list[tuple[str, int]], rows: int) -> None:
    """The oracle paints the blank row by row."""
    order = tuple(PlannedBand(colour=name, rows=wide) for name, wide in bands)
    painted = [name for name, wide in bands for _ in range(wide)]
    layout = LayoutPlan(order=order, times=None)
    if len(painted) > rows:
        with pytest.raises(PlanError):
            shares(layout, rows, file="p")
        return
    laid = (painted * (rows // len(painted) + 1))[:rows]
    expected = {name: laid.count(name) / rows for name in ("rust", "kelp") if name in painted}
    assert shares(layout, rows, file="p") == pytest.approx(expected)


def test_in_words() -> None:
    assert (
        in_words(LayoutPlan(order=STRIPES, times=None))
        == "6 rows rust, 5 bare, 6 kelp, 5 bare, repeated to the end"
    )
    assert in_words(LayoutPlan(order=STRIPES[:2], times=3)) == "6 rows rust, 5 bare, 3 times"
    assert in_words(LayoutPlan(order=(PlannedBand(colour="slate", share_percent=40.0),))) == "40 % slate"
