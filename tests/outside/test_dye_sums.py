"""Dye, stock, regain, liquor and drops against figures printed by others. The source stands in each row."""

from __future__ import annotations

import pytest

from studio.craft import liquor, shade
from studio.tables.loading import fibres

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
