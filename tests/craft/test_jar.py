"""Jars: strength, correction, lot, more of the same."""

from __future__ import annotations

import pytest
from hypothesis import strategies as st

from studio.craft.shade import is_another_lot, lot_difference_percent

grams = st.floats(0.01, 500)
millilitres = st.floats(1, 5000)
percents = st.floats(0.05, 20)


def test_the_lot_limit_is_above_five_per_cent_either_way() -> None:
    assert lot_difference_percent(1.0, 1.12) == pytest.approx(12.0)
    assert lot_difference_percent(1.0, 0.9) == pytest.approx(-10.0)
    # 1.05 - 1 is 0.050000000000000044 in binary; that is no other lot.
    assert not is_another_lot(1.0, 1.05)
    assert not is_another_lot(1.0, 0.95)
    assert is_another_lot(1.0, 1.051)
    assert is_another_lot(1.0, 0.949)


parts = st.lists(st.tuples(st.floats(0, 1000), st.floats(0, 20)), min_size=1, max_size=4)
