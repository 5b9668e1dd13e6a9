"""What a dye looks like is one answer: colour and depth, a colour name, a hex value, or a dye that stands in."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.plan.errors import PlanError
from studio.plan.preview import colours_seen
from studio.plan.reading import read_plan
from studio.plan.settled import settle
from studio.plan.shelf import Shelf, ShelfDye, read_looks
from studio.shelf.keys import echo, hint, key_of, value_of
from studio.shelf.reading import read_shelf

LOOKS = key_of("dye", "looks")

# sRGB of the names: CSS Color Module Level 4, section 6.1.
TAKEN = {
    "#b5532a at 1 %": ("#b5532a at 1 %", "#b5532a", 1.0),
    "#B5532A": ("#B5532A at 1 %", "#b5532a", 1.0),
    "b5532a, 2 %": ("b5532a at 2 %", "#b5532a", 2.0),
    "peru 0,5%": ("peru at 0.5 %", "#cd853f", 0.5),
    "Saddle brown at 3 per cent": ("Saddle brown at 3 %", "#8b4513", 3.0),
    "#fff at 1 %": ("#fff at 1 %", "#ffffff", 1.0),
}


@pytest.mark.parametrize(("typed", "wanted"), TAKEN.items())
def test_a_colour_and_its_depth_are_one_answer(typed: str, wanted: tuple[str, str, float]) -> None:
    written, hex_, depth = wanted
    assert value_of(LOOKS, typed) == written
    (dye,) = read_shelf({"dyes.toml": f'[[dye]]\nname = "x"\nclass = "milling"\nlooks = "{written}"\n'}).dyes
    assert dye.looks is not None and (dye.looks.hex, dye.looks.depth_percent) == (hex_, depth)


@pytest.mark.parametrize("typed", ["C.I. Acid Orange 7", "acid orange 7", "like orange 7", "Orange 7 at 2 %"])
def test_a_dye_that_stands_in_is_found_by_its_name(typed: str) -> None:
    found = read_looks(typed)
    assert (found.like, found.text, found.hex) == ("acid orange 7", "C.I. Acid Orange 7", "")


def test_a_dye_of_the_shelf_stands_in_by_the_studios_own_name() -> None:
    shelf = Shelf(
        dyes=(
            ShelfDye(name="studio rust", dye="C.I. Acid Orange 7"),
            ShelfDye(name="kelp", dye_class="milling", looks=read_looks("olive at 2 %")),
        )
    )
    assert value_of(LOOKS, "Studio rust", shelf) == "C.I. Acid Orange 7"
    assert value_of(LOOKS, "like kelp", shelf) == "olive at 2 %"


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("puce-ish", "is no colour and no dye"),
        ("acid orange", "may be C.I. Acid Orange"),
        ("#b5532a at 40 %", "above 0, up to 20 %"),
        ("peru at 0 %", "above 0"),
        ("acid ornge 7", 'did you mean "C.I. Acid Orange 7"'),
    ],
)
def test_a_refusal_says_what_to_write(typed: str, said: str) -> None:
    with pytest.raises(PlanError, match=said):
        value_of(LOOKS, typed)


@given(st.text(max_size=40))
def test_any_text_is_taken_or_refused_in_a_sentence_and_what_is_taken_says_itself_again(typed: str) -> None:
    try:
        found = read_looks(typed)
    except PlanError as problem:
        assert str(problem).endswith((".", "?")) and "\n" not in str(problem)
        return
    assert read_looks(found.text) == found


def test_what_is_typed_is_echoed_and_what_to_type_is_shown() -> None:
    assert echo(LOOKS, "peru") == "#cd853f at 1 %" and echo(LOOKS, "orange 7") == "like C.I. Acid Orange 7"
    assert echo(LOOKS, "pe") == "" and "a colour name" in hint(LOOKS)
    assert echo(key_of("base", "white"), "ivory") == "#fffff0"
    assert "may not even out" in echo(key_of("dye", "class"), "acid dye, class unknown")
    assert value_of(key_of("dye", "class"), "?") == "acid dye, class unknown"


PLAN = """format = "potside-plan/1"
title = "t"
[fibre]
blend = { wool = 100 }
dry_weight = "100 g"
form = "skein"
[presoak]
acid = "white vinegar"
[[colour]]
name = "kelp"
dye = "kelp"
depth = "1 %"
[set]
thickness = "3 cm"
"""


def test_a_dye_of_unknown_make_is_seen_as_the_one_that_stands_in() -> None:
    own, like = (
        colours_seen(settle(read_plan(PLAN, name="t"), Shelf(dyes=(ShelfDye(name="kelp", **said),))))[0]
        for said in (
            {"dye": "C.I. Acid Orange 7"},
            {"dye_class": "unknown", "looks": read_looks("like orange 7")},
        )
    )
    assert like.hex == own.hex != ""


def test_looks_at_the_depth_of_the_plan_are_the_colour_that_was_given() -> None:
    shelf = Shelf(dyes=(ShelfDye(name="kelp", dye_class="unknown", looks=read_looks("#6b7a4a at 1 %")),))
    (seen,) = colours_seen(settle(read_plan(PLAN, name="t"), shelf))
    assert seen.hex == "#6b7a4a"
