"""Units against what standards bodies publish, and against the definitions of pint."""

from __future__ import annotations

import pytest

from studio.quantity import reading_in
from studio.quantity.pint_units import EVERYDAY, registry
from studio.quantity.reading import parse

EXACT = [
    # NIST Special Publication 811 (2008), appendix B.8, and Handbook 44, appendix C: by definition of the
    # international yard and pound (1959) and the US gallon of 231 cubic inches.
    ("1 in", "length", 2.54),
    ("1 ft", "length", 30.48),
    ("1 yd", "yarn length", 0.9144),
    ("1 lb", "mass", 453.59237),
    ("1 oz", "mass", 28.349523125),
    ("1 gal", "volume", 3785.411784),
    ("1 qt", "volume", 946.352946),
    ("1 pt", "volume", 473.176473),
    ("1 cup", "volume", 236.5882365),
    ("1 fl oz", "volume", 29.5735295625),
    ("1 tbsp", "volume", 14.78676478125),
    ("1 tsp", "volume", 4.92892159375),
    # Weights and Measures Act 1985 (UK), schedule 1: the gallon is 4.546 09 L, a pint an eighth of it.
    ("1 imperial pint", "volume", 568.26125),
    ("1 imperial fl oz", "volume", 28.4130625),
]


@pytest.mark.parametrize(("text", "kind", "wanted"), EXACT)
def test_exact_by_definition(text: str, kind: str, wanted: float) -> None:
    """US units by NIST SP 811, appendix B.8, and NIST Handbook 44, imperial ones by the Weights and Measures Act."""
    assert parse(text, kind).value == wanted


HOUSEHOLD = [
    # NIST Special Publication 430, household weights and measures: the rounded values on the card.
    ("1 tsp", 4.9, 0.05),
    ("1 tbsp", 15.0, 0.5),
    ("1 fl oz", 30.0, 0.5),
    ("1 cup", 237.0, 0.5),
    ("1 pt", 473.0, 0.5),
    ("1 qt", 946.0, 0.5),
]


@pytest.mark.parametrize(("text", "printed", "half_step"), HOUSEHOLD)
def test_household_card_rounds_to_the_same(text: str, printed: float, half_step: float) -> None:
    """Household weights and measures of NIST SP 430, rounded as its card prints them."""
    assert abs(parse(text, "volume").value - printed) <= half_step


# 21 CFR 101.9(b)(5)(viii): on food labels a teaspoon is 5 mL, a tablespoon 15, a cup 240, a fluid ounce 30.
LABEL = [("1 tsp", 5.0), ("1 tbsp", 15.0), ("1 cup", 240.0), ("1 fl oz", 30.0)]


@pytest.mark.parametrize(("text", "label_ml"), LABEL)
def test_label_units_are_within_two_percent_of_ours(text: str, label_ml: float) -> None:
    """The measures of food labels: 21 CFR 101.9."""
    assert parse(text, "volume").value == pytest.approx(label_ml, rel=0.02)


def test_drops_by_the_pharmacopoeia() -> None:
    """USP 32, chapter 1101, medicine dropper: a drop of water weighs 45 to 55 mg, 18.2 to 22.2 drops in 1 mL."""
    assert parse("20 drops", "volume").value == 1.0
    assert 0.045 <= parse("1 drop", "volume").value <= 0.055


ALKALINITY = [
    # CaCO3 is 100.087 g/mol by the IUPAC atomic weights, and takes up two acids: 50.043 mg per meq.
    ("1 meq/L", 50.043, 0.001),
    ("2 mmol/L", 100.087, 0.0015),
    # One German degree is 10 mg/L of CaO (56.077 g/mol): 10 x 100.087 / 56.077.
    ("1 dH", 17.848, 0.001),
    ("1 °dH", 17.848, 0.001),
    # One grain (64.79891 mg) in a US gallon (3.785411784 L).
    ("1 gpg", 17.118, 0.001),
    ("1 grain/gal", 17.118, 0.001),
    ("100 ppm", 100.0, 0.0),
    # A strip's KH is in German degrees; four of them are 4 x 17.848.
    ("4 °dKH", 71.392, 0.004),
    ("4 KH", 71.392, 0.004),
    # One French degree is 10 mg/L of CaCO3, from memory of its definition.
    ("12 °fH", 120.0, 0.0),
    # One Clark degree is a grain (64.79891 mg) in an imperial gallon (4.54609 L: Weights and Measures Act 1985).
    ("1 Clark", 64.79891 / 4.54609, 0.0001),
    ("1 °Clark", 14.254, 0.001),
]


@pytest.mark.parametrize(("text", "wanted_mg_l", "tolerance"), ALKALINITY)
def test_alkalinity(text: str, wanted_mg_l: float, tolerance: float) -> None:
    """Units of alkalinity by definition: IUPAC atomic weights, the grain and gallon of NIST SP 811, and the imperial
    gallon of the Weights and Measures Act."""
    assert parse(text, "alkalinity").value == pytest.approx(wanted_mg_l, abs=tolerance)


TEMPERATURES = [("32 F", 0.0), ("212 F", 100.0), ("-40 F", -40.0), ("185 F", 85.0), ("200 F", 93.3333333333)]


@pytest.mark.parametrize(("text", "wanted_c"), TEMPERATURES)
def test_fahrenheit(text: str, wanted_c: float) -> None:
    """NIST SP 811, appendix B.8: t/degC = (t/degF - 32) / 1.8."""
    assert parse(text, "temperature").value == pytest.approx(wanted_c, abs=1e-9)


@pytest.mark.parametrize(("unit", "base"), EVERYDAY)
def test_everyday_factors_are_those_of_pint(unit: str, base: str) -> None:
    """The definitions of pint, asked past our table that keeps it from being loaded."""
    asked = registry().Quantity(1, unit).to(base).magnitude
    assert EVERYDAY[unit, base] == pytest.approx(asked, rel=1e-15)


AS_READ = [(850.0, "g", "oz", "ounce"), (240.0, "mL", "fl oz", "US_fluid_ounce"), (14.0, "mL", "tsp", "teaspoon"),
           (12.0, "cm", "in", "inch"), (420.0, "m", "yd", "yard"), (1500.0, "m", "ft", "foot")]  # fmt: skip


@pytest.mark.parametrize(("value", "unit", "name", "theirs"), AS_READ)
def test_sizes_that_us_readers_are_told_in(value, unit, name, theirs):
    """Ounces, fluid ounces, teaspoons, inches, yards and feet: the definitions of pint."""
    ours = value / reading_in._SIZES[name]
    assert ours == pytest.approx(registry().Quantity(value, unit).to(theirs).magnitude, rel=1e-12)
