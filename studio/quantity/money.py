"""Money as it is shown: rounded once, at the end, to the smallest coin of its currency."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_EVEN, Decimal

USUAL_DIGITS = 2
MINOR_DIGITS = {
    **dict.fromkeys(
        ("BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "UYI", "VND", "VUV"), 0
    ),
    **dict.fromkeys(("XAF", "XOF", "XPF"), 0),
    **dict.fromkeys(("BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"), 3),
}
"""Digits of the smallest coin where they are not two: ISO 4217:2015, list of currencies (from memory)."""


def money_text(value: float, currency: str = "", *, named: bool = True) -> str:
    """The amount with its currency, thousands set off by a space.

    value: finite, in units of the currency; currency: an ISO 4217 code or any short word, may be empty;
    named: whether the text says it.
    Half a cent goes to the even cent, so that rounding favours neither buyer nor seller; sums are made of
    what was not rounded. ValueError for a value that is not finite.

    >>> money_text(0.125, "EUR"), money_text(0.135, "EUR"), money_text(1234.5, "EUR"), money_text(1234.5, "JPY")
    ('0.12 EUR', '0.14 EUR', '1 234.50 EUR', '1 234 JPY')

    **Source:** ISO 4217 (digits); half to even: IEEE 754-2019, 4.3.1, roundTiesToEven.
    """
    if not math.isfinite(value):
        raise ValueError("Only a finite amount of money can be shown.")
    digits = MINOR_DIGITS.get(currency.upper(), USUAL_DIGITS)
    # From the shortest text of the float, so that 0.135 is half a cent as the eye expects.
    exact = Decimal(repr(value)).quantize(Decimal(1).scaleb(-digits), rounding=ROUND_HALF_EVEN)
    shown = f"{exact:,f}".replace(",", " ")
    return f"{shown} {currency}" if currency and named else shown
