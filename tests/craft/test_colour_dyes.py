"""Dye curves: the published figures they must pass through, and the hues they must give."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.craft.colour.dye_curve import (
    AbsorptionBand,
    absorptivity_l_g_cm,
    band_shape,
    curve_from_maximum,
    dye_bands,
    ks,
    reflectance,
)
from studio.craft.colour.observer import WAVELENGTHS_NM
from studio.craft.colour.preview import mixture, preview
from studio.tables.finding import find_dye
from studio.tables.rows import dyes


# (1 - R)^2 / (2 R), by hand: 0.95^2 / 0.1 = 9.025; 0.9^2 / 0.2 = 4.05; 0.4^2 / 1.2 = 0.133333 and so on.
@pytest.mark.parametrize(
    ("seen", "expected"),
    [(0.05, 9.025), (0.10, 4.050), (0.20, 1.600), (0.25, 1.125), (0.30, 0.81667), (0.40, 0.450),
     (0.50, 0.250), (0.60, 0.133333), (0.80, 0.025), (0.90, 0.0055556), (1, 0)],
)  # fmt: skip
def test_ks_of_reflectance(seen, expected):
    assert ks(seen) == pytest.approx(expected, rel=1e-5, abs=1e-12)
    assert reflectance(expected) == pytest.approx(seen, abs=1e-5)


@pytest.mark.parametrize(
    ("k", "expected"),
    [(0, 1), (0.01, 0.868226), (0.1, 0.641742), (0.5, 0.381966), (1, 2 - math.sqrt(3)),
     (2, 3 - 2 * math.sqrt(2)), (5, 0.083920), (10, 0.045549), (50, 0.009805)],
)  # fmt: skip
def test_reflectance_of_ks(k, expected):
    assert reflectance(k) == pytest.approx(expected, abs=1e-6)


# Half-height wavelengths computed from PhotochemCAD absorption files; peak, short side, long side, nm.
MEASURED = [
    ("Acid Orange 52", 466, 393, 510), ("Acid Orange 10", 478, 438, 516), ("Acid Orange 7", 486, 434, 525),
    ("Acid Red 88", 503, 455, 557), ("Acid Red 1", 505, 467, 553), ("Acid Red 14", 512, 450, 563),
    ("Acid Red 112", 513, 471, 557), ("Acid Red 87", 524.75, 509.5, 537.5), ("Acid Red 91", 527, 505, 544),
    ("Acid Red 51", 535, 517, 550), ("Acid Red 92", 550, 536, 562), ("Acid Red 52", 553, 532, 567),
    ("Acid Violet 3", 555, 491, 610), ("Acid Blue 92", 563, 509, 625), ("Acid Blue 93", 590, 534, 653),
    ("Acid Black 1", 619, 547, 652),
]  # fmt: skip


@pytest.mark.parametrize(("name", "peak", "short", "long"), MEASURED)
def test_measured_half_heights_are_met(name, peak, short, long):
    row = find_dye(name)
    assert row is not None
    bands = dye_bands(peak, 60.0, ci=row.ci, ci_number=row.ci_number)
    assert absorptivity_l_g_cm(bands, peak) == pytest.approx(60.0)
    assert absorptivity_l_g_cm(bands, short) == pytest.approx(30.0, abs=0.01)
    assert absorptivity_l_g_cm(bands, long) == pytest.approx(30.0, abs=0.01)


def test_one_substance_has_one_width_under_both_its_names():
    """Food pink and C.I. Acid Red 51 are erythrosine, C.I. 45430; its width in 1/cm is carried to 526 nm."""
    food, acid = find_dye("food pink"), find_dye("Acid Red 51")
    assert food is not None and acid is not None
    assert band_shape(food.ci, food.ci_number) == band_shape(acid.ci, acid.ci_number)
    # long side: 1e7/535 - 1e7/550 = 509.8; half height at 1e7 / (1e7/526 - 509.8) = 540.5 nm
    bands = dye_bands(526, 110, ci=food.ci, ci_number=food.ci_number)
    assert absorptivity_l_g_cm(bands, 540.5) == pytest.approx(55, abs=0.3)


def _middle(values):
    ordered = sorted(values)
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


@pytest.mark.parametrize(
    ("number", "names"),
    [("19140", ["Acid Orange 52", "Acid Orange 10", "Acid Orange 7", "Acid Red 88", "Acid Red 1",
                       "Acid Red 14", "Acid Red 112", "Acid Violet 3", "Acid Blue 92", "Acid Black 1"]),
     ("45999", ["Acid Red 87", "Acid Red 91", "Acid Red 51", "Acid Red 92", "Acid Red 52"])],
)  # fmt: skip
def test_estimated_widths_are_the_middle_of_those_measured(number, names):
    """Medians of the wavenumber half widths, worked out here from the wavelengths, rounded to 50 1/cm."""
    rows = [row for row in MEASURED if row[0] in names]
    assert len(rows) == len(names)
    short_cm1, long_cm1, _ = band_shape(ci_number=number)
    assert short_cm1 == pytest.approx(_middle(1e7 / s - 1e7 / p for _, p, s, _ in rows), abs=50)
    assert long_cm1 == pytest.approx(_middle(1e7 / p - 1e7 / g for _, p, _, g in rows), abs=50)


def test_width_of_a_red_food_colour_is_plausible():
    """A red drink powder (dye not named) measured for a university's Beer's-law simulation: 92 nm at half height."""
    short_cm1, long_cm1, _ = band_shape("C.I. Food Red 17", "16035")
    short = 1e7 / (1e7 / 504 + short_cm1)
    long = 1e7 / (1e7 / 504 - long_cm1)
    assert long - short == pytest.approx(92, abs=8)


@pytest.mark.parametrize(
    ("number", "like"),
    [("27195", "19140"), ("99999", "19140"), ("9" * 5000, "19140"), ("4²090", "19140"), ("", "19140"),
     (None, "19140"), ("42051", "42090"), ("44090", "42090"), ("42640", "42735"), ("45999", "45001")],
)  # fmt: skip
def test_kinds(number, like):
    """Colour Index, division of the constitution numbers; what is in none of them is taken as an azo dye."""
    measured = band_shape("acid red 112") == band_shape(ci_number=number)
    assert measured or band_shape(ci_number=number) == band_shape(ci_number=like)


def test_strength_on_wool():
    """a = 53.0, 85 % dye: 13 x 53.0 / 50 x 0.85 = 11.713 at the peak (estimate), here 430 nm, which is on the grid."""
    curve = curve_from_maximum(430, 53.0, ci_number="19140", dye_content_percent=85)
    assert max(curve.ks_per_percent) == curve.ks_per_percent[WAVELENGTHS_NM.index(430.0)]
    assert max(curve.ks_per_percent) == pytest.approx(11.713)
    assert "estimate" in curve.note and "as published" in curve.note


@given(
    peak=st.floats(400, 700),
    short=st.floats(200, 4000),
    long=st.floats(200, 4000),
    nm=st.floats(300, 900),
)
def test_a_band_is_never_higher_than_its_peak(peak, short, long, nm):
    band = AbsorptionBand(peak, 1.0, short, long)
    assert 0.0 <= absorptivity_l_g_cm((band,), nm) <= 1.0


def _curve(name):
    row = find_dye(name)
    assert row is not None and row.peak_nm is not None
    strength = row.absorptivity_l_g_cm or 50.0
    return curve_from_maximum(row.peak_nm, strength, ci=row.ci, ci_number=row.ci_number)


def _hue(lab):
    return math.degrees(math.atan2(lab[2], lab[1])) % 360


# Sectors of CIELAB hue in which a colour is called by the name (common practice, wide on purpose).
SECTORS = {"red": (330, 45), "orange": (40, 85), "yellow": (85, 115), "green": (125, 195), "blue": (215, 310),
           "violet": (290, 335)}  # fmt: skip
SECTORS |= {
    "scarlet": SECTORS["red"],
    "pink": SECTORS["red"],
    "navy": SECTORS["blue"],
    "turquoise": SECTORS["blue"],
}


def _within_sector(hue, word):
    low, high = SECTORS[word]
    return low <= hue <= high if low < high else hue >= low or hue <= high


NAMED = [
    row.name
    for row in dyes().values()
    if row.peak_nm and "memory" not in row.spectrum_source and not row.food and "black" not in row.hue
]


@pytest.mark.parametrize("name", NAMED)
@pytest.mark.parametrize("depth", [0.5, 2.0])
def test_acid_dyes_of_published_spectrum_have_their_hue(name, depth):
    """The hue the table says a dye gives, by its last word: Acid Red 27 is a bluish red, a red."""
    assert len(NAMED) >= 15
    row = find_dye(name)
    hue = _hue(preview([(_curve(name), depth)]).lab)
    assert row is not None and _within_sector(hue, row.hue.split()[-1]), hue


@pytest.mark.parametrize(
    ("name", "word"),
    [("food yellow", "yellow"), ("food orange", "orange"), ("food red", "red"), ("food blue", "blue"),
     ("food pink", "red"), ("food indigo", "blue"), ("food crimson", "red"), ("food patent blue", "blue")],
)  # fmt: skip
def test_food_colours_have_the_hue_they_are_sold_by(name, word):
    assert _within_sector(_hue(preview([(_curve(name), 1.0)]).lab), word)


def test_yellow_and_blue_make_green():
    assert _within_sector(
        _hue(preview(mixture([(_curve("food yellow"), 4), (_curve("food blue"), 1)], 1.0)).lab), "green"
    )
