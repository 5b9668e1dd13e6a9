"""Room for paint in squeezed fibre, and whether the paint reaches."""

from __future__ import annotations

import pytest

from studio.craft.liquor import reach


def test_paint_that_does_not_reach_by_hand() -> None:
    # 45 mL on 30 rows is 1.5 mL a row; 40 bare rows need 60 mL, 48 mL are left: 12 short.
    found = reach(used_ml=45, painted_rows=30, bare_rows=40, left_ml=48)
    assert (found.rate_ml, found.needed_ml, found.short_ml) == pytest.approx((1.5, 60, 12))
    assert not found.reaches


def test_paint_that_just_reaches() -> None:
    # 0.1 mL a row, three rows: 0.30000000000000004 mL in binary, 0.3 mL left. It reaches.
    found = reach(used_ml=0.1, painted_rows=1, bare_rows=3, left_ml=0.3)
    assert found.reaches and found.short_ml == 0


def test_shares_serve_as_rows() -> None:
    found = reach(used_ml=20, painted_rows=0.4, bare_rows=0.6, left_ml=40)
    assert found.needed_ml == pytest.approx(30) and found.reaches


def test_nothing_painted_yet_has_no_rate() -> None:
    with pytest.raises(ValueError, match="volume used so far must be more than 0"):
        reach(used_ml=0, painted_rows=4, bare_rows=3, left_ml=10)
    with pytest.raises(ValueError, match="rows painted must be more than 0"):
        reach(used_ml=4, painted_rows=0, bare_rows=3, left_ml=10)
