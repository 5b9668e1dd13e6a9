"""What is typed wrong loses nothing, and of two that exclude each other the newer wins."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from studio.plan.draft.draft import PlanDraft
from studio.plan.draft.edits import Place
from studio.plan.fields import field_of, sections_for
from studio.plan.reading import beginnings
from studio.plan.shelf import Shelf
from studio.plan.ways import method_names
from studio.words.table import spoken
from tests.plan.draft.conftest import BANDS, FILE_TALK, TIDE, WEIGHT


@pytest.mark.parametrize(
    ("place", "typed", "said"),
    [
        (WEIGHT, "100 furlong", "unit"),
        (WEIGHT, "1,234.5 g", "two decimal marks"),
        (Place("fibre", None, "rows"), "22x", "not a number"),
        (Place("fibre", None, "rows"), "2.5", "whole number"),
        (Place("fibre", None, "form"), "blnk", "one of blank, skein"),
        (Place("water", None, "open"), "perhaps", "neither yes nor no"),
        (Place("presoak", None, "acid"), "white vinegr", 'did you mean "white vinegar"'),
        (Place("colour", 0, "dye"), "studio rus", 'did you mean "studio rust"'),
        (Place("colour", 0, "depth"), "0 %", "must lie above 0"),
        (BANDS, "rust 6, ba", "no band yet"),
        (BANDS, "rust 6, deep watr 5", 'did you mean "deep water"'),
        (BANDS, "rust 400, deep water 5", "the blank has 220"),
        (BANDS, "rust 6", 'does not use the colour "deep water"'),
    ],
)
def test_a_wrong_entry_keeps_the_last_good_figures_and_what_was_typed(draft, place, typed, said) -> None:
    before, text = draft.worksheet, draft.text
    draft.type(place, typed)
    assert draft.worksheet is before
    assert draft.trouble is not None and said in draft.trouble.sentence and draft.trouble.place == place
    assert "\n" not in draft.trouble.sentence and TIDE.name not in draft.trouble.sentence
    draft.keep()
    assert draft.shown(place) == typed
    assert draft.undo() == place and draft.text == text and draft.trouble is None


WRONG = ("x", "-3", "900 kg", "5 %", "99999999", "a 5, b 6", "")


@pytest.mark.parametrize("method", method_names())
@pytest.mark.one_in(3)
def test_no_sentence_on_screen_speaks_of_the_file(
    shelf: Shelf, method: str, sampled: Callable[..., Any]
) -> None:
    """Every field, left empty and with values that are wrong for most; each is refused in the field's own words."""
    begun = next(b for b in beginnings() if f'method = "{method}"' in b.text or method == method_names()[0])
    said: set[tuple[str, str]] = set()
    for section in sections_for(method):
        for field in section.fields:
            place = Place(section.table, 0 if section.table == "colour" else None, field.key)
            for typed in sampled(WRONG, 7):
                draft = PlanDraft(begun.text, shelf, name=TIDE.name)
                draft.put(place, typed)
                if draft.trouble is not None:
                    # Once more as the file gives it when the plan is opened again.
                    again = PlanDraft(draft.text, shelf, name=TIDE.name).trouble
                    told = (draft.trouble, again) if again is not None else (draft.trouble,)
                    said.update((field.key, spoken(trouble.sentence)) for trouble in told)
                said.update((c.id, c.text) for c in (draft.worksheet.cautions if draft.worksheet else ()))
    assert len({sentence for _, sentence in said}) > 30
    assert [one for one in sorted(said) if FILE_TALK.search(one[1])] == []


def test_a_plan_that_is_opened_again_says_what_was_said_when_it_was_typed(
    draft: PlanDraft, shelf: Shelf
) -> None:
    for place, typed in (
        (Place("fibre", None, "rows"), "22x"),
        (Place("water", None, "open"), "perhaps"),
        (Place("fibre", None, "blend"), "wool"),
        (Place("colour", 0, "mix"), "gorse"),
    ):
        draft.put(place, typed)
        said, again = draft.trouble, PlanDraft(draft.text, shelf, name=TIDE.name).trouble
        assert said is not None and again is not None
        assert (again.sentence, again.place) == (said.sentence, said.place)
        draft.undo()


NEWER = {
    "pH after a dose": ("presoak", "acid_amount", "60 mL", "target_ph", "4.2", ()),
    "dose after a pH": ("presoak", "target_ph", "4.2", "acid_amount", "60 mL", ()),
    "practice after a pH": ("presoak", "target_ph", "4.2", "practice", "vinegar-one-cup", ()),
    "pH after a practice": ("presoak", "practice", "vinegar-one-cup", "target_ph", "4.2", ()),
    "dose after a practice": ("presoak", "practice", "vinegar-one-cup", "acid_amount", "60 mL", ()),
    "hold after a practice": ("set", "practice", "steam-house", "hold", "30 min", ()),
    "practice after a hold": ("set", "hold", "30 min", "practice", "steam-house", ()),
    "mix after a dye": ("colour", "dye", "gorse", "mix", "gorse 70, deep water 30", ()),
    "dye after a mix": ("colour", "mix", "gorse 70, deep water 30", "dye", "gorse", ()),
    "depth after drops": ("colour", "drops", "10", "depth", "1 %", ("in",)),
    "drops after a depth": ("colour", "depth", "1 %", "drops", "10", ()),
    "drops after a mix": ("colour", "mix", "gorse 70, deep water 30", "drops", "10", ()),
}


@pytest.mark.parametrize(("table", "old", "was", "new", "typed", "too"), NEWER.values(), ids=NEWER)
def test_of_two_that_exclude_each_other_the_newer_wins_and_says_so(
    draft, table, old, was, new, typed, too
) -> None:
    row = 0 if table == "colour" else None
    draft.put(Place(table, row, old), was)
    if "in" in too:
        draft.put(Place(table, row, "in"), "3/4 cup")
    before = draft.text
    read = draft.type(Place(table, row, new), typed)
    assert not read.trouble and draft.value(Place(table, row, new)) is not None
    for key in (old, *too):
        assert draft.value(Place(table, row, key)) is None
    old_field, new_field = field_of(table, old), field_of(table, new)
    assert old_field is not None and new_field is not None
    for label in (old_field.label, new_field.label):
        assert label.removeprefix("or ").casefold() in draft.notice.casefold()
    assert was.split(",")[0] in draft.notice and "say two things" not in str(draft.trouble)
    draft.drop()
    assert draft.text == before and draft.notice == "", "left as it was, the older one is still there"
    draft.put(Place(table, row, new), typed)
    draft.undo()
    assert draft.text == before


def test_what_cannot_be_read_takes_the_place_of_nothing(draft: PlanDraft) -> None:
    draft.put(Place("presoak", None, "acid_amount"), "60 mL")
    draft.put(Place("presoak", None, "target_ph"), "sour")
    assert draft.value(Place("presoak", None, "acid_amount")) == "60 mL" and not draft.notice
    draft.undo()
    draft.put(Place("presoak", None, "practice"), "vinegar-some")
    assert draft.value(Place("presoak", None, "acid_amount")) == "60 mL" and not draft.notice
    assert draft.trouble is not None and "vinegar-one-cup" in draft.trouble.sentence


def test_in_a_kettle_too_the_newer_of_two_wins(shelf: Shelf) -> None:
    text = next(b.text for b in beginnings() if 'method = "kettle"' in b.text)
    draft = PlanDraft(text, shelf, name="k.plan.toml")
    for old, was, new, typed in (
        ("acid_amount", "60 mL", "target_ph", "4.5"),
        ("target_ph", "4.5", "acid_amount", "60 mL"),
        ("acid_added", "staged", "parts", "2"),
        ("parts", "2", "acid_added", "staged"),
    ):
        draft.put(Place("kettle", None, old), was)
        draft.put(Place("kettle", None, new), typed)
        assert draft.value(Place("kettle", None, old)) is None and draft.notice
        assert draft.trouble is None
    draft.put(Place("kettle", None, "parts"), "1")
    assert not draft.notice
