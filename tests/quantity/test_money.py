"""Money as it is shown."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.quantity.kinds import money_text


@pytest.mark.parametrize(
    ("value", "currency", "shown"),
    [
        # Half to even, from what the float is written as: IEEE 754-2019, 4.3.1.
        (0.005, "EUR", "0.00 EUR"),
        (0.015, "EUR", "0.02 EUR"),
        (2.675, "EUR", "2.68 EUR"),
        (-0.125, "EUR", "-0.12 EUR"),
        (1234567.891, "GBP", "1 234 567.89 GBP"),
        # Smallest coins by ISO 4217: none below the yen, a thousandth of a dinar.
        (1999.5, "JPY", "2 000 JPY"),
        (1.2345, "KWD", "1.234 KWD"),
        (12.0, "", "12.00"),
        (12.0, "shells", "12.00 shells"),
    ],
)
def test_shown(value: float, currency: str, shown: str) -> None:
    assert money_text(value, currency) == shown


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_what_is_no_amount_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="finite"):
        money_text(value, "EUR")


@given(cents=st.integers(-(10**9), 10**9))
def test_whole_cents_are_shown_exactly(cents: int) -> None:
    shown = money_text(cents / 100).replace(" ", "")
    assert Decimal(shown) == (Decimal(cents) / 100).quantize(Decimal("0.01"), rounding=ROUND_HALF_EVEN)
