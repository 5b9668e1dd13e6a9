"""Pairs that cannot be told apart, and the colours between two bands."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.craft.colour.apart import TOLD_APART, as_seen, ciede2000, confused, too_close
from studio.craft.colour.observer import lab_of_hex

HEXES = st.integers(0, 0xFFFFFF).map(lambda number: f"#{number:06x}")


def test_close_pairs_by_the_published_differences():
    """Sharma 2005, pairs 1 and 17: 2.0425 is under the limit of 5, 27.1492 is not; the closest comes first."""
    colours = [(50, 2.6772, -79.7751), (73, 25, -18), (50, 0, -82.7485), (50, 2.5, 0), (50, 3.1736, 0.5854)]
    pairs = too_close(colours)
    assert [(pair.first, pair.second) for pair in pairs] == [(3, 4), (0, 2)]
    assert [pair.difference for pair in pairs] == pytest.approx([1.0, 2.0425], abs=1e-4)
    assert [(pair.first, pair.second) for pair in too_close(colours, limit=1.5)] == [(3, 4)]


@pytest.mark.parametrize("colours", [[], [(50, 0, 0)]])
def test_fewer_than_two_colours_make_no_pair(colours):
    assert too_close(colours) == () and confused(colours) == ()


def _hex(linear):
    encoded = [12.92 * c if c <= 0.0031308 else 1.055 * c ** (1 / 2.4) - 0.055 for c in linear]
    assert all(0 <= c <= 1 for c in encoded), encoded
    return "#" + "".join(f"{round(255 * c):02x}" for c in encoded)


# Viénot, Brettel and Mollon 1999: linear RGB to LMS; a step along one cone is invisible to who lacks it.
RGB_TO_LMS = [[17.8824, 43.5161, 4.11935], [3.45565, 27.1554, 3.86714], [0.0299566, 0.184309, 1.46709]]


@pytest.mark.parametrize(("kind", "cone", "step"), [("red-blind", 0, 6.0), ("green-blind", 1, 2.0)])
def test_colours_that_differ_in_one_cone_only_are_confused(kind, cone, step):
    """Two colours on a confusion line: one grey, one moved along the missing cone's axis."""
    np = pytest.importorskip("numpy")
    grey = np.full(3, 0.3)
    along = np.linalg.solve(np.array(RGB_TO_LMS), np.eye(3)[cone] * step)
    colours = [lab_of_hex(_hex(grey)), lab_of_hex(_hex(grey + along))]
    assert ciede2000(*colours) > 15
    found = [pair for pair in confused(colours) if pair.seen_by == kind]
    assert len(found) == 1 and found[0].difference < 1.5


def test_blue_and_yellow_are_told_apart_by_red_and_green_blind_eyes():
    """What dichromats of the red-green kind keep is the blue-yellow axis (the same papers)."""
    blue_and_yellow = [lab_of_hex("#2040c0"), lab_of_hex("#d0c020")]
    assert not [pair for pair in confused(blue_and_yellow, 30.0) if pair.seen_by != "blue-blind"]


def test_light_and_dark_are_told_apart_by_everyone():
    assert confused([(20, 0, 0), (80, 0, 0), (50, 0, 0)]) == ()


def test_a_pair_too_close_for_everyone_is_named_once():
    colours = [(50, 40, 20), (50.5, 40, 20)]
    assert len(too_close(colours)) == 1
    assert confused(colours) == ()


@given(st.lists(HEXES, min_size=2, max_size=4))
def test_pairs_are_places_in_order_within_the_limit(hexes):
    labs = [lab_of_hex(text) for text in hexes]
    for pair in too_close(labs):
        assert pair.first < pair.second < len(labs) and pair.difference < TOLD_APART
    for pair in confused(labs):
        assert pair.first < pair.second < len(labs)
        assert pair.difference < TOLD_APART <= ciede2000(labs[pair.first], labs[pair.second])
        assert pair.difference == pytest.approx(
            ciede2000(as_seen(labs[pair.first], pair.seen_by), as_seen(labs[pair.second], pair.seen_by))
        )
