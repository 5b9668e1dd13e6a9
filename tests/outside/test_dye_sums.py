"""Dye, stock, regain, liquor and drops against figures printed by others. The source stands in each row."""

from __future__ import annotations

import pytest

from studio.craft import liquor, shade
from studio.methods.put_on.bath_work import RATIO_HIGH, RATIO_LOW
from studio.methods.set_by import bath_work
from studio.plan.work.cautions import PALE_PERCENT
from studio.quantity.reading import parse
from studio.tables.rows import fibres, practice

WILEY = "Wiley, Determining the depth of your dye shade"
GAYWOOL = "Gaywool Dyes, Depth of shade"
BROADBENT = "Broadbent, Basic Principles of Textile Coloration"
BURCH = "Burch, All About Hand Dyeing"


@pytest.mark.parametrize(
    ("fibre_g", "depth", "stock", "expected_ml", "tolerance_ml", "source"),
    [
        (454, 1, 1, 454, 1e-9, WILEY),
        (454, 2, 1, 908, 1e-9, WILEY),
        (454, 0.1, 1, 45.4, 1e-9, WILEY),
        (454, 0.1, 0.1, 454, 1e-9, WILEY),
    ],
)
def test_stock_for_a_depth(fibre_g, depth, stock, expected_ml, tolerance_ml, source):
    """Worked examples in print: so many mL of a stock for a depth on a weight."""
    assert shade.stock_ml(fibre_g, depth, stock) == pytest.approx(expected_ml, abs=tolerance_ml), source


@pytest.mark.parametrize(
    ("fibre_g", "depth", "expected_g", "source"),
    [
        (125, 2, 2.5, GAYWOOL + ", example 1"),
        (300, 3, 9, GAYWOOL + ", example 2"),
        (100, 1, 1, BROADBENT + ", p. 22"),
        (454, 0.85, 3.859, BURCH),
        (454, 0.1, 0.454, BURCH),
        (454, 0.05, 0.227, BURCH),
    ],
)
def test_powder_for_a_depth(fibre_g, depth, expected_g, source):
    """Worked examples in print: so many grams of dye for a depth on a weight."""
    assert shade.dye_g(fibre_g, depth) == pytest.approx(expected_g, abs=0.001), source


def test_three_dyes_in_one_colour():
    """0.85 + 0.10 + 0.05 % on 200 g are 1.7, 0.2 and 0.1 g of dye, 170, 20 and 10 mL of 1 % stocks: Burch, All About
    Hand Dyeing."""
    stocks = [shade.stock_ml(200, depth, 1) for depth in (0.85, 0.10, 0.05)]
    assert stocks == pytest.approx((170, 20, 10), abs=0.1)
    assert [shade.dye_in_stock_g(ml, 1) for ml in stocks] == pytest.approx([1.7, 0.2, 0.1], abs=0.001)


@pytest.mark.parametrize(("dye_g", "volume_ml"), [(10, 1000), (5, 500), (2, 200), (1, 100)])
def test_one_per_cent_solutions(dye_g, volume_ml):
    """Each of these is printed as a 1 % solution: Ashford, Learn to dye."""
    assert shade.dye_in_stock_g(volume_ml, 1) == pytest.approx(dye_g)


def test_citric_stock_of_five_per_cent():
    """200 g in 4 L is called 5 %: The Fibre Garden, Citric acid."""
    assert shade.dye_in_stock_g(4000, 5) == pytest.approx(200)


def test_pad_rule():
    """70.0 % wet pick-up of a 1.80 % solution leaves 1.26 % on the fibre: p. 193, eq. 6 of Broadbent, Basic Principles
    of Textile Coloration."""
    assert shade.least_stock_percent(100, 1.26, 70.0) == pytest.approx(1.80, abs=0.005)


@pytest.mark.parametrize(("ounces", "depth"), [(1 / 3, 2.08), (2 / 3, 4.17)])
def test_ounces_to_a_pound(ounces, depth):
    """1/3 to 2/3 oz of dye to the pound is printed as 2 to 4 %: Earth Guild, acid dyes."""
    assert shade.depth_percent(ounces * 28.349523125, 453.59237) == pytest.approx(depth, abs=0.005)


def test_a_bath_at_a_liquor_ratio():
    """500 g of wool at 1 to 20 are 10 L: George Weil, dyes on wool."""
    assert liquor.bath_ml(500, 20) == pytest.approx(10_000)


def test_drops_to_millilitres():
    """20 drops of water are 1 mL within a tenth, 45 to 55 mg each: USP 32, chapter 1101, medicine dropper."""
    assert shade.drops_ml(20) == pytest.approx(1.0, rel=0.1)


@pytest.mark.parametrize(("fibre", "percent"), [("wool", 13.6), ("silk", 11.0)])
def test_commercial_regain(fibre, percent):
    """Moisture that trade reckons on a dry weight: ASTM D1909-13 (second hand)."""
    assert fibres()[fibre].regain_percent == percent


POUND_G = 453.59237
"""NIST Handbook 44, as the next rows turn what was printed into mL on 100 g."""
PRINTED_DOSES = [
    ("vinegar-quarter-cup", "1/4 cup", POUND_G), ("vinegar-one-cup", "1 cup", POUND_G),
    ("vinegar-two-cups", "2 cups", POUND_G), ("acetic-56-two-spoons", "2 tbsp", POUND_G),
]  # fmt: skip


@pytest.mark.parametrize(("row", "printed", "on_g"), PRINTED_DOSES)
def test_doses_to_the_pound(row, printed, on_g):
    """Cups of vinegar and spoons of 56 % acid to a pound: Earth Guild, acid dyes, metal-complex and home dyes."""
    dose = next(one for one in practice() if one.id == row)
    assert dose.low == pytest.approx(parse(printed, "volume").value / on_g * 100.0, rel=0.001)


def test_vinegar_to_half_a_kilo():
    """330 mL of vinegar to 500 g of wool: George Weil, Using Procion MX dyes on wool."""
    dose = next(one for one in practice() if one.id == "vinegar-reactive")
    assert dose.low == pytest.approx(330 / 500 * 100)


def test_acid_of_two_per_cent_to_ten_grams():
    """10 mL of 2 % acetic acid to 10 g of wool, told as vinegar of 5 %: Cowern, dye method."""
    dose = next(one for one in practice() if one.id == "vinegar-studio")
    assert dose.low == pytest.approx(10 * 2 / 5 * 100 / 10)


def test_acetic_acid_on_the_weight_of_fibre():
    """1 to 3 % of acetic acid on the fibre, as vinegar of 5 g in 100 mL: Broadbent, Basic Principles of Textile
    Coloration, p. 246."""
    dose = next(one for one in practice() if one.id == "vinegar-textbook")
    assert (dose.low, dose.high) == pytest.approx((1 / 0.05, 3 / 0.05))


def test_citric_acid_by_the_depth():
    """Calibration: 1, 1.5 or 2 % of citric acid for a light, medium or strong shade: Gaywool Dyes, Depth of shade."""
    dose = next(one for one in practice() if one.id == "citric-by-depth")
    assert (dose.low, dose.high) == (1.0, 2.0)


def test_a_long_liquor():
    """Calibration: 400 mL for 10 g of wool, the longest bath printed: Cowern, dye method."""
    assert liquor.bath_ml(10, RATIO_HIGH) == pytest.approx(400)
    assert liquor.bath_ml(10, RATIO_LOW) < 400


def test_how_long_a_stock_is_kept():
    """Mostly 3 to 6 months, some 1 to 2 weeks (Gaywool Dyes, Depth of shade); about 6 months (George Weil): a jar is
    never told to last longer than the shorter of what is printed."""
    assert shade.use_by_days("stock").days <= 3 * 365.25 / 12
    assert 7 <= shade.use_by_days("short-lived stock").days <= 14


def test_pale_and_deep_shades():
    """Calibration: 0.25 to 2 g of acid dye on 100 g from pale to deep (George Weil); 0.5 % light and 2 to 4 % deep
    (Gaywool Dyes, Depth of shade)."""
    assert PALE_PERCENT == 0.25
    assert (bath_work.PALE_PERCENT, bath_work.DEEP_PERCENT) == (0.5, 2.0)
