"""Kitchen text to numbers and back: the only place of the program that reads a quantity.

`parse("1 lb 4 oz", "mass")` gives grams, `show(1500.0, "mL")` gives text that `parse` reads again.
pint knows the units; it is imported at the first conversion, never by importing this package.
"""

from __future__ import annotations

from studio.quantity.kinds import KINDS, Quantity, QuantityError, money_text
from studio.quantity.reading import parse, parse_number
from studio.quantity.showing import show, show_number, show_span

__all__ = [
    "KINDS",
    "Quantity",
    "QuantityError",
    "money_text",
    "parse",
    "parse_number",
    "show",
    "show_number",
    "show_span",
]
