"""Dye, stock, regain, liquor and drops against figures printed by others. The source stands in each row."""

from __future__ import annotations

import pytest

from studio.craft import liquor, shade
from studio.quantity.reading import parse

WILEY = "Determining the Depth of Your Dye Shade, extract of a hand-dyeing book, Wiley"
GAYWOOL = "Gaywool Dyes, Depth of shade, auxiliaries, stock solutions and water ratios, supplier's sheet"
ASHFORD = "Ashford, Learn to Dye: microwave dyeing yarn, supplier's sheet"
BROADBENT = "A. D. Broadbent, Basic Principles of Textile Coloration, Society of Dyers and Colourists 2001"
LAB_DIP = "Textile Learner, Calculation of Lab Dip Working Process, February 2013"
BURCH = "P. Burch, All About Hand Dyeing, answers on mixing colours; recipe credited to PRO Chemical and Dye"
HOBBY_MATH = "a hobby page on dye stock sums, 'Math', July 2012 (it truncates)"
VENKATESH = "B. Venkatesh, lecture slides on dyeing, VFSTR"
EARTH_GUILD = "Earth Guild, Jacquard acid dyes, supplier's sheet"
COWERN = "J. Cowern, studio dye method"
BEECH = "Grothe 1882, in F. Beech, The Dyeing of Woollen Fabrics, Scott Greenwood 1902, pp. 207-208"


@pytest.mark.parametrize(
    ("fibre_g", "depth", "stock", "expected_ml", "tolerance_ml", "source"),
    [
        (454, 1, 1, 454, 1e-9, WILEY),
        (454, 2, 1, 908, 1e-9, WILEY),
        (454, 0.1, 1, 45.4, 1e-9, WILEY),
        (454, 0.1, 0.1, 454, 1e-9, WILEY),
        (5, 0.5, 1, 2.5, 1e-9, LAB_DIP),
        (1000, 2, 1.5, 1333, 1, HOBBY_MATH),
        (1100, 2, 1.5, 1466, 1, HOBBY_MATH),
        (100, 2, 1.5, 133, 1, HOBBY_MATH),
    ],
)
def test_stock_for_a_depth(fibre_g, depth, stock, expected_ml, tolerance_ml, source):
    assert shade.stock_ml(fibre_g, depth, stock) == pytest.approx(expected_ml, abs=tolerance_ml), source


@pytest.mark.parametrize(
    ("fibre_g", "depth", "expected_g", "source"),
    [
        (125, 2, 2.5, GAYWOOL + ", example 1"),
        (300, 3, 9, GAYWOOL + ", example 2"),
        (100, 1, 1, BROADBENT + ", p. 22"),
        (100_000, 4, 4000, VENKATESH),
        (454, 0.85, 3.859, BURCH),
        (454, 0.1, 0.454, BURCH),
        (454, 0.05, 0.227, BURCH),
    ],
)
def test_powder_for_a_depth(fibre_g, depth, expected_g, source):
    assert shade.dye_g(fibre_g, depth) == pytest.approx(expected_g, abs=0.001), source


def test_three_dyes_in_one_colour():
    """0.85 + 0.10 + 0.05 % on 200 g are 1.7, 0.2 and 0.1 g of dye: 170, 20 and 10 mL of 1 % stocks. BURCH."""
    stocks = [shade.stock_ml(200, depth, 1) for depth in (0.85, 0.10, 0.05)]
    assert stocks == pytest.approx((170, 20, 10), abs=0.1)
    assert [shade.dye_in_stock_g(ml, 1) for ml in stocks] == pytest.approx([1.7, 0.2, 0.1], abs=0.001)


@pytest.mark.parametrize(("dye_g", "volume_ml"), [(10, 1000), (5, 500), (2, 200), (1, 100)])
def test_one_per_cent_solutions(dye_g, volume_ml):
    """Each of these is printed as a 1 % solution. ASHFORD."""
    assert shade.dye_in_stock_g(volume_ml, 1) == pytest.approx(dye_g), ASHFORD


def test_citric_stock_of_five_per_cent():
    """200 g of citric acid in 4 L is called 5 %. The Fibre Garden, Citric Acid, supplier's sheet."""
    assert shade.dye_in_stock_g(4000, 5) == pytest.approx(200)


def test_pad_rule():
    """70.0 % wet pick-up of a 1.80 % solution leaves 1.26 % on the fibre. BROADBENT p. 193, eq. 6."""
    assert shade.least_stock_percent(100, 1.26, 70.0) == pytest.approx(1.80, abs=0.005)


@pytest.mark.parametrize(("ounces", "depth"), [(1 / 3, 2.08), (2 / 3, 4.17)])
def test_ounces_to_a_pound(ounces, depth):
    """1/3 to 2/3 oz of dye to the pound is printed as 2 to 4 %. EARTH_GUILD."""
    assert shade.depth_percent(ounces * 28.349523125, 453.59237) == pytest.approx(depth, abs=0.005), (
        EARTH_GUILD
    )


@pytest.mark.parametrize(
    ("fibre_g", "ratio", "bath_ml", "source"),
    [
        (10, 40, 400, COWERN),
        (500, 20, 10_000, "George Weil, Using Procion MX Dyes on Wool, supplier's sheet"),
        (5, 10, 50, LAB_DIP),
        (100_000, 10, 1_000_000, VENKATESH),
    ],
)
def test_bath_at_a_liquor_ratio(fibre_g, ratio, bath_ml, source):
    assert liquor.bath_ml(fibre_g, ratio) == pytest.approx(bath_ml), source


def test_drops_to_millilitres():
    """20 drops of water are 1 mL within a tenth: 45 to 55 mg each. USP 32, chapter 1101, medicine dropper."""
    assert shade.drops_ml(20) == pytest.approx(1.0, rel=0.1)
    assert shade.dropper_drops_per_ml(20, 20 * 0.055) == pytest.approx(18.2, abs=0.05)
    assert shade.dropper_drops_per_ml(20, 20 * 0.045) == pytest.approx(22.2, abs=0.05)


def test_calibrated_dropper():
    """35 drops to 2 mL are 17.5 a mL. Dose calculation course, pharmacy practice."""
    assert shade.dropper_drops_per_ml(35, 2) == 17.5


@pytest.mark.parametrize(
    ("text", "exact_ml", "label_ml"),
    [("1 tsp", 4.92892, 5), ("1 tbsp", 14.7868, 15), ("1 cup", 236.588, 240)],
)
def test_kitchen_measures(text, exact_ml, label_ml):
    """US measures: NIST SP 811 B.8 and UCUM exact; the label figures of 21 CFR 101.9(b)(5)(viii) lie within 1.5 %."""
    volume_ml = parse(text, "volume").value
    assert volume_ml == pytest.approx(exact_ml, rel=1e-5)
    assert volume_ml == pytest.approx(label_ml, rel=0.015)


@pytest.mark.parametrize(("strong", "expected_ml"), [(56, 89.3), (30, 166.7), (80, 62.5), (99, 50.5)])
def test_litre_of_five_per_cent_from_stronger(strong, expected_ml):
    """C1 V1 = C2 V2, by hand: 5 x 1000 / strength."""
    assert shade.dilution_ml(strong, 5, 1000) == pytest.approx(expected_ml, abs=0.05)
