"""Colour against published tables, the standards' own numbers, and the library colour-science as oracle."""

from __future__ import annotations

import warnings

import pytest

from studio.craft.colour import observer
from studio.craft.colour.apart import as_seen, ciede2000
from studio.craft.colour.observer import (
    hex_of_lab,
    lab_of_hex,
    lab_of_reflectance,
    lab_of_xyz,
    srgb_of_xyz,
    xyz_of_lab,
    xyz_of_reflectance,
)

SHARMA = [
    (1, (50.0000, 2.6772, -79.7751), (50.0000, 0.0000, -82.7485), 2.0425),
    (2, (50.0000, 3.1571, -77.2803), (50.0000, 0.0000, -82.7485), 2.8615),
    (3, (50.0000, 2.8361, -74.0200), (50.0000, 0.0000, -82.7485), 3.4412),
    (4, (50.0000, -1.3802, -84.2814), (50.0000, 0.0000, -82.7485), 1.0000),
    (5, (50.0000, -1.1848, -84.8006), (50.0000, 0.0000, -82.7485), 1.0000),
    (6, (50.0000, -0.9009, -85.5211), (50.0000, 0.0000, -82.7485), 1.0000),
    (7, (50.0000, 0.0000, 0.0000), (50.0000, -1.0000, 2.0000), 2.3669),
    (8, (50.0000, -1.0000, 2.0000), (50.0000, 0.0000, 0.0000), 2.3669),
    (9, (50.0000, 2.4900, -0.0010), (50.0000, -2.4900, 0.0009), 7.1792),
    (10, (50.0000, 2.4900, -0.0010), (50.0000, -2.4900, 0.0010), 7.1792),
    (11, (50.0000, 2.4900, -0.0010), (50.0000, -2.4900, 0.0011), 7.2195),
    (12, (50.0000, 2.4900, -0.0010), (50.0000, -2.4900, 0.0012), 7.2195),
    (13, (50.0000, -0.0010, 2.4900), (50.0000, 0.0009, -2.4900), 4.8045),
    (14, (50.0000, -0.0010, 2.4900), (50.0000, 0.0010, -2.4900), 4.8045),
    (15, (50.0000, -0.0010, 2.4900), (50.0000, 0.0011, -2.4900), 4.7461),
    (16, (50.0000, 2.5000, 0.0000), (50.0000, 0.0000, -2.5000), 4.3065),
    (17, (50.0000, 2.5000, 0.0000), (73.0000, 25.0000, -18.0000), 27.1492),
    (18, (50.0000, 2.5000, 0.0000), (61.0000, -5.0000, 29.0000), 22.8977),
    (19, (50.0000, 2.5000, 0.0000), (56.0000, -27.0000, -3.0000), 31.9030),
    (20, (50.0000, 2.5000, 0.0000), (58.0000, 24.0000, 15.0000), 19.4535),
    (21, (50.0000, 2.5000, 0.0000), (50.0000, 3.1736, 0.5854), 1.0000),
    (22, (50.0000, 2.5000, 0.0000), (50.0000, 3.2972, 0.0000), 1.0000),
    (23, (50.0000, 2.5000, 0.0000), (50.0000, 1.8634, 0.5757), 1.0000),
    (24, (50.0000, 2.5000, 0.0000), (50.0000, 3.2592, 0.3350), 1.0000),
    (25, (60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    (26, (63.0109, -31.0961, -5.8663), (62.8187, -29.7946, -4.0864), 1.2630),
    (27, (61.2901, 3.7196, -5.3901), (61.4292, 2.2480, -4.9620), 1.8731),
    (28, (35.0831, -44.1164, 3.7933), (35.0232, -40.0716, 1.5901), 1.8645),
    (29, (22.7233, 20.0904, -46.6940), (23.0331, 14.9730, -42.5619), 2.0373),
    (30, (36.4612, 47.8580, 18.3852), (36.2715, 50.5065, 21.2231), 1.4146),
    (31, (90.8027, -2.0831, 1.4410), (91.1528, -1.6435, 0.0447), 1.4441),
    (32, (90.9257, -0.5406, -0.9208), (88.6381, -0.8985, -0.7239), 1.5381),
    (33, (6.7747, -0.2908, -2.4247), (5.8714, -0.0985, -2.2286), 0.6377),
    (34, (2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
]  # fmt: skip


@pytest.mark.parametrize(("number", "first", "second", "expected"), SHARMA)
def test_ciede2000_pairs(number, first, second, expected):
    """Every pair of table 1 of Sharma, Wu and Dalal 2005, both ways round."""
    assert ciede2000(first, second) == pytest.approx(expected, abs=1e-4), number
    assert ciede2000(second, first) == pytest.approx(expected, abs=1e-4), number


def test_black_against_white():
    """ICC High Dynamic Range Working Group, comparison sheet: 100.0."""
    assert ciede2000((0, 0, 0), (100, 0, 0)) == pytest.approx(100.0, abs=1e-9)


# Reflectances 380 to 780 nm, worked out beforehand with colour-science and with plain sums: CIE 15, sum form.
SPECTRA = [
    (lambda nm: 1.0, (0.95043, 1.0, 1.08880), (100, -0.005, 0.016), (255, 255, 255)),
    (lambda nm: 0.5, (0.47521, 0.5, 0.54440), (76.069, -0.004, 0.012), None),
    (lambda nm: 0.1 + 0.8 * (nm - 380) / 400, (0.45005, 0.45356, 0.27352), (73.125, 5.553, 27.479),
     (207, 175, 130)),
    (lambda nm: 0.8 if nm >= 580 else 0.05, (0.44429, 0.27677, 0.05468), (59.596, 62.200, 56.553),
     (254, 85, 45)),
]  # fmt: skip


@pytest.mark.parametrize(("curve", "xyz", "lab", "rgb"), SPECTRA)
def test_spectra(curve, xyz, lab, rgb):
    """Four curves of reflectance by the sums of CIE 15, worked out beforehand with colour-science."""
    values = [curve(nm) for nm in range(380, 781, 5)]
    assert xyz_of_reflectance(values) == pytest.approx(xyz, abs=1e-5)
    assert lab_of_reflectance(values) == pytest.approx(lab, abs=2e-3)
    if rgb is not None:
        digits = hex_of_lab(lab_of_reflectance(values))
        assert [int(digits[i : i + 2], 16) for i in (1, 3, 5)] == list(rgb)


def test_half_grey_on_screen():
    """188 188 187.5 by colour-science: blue lies a hair below the rounding edge, so it is held to within one step."""
    channels = [255 * channel for channel in srgb_of_xyz(xyz_of_reflectance([0.5] * 81))]
    assert channels == pytest.approx([187.520, 188, 187.493], abs=0.5)


# --- the library colour-science, which takes seconds to load: what it says of four curves stands above ----------


@pytest.fixture(scope="module")
def oracle():
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return pytest.importorskip("colour")


@pytest.mark.deep
def test_tables_are_those_of_the_oracle(oracle):
    """The observer of 2 degrees and the light D65, every 5 nm, as colour-science has them from the CIE."""
    bars = oracle.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    light = oracle.SDS_ILLUMINANTS["D65"]
    grid = range(380, 781, 5)
    white = sum(light[nm] * bars[nm][1] for nm in grid)
    ours = observer.weights()
    for i, nm in enumerate(grid):
        theirs = [light[nm] * bars[nm][axis] / white for axis in range(3)]
        assert (ours.x[i], ours.y[i], ours.z[i]) == pytest.approx(theirs, abs=1e-9), nm


SCREEN = ["#b23a1f", "#2f6f5e", "#e9e2d0", "#123456", "#fe00a0", "#0a0a0a",
          "#ffffff", "#808080", "#ff0000", "#00ff00", "#0000ff", "#000000"]  # fmt: skip


@pytest.mark.deep
@pytest.mark.parametrize("text", SCREEN)
def test_screen_colours_against_the_oracle(oracle, text):
    """CIELAB of a screen's colour, there and back, by colour-science."""
    rgb = [int(text[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    xyz = oracle.sRGB_to_XYZ(rgb)  # its matrix is rounded to four digits, hence the tolerance
    white = oracle.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    assert lab_of_hex(text) == pytest.approx(list(oracle.XYZ_to_Lab(xyz, white)), abs=0.03)
    assert hex_of_lab(lab_of_hex(text)) == text
    assert lab_of_xyz([float(v) for v in xyz]) == pytest.approx(list(oracle.XYZ_to_Lab(xyz, white)), abs=1e-4)


@pytest.mark.deep
@pytest.mark.parametrize("level", [1, 10, 11, 50, 128, 188])
def test_transfer_of_the_screen_against_the_oracle(oracle, level):
    """IEC 61966-2-1 by colour-science, both its parts: straight below 11 of 255, a power above."""
    linear = float(oracle.models.eotf_sRGB(level / 255))
    assert xyz_of_lab(lab_of_hex(f"#{level:02x}{level:02x}{level:02x}"))[1] == pytest.approx(linear, abs=1e-8)
    white = oracle.xy_to_XYZ(oracle.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"])
    assert xyz_of_lab((100, 0, 0)) == pytest.approx(list(white), abs=1e-6)
    assert srgb_of_xyz([linear * part for part in white]) == pytest.approx([level / 255] * 3, abs=1e-5)


@pytest.mark.deep
def test_differences_against_the_oracle(oracle):
    """CIEDE2000 of every pair of five colours by colour-science."""
    labs = [lab_of_hex(text) for text in ("#b23a1f", "#2f6f5e", "#e9e2d0", "#123456", "#fe00a0")]
    for one in labs:
        for other in labs:
            theirs = float(oracle.delta_E(list(one), list(other), method="CIE 2000"))
            assert ciede2000(one, other) == pytest.approx(theirs, abs=1e-6)


SAMPLES = ["#b23a1f", "#2f6f5e", "#e9e2d0", "#345678", "#c08040"]


def _linear(text: str) -> list[float]:
    levels = [int(text[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    return [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in levels]


def _linear_of_lab(lab) -> list[float]:
    levels = srgb_of_xyz(xyz_of_lab(lab))
    return [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in levels]


def _clipped(values) -> list[float]:
    return [min(1.0, max(0.0, float(value))) for value in values]


# Linear RGB to LMS, and the cone that is missing made from the other two.
RGB_TO_LMS = [[17.8824, 43.5161, 4.11935], [3.45565, 27.1554, 3.86714], [0.0299566, 0.184309, 1.46709]]


@pytest.mark.parametrize("text", SAMPLES)
@pytest.mark.parametrize(
    ("kind", "cone", "from_others"),
    [("red-blind", 0, (0.0, 2.02344, -2.52581)), ("green-blind", 1, (0.494207, 0.0, 1.24827))],
)
def test_vienot_by_its_own_equations(text, kind, cone, from_others):
    """What a dichromat sees, by the matrices of Viénot, Brettel and Mollon 1999, solved with numpy."""
    np = pytest.importorskip("numpy")
    to_lms = np.array(RGB_TO_LMS)
    lms = to_lms @ _linear(text)
    lms[cone] = sum(weight * value for weight, value in zip(from_others, lms, strict=True))
    expected = _clipped(np.linalg.solve(to_lms, lms))
    assert _linear_of_lab(as_seen(lab_of_hex(text), kind)) == pytest.approx(expected, abs=2e-4)


@pytest.mark.parametrize("kind", ["red-blind", "green-blind", "blue-blind"])
def test_greys_stay_grey_to_everyone(kind):
    """Viénot, Brettel and Mollon 1999 and Brettel, Viénot and Mollon 1997 keep the axis of greys."""
    for lightness in (10.0, 50.0, 90.0):
        seen = as_seen((lightness, 0, 0), kind)
        assert ciede2000(seen, lab_of_hex(hex_of_lab((lightness, 0, 0)))) < 0.3
