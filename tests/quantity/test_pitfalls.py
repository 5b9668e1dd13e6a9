"""Texts that a units library reads wrongly without a word, one row each.

Wanted values are worked out by hand beside the row; US units from NIST Special Publication 811, B.8.
"""

from __future__ import annotations

import pytest

from studio.quantity.kinds import QuantityError
from studio.quantity.reading import parse

CUP = 236.5882365
TSP = 4.92892159375
TBSP = 14.78676478125
FL_OZ = 29.5735295625
OUNCE = 28.349523125

READ = [
    ("1 1/2 cup", "volume", 1.5 * CUP),
    ("1½ cup", "volume", 1.5 * CUP),
    ("½ tsp", "volume", TSP / 2),
    ("1,5 ml", "volume", 1.5),
    ("1 fl oz", "volume", FL_OZ),
    ("1 fl. oz", "volume", FL_OZ),
    ("1 fl. oz.", "volume", FL_OZ),
    ("1 lb 4 oz", "mass", 20 * OUNCE),
    ("1 hour 30 min", "duration", 90.0),
    ("50 m/100 g", "yarn count", 0.5),
    ("1 drop", "volume", 0.05),
    ("1 dash", "volume", TSP / 8),
    ("1 hank", "count", 1.0),
    ("2 skeins", "count", 2.0),
    ("60 stitches", "count", 60.0),
    ("1 metric cup", "volume", 250.0),
    ("1 T", "volume", TBSP),
    ("1 t", "volume", TSP),
    ("1 c", "volume", CUP),
    ("1 C", "volume", CUP),
    ("1 C", "temperature", 1.0),
    ("20 C", "temperature", 20.0),
    ("20 F", "temperature", -20.0 / 3.0),  # (20 - 32) x 5/9
    ("20 degC", "temperature", 20.0),
    ("20 °C", "temperature", 20.0),
    ('4"', "length", 10.16),
    ("1 Tbsp", "volume", TBSP),
    ("1 TBSP", "volume", TBSP),
    ("5%", "share", 5.0),
    ("5 percent", "share", 5.0),
    ("1 oz", "mass", OUNCE),
    ("212 degF", "temperature", 100.0),
]


@pytest.mark.parametrize(("text", "kind", "wanted"), READ)
def test_read_as_people_mean_it(text: str, kind: str, wanted: float) -> None:
    assert parse(text, kind).value == pytest.approx(wanted, rel=1e-12, abs=1e-9)


def test_212_f_is_exactly_100_c() -> None:
    assert parse("212 F", "temperature").value == 100.0


def test_temperatures_subtract_as_plain_numbers() -> None:
    assert parse("98 degC", "temperature").value - parse("20 degC", "temperature").value == 78.0


REFUSED = [
    ("1 pinch", "volume", "no fixed size"),
    ("1 pinch", "mass", "no fixed size"),
    ("4 oz", "volume", "fl oz"),
    ("4 ounces", "volume", "fl oz"),
    ("nan g", "mass", "100 g"),
    ("inf g", "mass", "100 g"),
    ("nan", "count", "12"),
    ("5 Nm", "length", "12 cm"),
    ("5 W/(m*degC)", "power", "1000 W"),
    ("20 degC * 2", "temperature", "85 C"),
    ("20 degC + 20 degC", "temperature", "85 C"),
    ("1 T", "mass", "100 g"),
    ("1 t", "mass", "100 g"),
    ("1 c", "mass", "volume"),
    ("20 C", "mass", "100 g"),
]


@pytest.mark.parametrize(("text", "kind", "says"), REFUSED)
def test_refused_with_a_sentence_and_an_example(text: str, kind: str, says: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse(text, kind)
    sentence = str(caught.value)
    assert says in sentence
    assert "write" in sentence
    assert sentence.endswith('".')
    assert "\n" not in sentence


@pytest.mark.parametrize("text", ["8 GH", "8 °dGH", "8 dGH"])
def test_hardness_is_not_taken_for_alkalinity(text: str) -> None:
    """GH counts calcium and magnesium, alkalinity what neutralises acid."""
    with pytest.raises(QuantityError, match="KH, carbonate hardness or total alkalinity"):
        parse(text, "alkalinity")
