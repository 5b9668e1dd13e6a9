"""The layout as it is typed: text to layout and back, and refusals that say what to write."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.plan.errors import PlanError
from studio.plan.layout import (
    deleted,
    filling,
    inserted,
    layout_text,
    read_layout_text,
    recoloured,
    widened,
    with_colour,
    without_colour,
)
from studio.plan.model import LayoutPlan, PlannedBand
from studio.plan.shares import read_shares, shares_text
from tests.conftest import examples

NAMES = st.one_of(
    st.sampled_from(["rust", "deep water", "bare", "repeat", "repeat 3", "to fill", "12 knots", "rust 2", "once"]),
    st.just('"q"'),
    st.text(min_size=1, max_size=12).map(str.strip).filter(lambda n: n and n.isprintable() and "  " not in n),
)  # fmt: skip


@st.composite
def layouts(draw) -> tuple[LayoutPlan, list[str]]:
    names = draw(st.lists(NAMES, min_size=1, max_size=4, unique_by=str.casefold))
    by_share = draw(st.booleans())
    size = st.floats(0.001, 100).map(lambda x: round(x, 4)) if by_share else st.integers(1, 99999)
    bands = []
    for name, much in draw(st.lists(st.tuples(st.sampled_from([*names, ""]), size), min_size=1, max_size=8)):
        bands.append(
            PlannedBand(colour=name, share_percent=much) if by_share else PlannedBand(colour=name, rows=much)
        )
    times = 1 if by_share else draw(st.one_of(st.none(), st.integers(1, 500)))
    return LayoutPlan(order=tuple(bands), times=times), names


@examples(40)
@given(layouts())
def test_text_and_back_is_the_same_layout(drawn) -> None:
    layout, names = drawn
    assert read_layout_text(layout_text(layout), names) == layout


@given(st.text(max_size=60))
def test_any_text_is_a_layout_or_one_sentence(text: str) -> None:
    try:
        read_layout_text(text, ["rust", "kelp"])
    except PlanError as problem:
        assert str(problem) and "\n" not in str(problem)


@pytest.mark.parametrize(
    ("text", "order", "times"),
    [
        ("rust 6, bare 5, kelp 6, bare 5, repeat", "6 rust 5 - 6 kelp 5 -", None),
        ("6 rust, 5 bare, 6 kelp, repeated to the end", "6 rust 5 - 6 kelp", None),
        ("RUST 6 rows; Kelp 1 row, 3 times", "6 rust 1 kelp", 3),
        ("rust 12,5 %, kelp 40%, bare 5 per cent", "12.5% rust 40% kelp 5% -", 1),
        ("rust 6,kelp 5,repeat 4,", "6 rust 5 kelp", 4),
        ("rust 6 , once", "6 rust", 1),
    ],
)
def test_ways_of_writing_it(text: str, order: str, times: int | None) -> None:
    layout = read_layout_text(text, ["rust", "kelp"])
    told = " ".join(
        f"{b.rows if b.rows is not None else f'{b.share_percent:g}%'} {b.colour or '-'}" for b in layout.order
    )
    assert (told, layout.times) == (order, times)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "No band"),
        ("rust", "no band yet"),
        ("rust 6 kelp 5", 'comma is missing in "rust 6 kelp"'),
        ("rust 0", "1 to 100000 rows"),
        ("rust 0 %", "above 0"),
        ("rust 140 %", "up to 100 %"),
        ("repeat, rust 6", "comes last"),
        ("rust 6, repeat 0", "1 to 100000 times"),
    ],
)
def test_refusals(text: str, said: str) -> None:
    with pytest.raises(PlanError) as caught:
        read_layout_text(text, ["rust", "kelp"])
    assert said in str(caught.value)


SHARED = st.dictionaries(
    NAMES.filter(lambda n: not n.endswith("%")), st.floats(0.01, 100), min_size=1, max_size=5
)


@examples(40)
@given(SHARED)
def test_shares_and_back(shares: dict[str, float]) -> None:
    assert dict(read_shares(shares_text(shares.items()), "wool 100")) == shares


ROWS = LayoutPlan(order=(PlannedBand(colour="rust", rows=6), PlannedBand(colour="", rows=5)), times=None)
PARTS = LayoutPlan(
    order=(PlannedBand(colour="rust", share_percent=60.0), PlannedBand(colour="", share_percent=40.0))
)


def test_changes_of_a_band() -> None:
    assert layout_text(widened(ROWS, 0, 3)) == "rust 9, bare 5, repeat"
    assert layout_text(widened(ROWS, 1, -9)) == "rust 6, bare 1, repeat"
    assert layout_text(widened(PARTS, 0, 1)) == "rust 60 %, bare 40 %"  # 100 % is all there is
    assert layout_text(widened(PARTS, 1, -1)) == "rust 60 %, bare 35 %"
    assert layout_text(inserted(ROWS, 0)) == "rust 6, rust 6, bare 5, repeat"
    assert layout_text(inserted(PARTS, 1)) == "rust 60 %, bare 20 %, bare 20 %"
    assert layout_text(deleted(ROWS, 1)) == "rust 6, repeat" and deleted(deleted(ROWS, 1), 0) == deleted(
        ROWS, 1
    )
    assert layout_text(recoloured(ROWS, 0, ["rust", "kelp"])) == "kelp 6, bare 5, repeat"
    assert layout_text(recoloured(ROWS, 1, ["rust", "kelp"])) == "rust 6, rust 5, repeat"
    assert filling(filling(ROWS)) == ROWS and filling(PARTS) == PARTS
    assert layout_text(with_colour(ROWS, "kelp")) == "rust 6, bare 5, kelp 6, repeat"
    assert layout_text(with_colour(PARTS, "kelp")) == "rust 30 %, kelp 30 %, bare 40 %"
    assert layout_text(without_colour(ROWS, "rust")) == "bare 6, bare 5, repeat"
