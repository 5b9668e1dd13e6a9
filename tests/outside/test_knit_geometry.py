"""Knit geometry against published figures, and against yarn that was measured."""

from __future__ import annotations

import pytest

from studio.craft.stripe import blank as gauge
from studio.craft.stripe import skein as sock_yarn

SPENCER = "D. J. Spencer, Knitting Technology, p. 281 (second hand)"


@pytest.mark.parametrize(
    ("stitches", "dry_mm", "finished_mm"), [(32, 12.07, 13.34), (28, 13.79, 15.24), (20, 19.30, 21.34)]
)
def test_loop_of_a_gauge(stitches, dry_mm, finished_mm):
    """A gauge over 4 inches: a soaked swatch lies between dry-relaxed wool, Kw 3.8, and finished, Kw 4.2."""
    assert dry_mm < gauge.loop_mm_from_gauge(stitches / 0.1016 / 10) < finished_mm, SPENCER


def test_a_loop_of_half_a_centimetre():
    """GATE 2015, Textile Engineering, question 54: fully relaxed, Kw 4.2, a loop of 0.5 cm makes 8.4 wales a cm."""
    assert gauge.loop_mm_from_gauge(84) == pytest.approx(5.0, rel=0.03)


def test_pair_of_socks():
    """One pair weighed, 78 g of a yarn of 400 m in 100 g: V. Bird, How to calculate how many metres of yarn."""
    assert sock_yarn.pair_room(312) == "perhaps"
    assert sock_yarn.PAIR_LEAST_M < 312 < sock_yarn.PAIR_MOST_M
