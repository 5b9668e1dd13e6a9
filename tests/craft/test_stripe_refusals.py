"""What the forecast cannot be made of is refused in one sentence."""

from __future__ import annotations

import math

import pytest

from studio.craft.stripe import blank as gauge
from studio.craft.stripe import skein
from studio.craft.stripe.blank import Band, Blank, Knitting, Painting, pair_of
from studio.craft.stripe.edges import order
from studio.craft.stripe.forecast import forecast
from studio.craft.stripe.inverse import Measured, fit, least_rows

BLANK, SOCK, BANDS = Blank(20, 60, 16.0), Knitting(64, 13.0), [Band("rust", 6)]
NAN = math.nan

REFUSED = {
    "rows of 0": (lambda: Blank(0, 60, 16.0), "rows of the blank"),
    "half a row": (lambda: Blank(20.5, 60, 16.0), "whole number"),
    "no stitches": (lambda: Blank(20, 0, 16.0), "stitches of the blank"),
    "loop nan": (lambda: Blank(20, 60, NAN), "loop length of the blank"),
    "band of no rows": (lambda: Band("rust", 0), "rows of a band"),
    "bands wider than the blank": (
        lambda: forecast(BLANK, [Band("rust", 21)], Painting(), SOCK),
        "need 21 rows",
    ),
    "no bands": (lambda: forecast(BLANK, [], Painting(), SOCK), "no bands"),
    "gauge of 0": (lambda: gauge.loop_mm_from_gauge(0), "gauge"),
    "gauge nan": (lambda: gauge.loop_mm_from_gauge(NAN), "gauge"),
    "yarn of 0": (lambda: gauge.loop_mm_from_yarn(0, 60, 220, 2), "length of the yarn"),
    "yarn for no rows": (lambda: gauge.loop_mm_from_yarn(420, 60, 0), "rows of the blank"),
    "negative spread": (lambda: Painting(spread=-1), "spread"),
    "tilt infinite": (lambda: Painting(tilt=math.inf), "tilt"),
    "spread beyond the blank": (lambda: forecast(BLANK, BANDS, Painting(spread=11), SOCK), "half of the 20"),
    "too little yarn": (
        lambda: forecast(Blank(1, 10, 16.0), [Band("rust", 1)], Painting(), SOCK),
        "too little for a round",
    ),
    "third end": (lambda: Knitting(64, 13.0, from_end="middle"), "first or the last"),
    "no stitches knitted": (lambda: Knitting(0, 13.0), "stitches of the new piece"),
    "no paintings": (lambda: forecast(BLANK, BANDS, Painting(), SOCK, paintings=0), "number of paintings"),
    "one strand": (lambda: pair_of(BLANK, BANDS), "one strand"),
    "no solid rounds wanted": (lambda: least_rows(0, 0.9, BLANK, Painting(), SOCK), "solid rounds"),
    "certain": (lambda: least_rows(4, 1.0, BLANK, Painting(), SOCK), "odds"),
    "nothing measured": (lambda: fit([], BLANK, SOCK), "bands measured"),
    "negative rounds": (lambda: Measured(6, -1), "solid rounds"),
    "order of nothing": (lambda: order(0, 5), "rows of the blank"),
    "skein of 0": (lambda: skein.repeat_stitches(0, 12.5), "circumference"),
    "skein too short": (lambda: skein.runs(100, [skein.SkeinSection("rust", 101)], 64, 12.5), "100 cm round"),
    "section of 0": (lambda: skein.SkeinSection("rust", 0), "length of a section"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_refused_in_one_sentence(name):
    attempt, words = REFUSED[name]
    with pytest.raises(ValueError) as refused:
        attempt()
    said = str(refused.value)
    assert words in said
    assert said.endswith(".") and "\n" not in said and 20 < len(said) < 200
