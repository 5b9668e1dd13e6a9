"""Previews: sums by hand, what must hold for every colour, swatches, and the white of the yarn."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from studio.craft.colour.apart import ciede2000
from studio.craft.colour.dye_curve import FROM_MAXIMUM, DyeCurve, curve_from_maximum
from studio.craft.colour.observer import is_on_screen, lab_of_hex
from studio.craft.colour.preview import (
    APPROXIMATION,
    WOOL_WHITE_LAB,
    Undyed,
    curve_from_swatch,
    mixture,
    preview,
    undyed_from_lab,
    undyed_wool,
)

GREY_80 = Undyed((0.80,) * 81, "a flat grey")
FLAT = DyeCurve((1.0,) * 81, "flat")
RED = curve_from_maximum(504, 54.0, ci_number="16035")
YELLOW = curve_from_maximum(426, 53.0, ci_number="19140")
BLUE = curve_from_maximum(630, 163.0, ci_number="42090")
DEPTHS = st.floats(0, 6)


@pytest.mark.parametrize(("depth", "reflectance"), [(1, 0.27869), (2, 0.18660), (4, 0.11847)])
def test_a_flat_dye_on_a_flat_grey(depth, reflectance):
    """R 0.80 is 0.78 / 0.98 below the surface, K/S 0.026164; plus 2 it is R 0.17000, seen as 0.02 + 0.98 x 0.17000.
    Then L = 116 R^(1/3) - 16, as Y = R for a flat surface.
    """
    seen = preview([(FLAT, depth)], GREY_80)
    assert seen.reflectance == pytest.approx([reflectance] * 81, abs=1e-5)
    assert seen.lab == pytest.approx((116 * reflectance ** (1 / 3) - 16, 0, 0), abs=0.02)
    red, green, blue = (int(seen.hex[i : i + 2], 16) for i in (1, 3, 5))
    assert max(red, green, blue) - min(red, green, blue) <= 1


def test_bare_yarn_has_its_own_colour():
    assert preview([]).lab == pytest.approx(WOOL_WHITE_LAB, abs=1e-6)
    assert preview([(RED, 0.0)]).lab == preview([]).lab
    white = undyed_from_lab((95, -0.5, 3))
    assert preview([], white).lab == pytest.approx((95, -0.5, 3), abs=1e-6)


@pytest.mark.parametrize("dye", [RED, YELLOW, BLUE])
def test_depth_ladder(dye):
    """A published ladder for wool, 0.125 to 4 %, and its remark that 3 % looks nearly as dark as 4 %."""
    ladder = [preview([(dye, depth)]).lab for depth in (0.125, 0.25, 0.5, 1, 2, 4)]
    assert [lab[0] for lab in ladder] == sorted((lab[0] for lab in ladder), reverse=True)
    three = preview([(dye, 3)]).lab
    assert ciede2000(three, ladder[-1]) < 5.0 < ciede2000(ladder[0], ladder[2])


def test_one_per_cent_is_a_medium_shade():
    """Suppliers call 0.5 % light, 1 % medium, 2 to 4 % deep. Lightness of a medium red: 40 to 60 (house rule)."""
    assert 40 <= preview([(RED, 1.0)]).lab[0] <= 60
    assert preview([(RED, 0.1)]).lab[0] > 65
    assert preview([(RED, 4.0)]).lab[0] < 45


@given(DEPTHS, DEPTHS)
def test_more_dye_is_never_lighter(one, other):
    for dye in (RED, YELLOW, BLUE):
        pale, deep = (preview([(dye, depth)]) for depth in sorted((one, other)))
        assert all(d <= p + 1e-12 for p, d in zip(pale.reflectance, deep.reflectance, strict=True))
        assert deep.lab[0] <= pale.lab[0] + 1e-9


@given(DEPTHS, DEPTHS, DEPTHS)
def test_the_order_of_dyes_does_not_matter_and_halves_add_up(red, yellow, blue):
    whole = preview([(RED, red), (YELLOW, yellow), (BLUE, blue)])
    other = preview([(BLUE, blue / 2), (YELLOW, yellow), (RED, red), (BLUE, blue / 2)])
    assert whole.lab == pytest.approx(other.lab, abs=1e-9)
    assert all(0.02 <= r <= 1.0 for r in whole.reflectance)


def test_parts_of_a_mixture():
    """2 % of 1 + 3 parts: 0.5 and 1.5 %."""
    assert [depth for _, depth in mixture([(RED, 1), (BLUE, 3)], 2.0)] == [0.5, 1.5]
    assert preview(mixture([(RED, 2), (RED, 5)], 1.0)).lab == pytest.approx(preview([(RED, 1.0)]).lab)


def test_every_preview_says_what_it_is():
    seen = preview([(RED, 1.0), (BLUE, 0.5)])
    assert seen.origin == "estimate"
    assert seen.note.startswith(APPROXIMATION) and seen.note.count(FROM_MAXIMUM) == 1
    assert "estimate for scoured wool" in seen.note
    own = preview([(curve_from_swatch((50, 40, 20), 1.0), 2.0)], undyed_from_lab((93, 0, 4)))
    assert "your own swatch at 1 %" in own.note and FROM_MAXIMUM not in own.note
    assert "scoured wool" not in own.note


def test_a_colour_no_screen_has_is_said_and_shown_duller():
    """6 % of a strong yellow lies outside sRGB; what is shown keeps its hue and lightness to a few units."""
    seen = preview([(YELLOW, 6.0)])
    assert not seen.on_screen and "than this screen can show" in seen.note
    shown = lab_of_hex(seen.hex)
    assert shown[0] == pytest.approx(seen.lab[0], abs=4)
    assert shown[2] < seen.lab[2]


# --- the dyer's own swatch ------------------------------------------------------------------------------------


@given(st.floats(25, 70), st.floats(-45, 55), st.floats(-40, 60), st.floats(0.2, 4))
def test_a_swatch_dyed_again_is_the_swatch(lightness, a, b, depth):
    """On the same yarn at the same depth: exactly, or within the miss the note owns up to."""
    lab = (lightness, a, b)
    assume(is_on_screen(lab))
    white = undyed_from_lab((94, 0, 2))
    try:
        curve = curve_from_swatch(lab, depth, white)
    except ValueError:
        return  # no dye on this yarn has the colour; the refusals are tested by name
    again = preview([(curve, depth)], white).lab
    miss = ciede2000(again, lab)
    if "meets your swatch" in curve.note:
        assert miss <= 0.5
    else:
        assert miss <= 5.0 or min(preview([(curve, depth)], white).reflectance) < 0.03


@pytest.mark.parametrize(
    "lab", [(45, 55, 30), (60, 20, 60), (40, -30, 20), (35, 10, -40), (30, 5, 5), (80, 5, 30)]
)
def test_ordinary_swatches_are_met(lab):
    curve = curve_from_swatch(lab, 1.5)
    assert ciede2000(preview([(curve, 1.5)]).lab, lab) < 1.2


@pytest.mark.parametrize("hue", ["#000000", "#101010", "#102040"])
def test_a_swatch_darker_than_wool_can_be_is_taken_as_the_darkest(hue):
    """A grey of 0.02, the shine of the surface: 116 x 0.02^(1/3) - 16 = 15.5; a screen goes on to 0."""
    curve = curve_from_swatch(lab_of_hex(hue), 2.0)
    assert "misses your swatch" in curve.note
    assert 15.5 < preview([(curve, 2.0)]).lab[0] < 18


def test_a_swatch_overrides_the_estimated_strength():
    """The same dye, half as strong on this dyer's yarn: its swatch at 2 % looks as the estimate does at 1 %."""
    swatch = preview([(RED, 1.0)]).lab
    curve = curve_from_swatch(swatch, 2.0)
    assert ciede2000(preview([(curve, 2.0)]).lab, swatch) < 0.5
    assert preview([(curve, 1.0)]).lab[0] > preview([(RED, 1.0)]).lab[0] + 3


@pytest.mark.parametrize("dye", [RED, BLUE, YELLOW])
def test_a_swatch_foretells_the_next_depth_roughly(dye):
    """Twice the depth from three broad steps, against the finer curve the swatch was made from."""
    curve = curve_from_swatch(preview([(dye, 1.0)]).lab, 1.0)
    assert ciede2000(preview([(curve, 2.0)]).lab, preview([(dye, 2.0)]).lab) < 6.0


# --- the white of the yarn ------------------------------------------------------------------------------------


def test_the_colour_lies_over_the_yarn():
    """Blue on cream yarn is greener than on white: the yarn takes blue light of its own."""
    cream, white = preview([(BLUE, 0.3)], undyed_wool()), preview([(BLUE, 0.3)], undyed_from_lab((95, 0, 0)))
    assert cream.lab[2] > white.lab[2] and cream.lab[0] < white.lab[0]
