"""A new entry can always be completed, whatever was answered, gone back to or left on the way."""

from __future__ import annotations

import re
from typing import Any

import msgspec
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from studio.plan.errors import PlanError
from studio.shelf.adding import ASKED, Adding, answered, back, kept, puts
from studio.shelf.editing import edited, places
from studio.shelf.keys import SHELF_TABLES, key_of, on_shelf_screen
from studio.shelf.reading import read_shelf

SHELF = {
    "dyes.toml": '[[dye]]\nname = "rust"\ndye = "C.I. Acid Orange 7"\n',
    "acids.toml": '[[acid]]\nname = "pantry"\nacid = "white vinegar"\n',
}
FILE_TALK = re.compile(r"\w\[|\[\[|\w_\w| = |\.toml|in quotes|\b(?:dye|acid|base|jar|kit|studio)\.[a-z]")
ANSWERS = (
    "", "rust", "gull", "C.I. Acid Orange 7", "orange 7", "orange", "milling", "unknown", "acid dye, class unknown",
    "powder", "liquid", "Liquid", "p", "5 g", "30 mL", "0.2", "1 %", "white vinegar", "citric acid",
    "75 wool, 25 nylon",
    "wool, superwash 100", "blank", "dye only", "kitchen", "#b5532a at 1 %", "peru", "like orange 7", "2026-11-26",
    "3", "x" * 90, "a\x1b[2J", "2 %", "100 g",
)  # fmt: skip
"""Good for one question, wrong for most others."""
STEPS = st.lists(st.one_of(st.sampled_from(ANSWERS), st.sampled_from(["<back>", "<leave>"])), max_size=9)


def good_answers(adding: Adding) -> tuple[str, ...]:
    """What the screen itself says to write there, and leaving it out."""
    return (adding.key.example, "gull", "")


@given(st.sampled_from(sorted(ASKED)), STEPS)
@example("dye", ["gull", "milling", "powder", "30 mL", ""])
@example("dye", ["gull", "unknown", "liquid", "5 g", "<back>", "<back>", "liquid"])
@example("acid", ["gull", "white vinegar", "<back>", "<back>", "<back>", "gull", "citric acid", "30 mL"])
def test_no_order_of_answers_leads_to_a_deadlock(table: str, steps: list[str]) -> None:
    adding = Adding(table=table)
    for step in steps:
        if step == "<back>":
            adding = back(adding, "half ty")
        elif step == "<leave>":
            adding = msgspec.json.decode(msgspec.json.encode(kept(adding, "half ty")), type=Adding)
        else:
            before = adding
            try:
                adding = answered(adding, step, SHELF)
            except PlanError as problem:
                said = on_shelf_screen(problem, table)
                assert not FILE_TALK.search(re.sub('"[^"]*"', "", said)), said
                adding = kept(before, step)
                assert adding.at == before.at and adding.text == step
                assert {*before.done} - {before.at} <= {*adding.done}, "no other answer is lost"
        if not adding.at:
            break
    for _ in range(2 * len(ASKED[table])):
        if not adding.at:
            break
        for text in good_answers(adding):
            try:
                adding = answered(adding, text, SHELF)
            except PlanError:
                continue
            break
        else:
            pytest.fail(f"nothing is taken for {adding.question}")
    assert not adding.at
    after = {**SHELF, **edited(SHELF, [adding.change])}
    assert (table, adding.typed["name"].casefold()) in places(after) and not read_shelf(after).remarks


def test_each_answer_is_tried_when_it_is_given_and_not_at_the_end() -> None:
    adding = answered(answered(Adding(table="dye"), "gull", SHELF), "milling", SHELF)
    with pytest.raises(PlanError, match="powder, liquid"):
        answered(adding, "liqid", SHELF)
    with pytest.raises(PlanError, match='a dye "rust" already'):
        answered(Adding(table="dye"), "Rust", SHELF)


def test_a_dye_of_the_tables_is_told_by_hue_class_and_note() -> None:
    adding = answered(answered(Adding(table="dye"), "mill blue", SHELF), "C.I. 61585", SHELF)
    assert adding.notice == "Reddish blue; milling acid dye. The usual milling blue."


def test_the_newer_of_form_and_measure_wins_and_says_so() -> None:
    adding = Adding(table="dye")
    for text in ("gull", "milling", "powder", "30 mL"):
        adding = answered(adding, text, SHELF)
    assert (adding.typed["form"], adding.notice) == ("liquid", "A liquid now: on hand is 30 mL.")
    assert adding.change.values["form"] == "liquid"
    adding = back(back(adding, ""), "30 mL")
    assert (adding.at, adding.text) == ("form", "liquid")
    adding = answered(adding, "powder", SHELF)
    assert adding.at == "on_hand" and "On hand 30 mL is left out: a powder is weighed" in adding.notice


def test_an_unknown_class_is_an_answer_and_what_it_means_is_said() -> None:
    adding = answered(answered(Adding(table="dye"), "gull", SHELF), "acid dye, class unknown", SHELF)
    assert adding.at == "form"
    assert (
        adding.notice.startswith("Acid dye, class unknown. Careful both ways")
        and "pH 4 to 5" in adding.notice
    )
    assert adding.change.values["class"] == "acid dye, class unknown"
    (_, dye) = read_shelf({**SHELF, **edited(SHELF, [adding.change])}).dyes
    assert dye.dye_class == "unknown"


def test_a_dye_is_found_by_the_words_of_its_name() -> None:
    adding = answered(Adding(table="dye"), "gull", SHELF)
    assert answered(adding, "orange 7", SHELF).change.values["dye"] == "C.I. Acid Orange 7"
    with pytest.raises(PlanError, match=r"may be C\.I\. Acid Orange"):
        answered(adding, "acid orange", SHELF)


VALUES: dict[str, dict[str, tuple[str, ...]]] = {
    "dye": {
        "dye": ("C.I. Acid Red 1",), "class": ("milling", "unknown", ""), "form": ("powder", "liquid", ""),
        "strength": ("2 %", ""), "on_hand": ("5 g", "30 mL", ""), "price": ("8.5 for 25 g", "3 for 100 mL", ""),
        "pack": ("25 g", "1 L", ""), "looks": ("peru", "#b5532a at 2 %", ""), "mixture": ("yes", ""),
        "components": ("a, b", ""), "sheet": ("x", ""),
    },
    "acid": {
        "acid": ("white vinegar", "citric acid"), "strength": ("6 %", ""), "on_hand": ("",), "price": ("",),
        "pack": ("",), "sheet": ("x",),
    },
    "base": {
        "blend": ("wool 100", "25 nylon, 75 wool, superwash"), "form": ("skein", "blank", ""), "rows": ("220", ""),
        "white": ("ivory", "#f2ead8", ""), "price": ("11.5", ""), "on_hand": ("0", "3"), "dry_weight": ("4 oz",),
    },
    "jar": {
        "dye": ("rust",), "strength": ("1 %",), "volume": ("3 mL",), "made": ("", "2026-11-01"),
        "use_by": ("2026-12-24",),
        "kind": ("stock", "paint", ""), "session": ("x", ""),
    },
}  # fmt: skip
ENTRY = {
    "dye": '[[dye]]\nname = "new"\ndye = "C.I. Acid Orange 7"\non_hand = "21 g"\nprice = 7\npack = "25 g"\n',
    "acid": '[[acid]]\nname = "new"\nacid = "white vinegar"\non_hand = "1 L"\nprice = 1\npack = "1 L"\n',
    "thickener": '[[thickener]]\nname = "new"\nthickener = "guar"\non_hand = "85 g"\nprice = 4\npack = "100 g"\n',
    "base": '[[base]]\nname = "new"\nblend = { wool = 100 }\n',
    "jar": '[[jar]]\nname = "new"\ndye = "rust"\nstrength = "1 %"\nvolume = "80 mL"\n',
}


def put(texts: dict[str, str], table: str, key: str, typed: str) -> str:
    """As the screen does it; the notice."""
    place = places(texts)[table, "new"]
    changes, said = puts(place, key_of(table, key), typed, read_shelf(texts))
    texts.update(edited(texts, changes))
    return said


@given(st.data(), st.sampled_from(sorted(VALUES)))
def test_the_values_of_an_entry_are_taken_in_any_order(data: Any, table: str) -> None:
    texts = {"x.toml": ENTRY[table]}
    keys = st.sampled_from(sorted(VALUES[table]))
    for _ in range(8):
        key = data.draw(keys)
        put(texts, table, key, data.draw(st.sampled_from(VALUES[table][key])))
        assert not read_shelf(texts).remarks


def test_what_a_newer_value_takes_the_place_of_is_told() -> None:
    texts = {"x.toml": ENTRY["dye"]}
    said = put(texts, "dye", "strength", "2 %")
    assert (
        said
        == "A liquid now: strength is 2 %. On hand 21 g and pack 25 g and price of a pack 7 are left out: a "
        "liquid is measured by volume."
    )
    assert put(texts, "dye", "on_hand", "25 g").startswith(
        "A powder now: on hand is 25 g. Strength 2 % is left out"
    )
    with pytest.raises(PlanError, match="The price of how much"):
        put(texts, "dye", "price", "8.5")
    put(texts, "dye", "price", "8.5 for 25 g")
    (dye,) = read_shelf(texts).dyes
    assert dye.price is not None and dye.price.per_unit == pytest.approx(0.34) and dye.form == "powder"
    texts = {"x.toml": ENTRY["acid"]}
    assert "On hand 1 L" in put(texts, "acid", "acid", "citric acid")


WRONG = ("x", "-3", "900 kg", "5 %", "99999999", "a 5, b 6", "0", "y" * 300)


@pytest.mark.parametrize("table", sorted(SHELF_TABLES))
def test_no_refusal_of_the_shelf_screens_speaks_of_the_file(table: str) -> None:
    texts = {
        "x.toml": {**ENTRY, "kit": '[[kit]]\nname = "new"\nkept_for = "dye only"\n', "studio": "[studio]\n"}[
            table
        ]
    }
    place = places(texts)[table, "" if table == "studio" else "new"]
    said = []
    for key in SHELF_TABLES[table].fields:
        for typed in (*WRONG, ""):
            try:
                edited(texts, puts(place, key, typed, read_shelf(texts))[0])
            except PlanError as problem:
                said.append(on_shelf_screen(problem, table))
    assert len(said) > 10
    assert [one for one in said if FILE_TALK.search(re.sub('"[^"]*"', "", one))] == []
