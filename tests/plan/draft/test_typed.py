"""Whatever is typed into the fields of a plan, the text stays a plan file, and its figures those of the worksheet."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.plan.draft.draft import PlanDraft
from studio.plan.draft.edits import Place
from studio.plan.errors import PlanError
from studio.plan.fields import sections
from studio.plan.reading import read_plan
from studio.plan.sheet import work_out
from studio.plan.shelf import Shelf
from studio.report.worksheet import worksheet_json
from studio.shelf.reading import load_shelf
from tests.conftest import examples

ROOT = Path(__file__).resolve().parents[3]
TIDE = ROOT / "shared/plans/tidewrack-stripes.plan.toml"
WEIGHT = Place("fibre", None, "dry_weight")
SHELF = load_shelf(ROOT / "shared")
FIELDS = [(s, f) for s in sections() for f in s.fields]
TYPED = st.one_of(
    st.text(max_size=30),
    st.sampled_from(
        ["1,5 ml", "3/4 cup", "1 lb 4 oz", "20", "4.0", "yes", "no", "skein", "roll", "wool 100", "gorse 60, rust 40",
         "rust 6, bare 5, deep water 7, repeat 3", "rust 40 %, deep water 60 %", "32 st / 4 in", "-1", "nan", "",
         'a "quoted" \\ name', "kettle", "food red", "white vinegar", "2 h", "10 drops"]
    ),
)  # fmt: skip


@examples(15)
@given(st.lists(st.tuples(st.sampled_from(FIELDS), st.integers(0, 2), TYPED, st.booleans()), max_size=8))
def test_whatever_is_typed_the_text_stays_a_plan_file_and_every_step_goes_back(steps) -> None:
    draft = PlanDraft(TIDE.read_text(), SHELF, name="t")
    texts = [draft.text]
    for (section, field), row, typed, keep in steps:
        number = min(row, len(draft.colour_names()) - 1) if section.table == "colour" else None
        try:
            draft.type(Place(section.table, number, field.key), typed)
        except PlanError:
            draft.drop()
        tomllib.loads(draft.text)
        if not keep:
            draft.drop()
        elif draft.keep():
            texts.append(draft.text)
        assert draft.text == texts[-1]
    for text in reversed(texts):
        assert draft.text == text
        draft.undo()
    while draft.redos:
        draft.redo()
    assert draft.text == texts[-1]


@pytest.mark.parametrize("name", ["kelp-forest", "lantern-floats", "tidewrack-stripes"])
@pytest.mark.one_in(3)
def test_a_plan_typed_field_by_field_is_the_plan(name: str, shelf: Shelf) -> None:
    """Every value of a plan, shown as it is typed and typed anew, is the same plan and the same file."""
    path = ROOT / f"shared/plans/{name}.plan.toml"
    draft = PlanDraft(path.read_text(), shelf, name=path.name)
    before = draft.plan
    for section, field in FIELDS:
        for row in range(len(draft.colour_names())) if section.table == "colour" else [None]:
            place = Place(section.table, row, field.key)
            if draft.value(place) is not None:
                draft.put(place, draft.shown(place))
    assert draft.plan == before and draft.trouble is None
    assert tomllib.loads(draft.text) == tomllib.loads(path.read_text())


GRAMS = st.integers(20, 900).map(lambda n: f"{n} g")
GOOD: dict[tuple[str, str], st.SearchStrategy[str]] = {
    ("", "title"): st.text(min_size=1, max_size=30).map(str.strip).filter(bool),
    ("", "salt"): st.sampled_from(["none", "Glauber's"]),
    ("", "reserve"): st.sampled_from(["0 %", "12,5 %", "40 %"]),
    ("fibre", "dry_weight"): GRAMS,
    ("fibre", "blend"): st.sampled_from(["wool 100", "superwash wool 60 %, nylon 40 %", "50 wool, 50 silk"]),
    ("fibre", "rows"): st.integers(60, 900).map(str),
    ("fibre", "yarn_length"): st.sampled_from(["400 m", "460 yd", "1 200 ft"]),
    ("water", "ph"): st.sampled_from(["7", "7,2", "pH 8"]),
    ("water", "altitude"): st.integers(-400, 4000).map(lambda n: f"{n} m"),
    ("water", "open"): st.sampled_from(["yes", "no"]),
    ("presoak", "liquor_ratio"): st.sampled_from(["15", "22,5", "30"]),
    ("presoak", "target_ph"): st.sampled_from(["3.8", "4,5", "pH 5"]),
    ("presoak", "time"): st.sampled_from(["45 min", "1 h 30 min", "90 minutes"]),
    ("presoak", "temperature"): st.sampled_from(["40 C", "104 F", "35 °C"]),
    ("layout", "order"): st.sampled_from(["rust 6, bare 5, deep water 7, repeat", "rust 20 %, deep water 55,5 %"]),
    ("set", "hob"): st.sampled_from(["800 W", "1,5 kW"]),
    ("set", "pot_water"): st.sampled_from(["3/4 gal", "1.5 L", "6 cups"]),
    ("set", "lid"): st.sampled_from(["yes", "no"]),
    ("kit", "use"): st.sampled_from(["", "steamer pot", "steamer pot, dye jars"]),
    ("knit", "gauge"): st.sampled_from(["28 st / 10 cm", "7 st/in"]),
}  # fmt: skip


@examples(10)
@given(st.fixed_dictionaries({}, optional=GOOD), st.sampled_from(["0.3 %", "1,25 %", "2 per cent"]))
def test_any_plan_made_of_good_entries_is_the_same_when_it_is_read_again(entries, depth) -> None:
    draft = PlanDraft(TIDE.read_text(), SHELF, name="t")
    draft.put(Place("fibre", None, "squeezed_weight"), "2 kg")
    draft.put(Place("colour", 1, "depth"), depth)
    for (table, key), typed in entries.items():
        draft.put(Place(table, None, key), typed)
    assert draft.trouble is None and draft.plan is not None
    again = PlanDraft(draft.text, SHELF, name="t")
    assert again.plan == draft.plan == read_plan(draft.text, name="t", drops_per_ml=22)
    for table, key in entries:
        place = Place(table, None, key)
        again.put(place, again.shown(place))
    assert again.plan == draft.plan


@pytest.mark.one_in(2)
@pytest.mark.parametrize("number", range(20))
def test_figures_are_those_of_the_printed_worksheet(number: int, shelf: Shelf) -> None:
    """Twenty plans, each changed through the fields, against the reader and the JSON of `potside worksheet`."""
    every = sorted((ROOT / "shared/plans").glob("*.plan.toml"))
    paths = [path for path in every if "[set]" in path.read_text()]
    path = paths[number % len(paths)]
    draft = PlanDraft(path.read_text(), shelf, name=path.name)
    draft.put(Place("fibre", None, "squeezed_weight"), f"{150 + 7 * number} g")
    draft.put(WEIGHT, f"{60 + 5 * number} g")
    draft.put(Place("water", None, "altitude"), f"{100 * number} ft")
    draft.put(Place("set", None, "thickness"), f"{20 + number} mm")
    if number % 3 == 2:
        draft.put(Place("colour", 0, "depth"), f"{0.2 + number / 20:.2f} %")
    assert draft.trouble is None and draft.worksheet is not None
    plan = read_plan(draft.text, name=path.name, drops_per_ml=shelf.studio.drops_per_ml)
    assert worksheet_json(draft.worksheet) == worksheet_json(work_out(plan, shelf))


@pytest.mark.parametrize(
    ("name", "place", "typed"),
    [
        ("slack-water", Place("kettle", None, "hold"), "50 min"),
        ("slack-water", Place("kettle", None, "parts"), "3"),
        ("riding-lights", Place("microwave", None, "rest"), "3 min"),
    ],
)
def test_a_kettle_and_a_microwave_are_filled_in_too(
    name: str, place: Place, typed: str, shelf: Shelf
) -> None:
    path = ROOT / f"shared/plans/{name}.plan.toml"
    draft = PlanDraft(path.read_text(), shelf, name=path.name)
    draft.put(place, typed)
    assert draft.trouble is None and draft.worksheet is not None
    plan = read_plan(draft.text, name=path.name, drops_per_ml=shelf.studio.drops_per_ml)
    assert worksheet_json(draft.worksheet) == worksheet_json(work_out(plan, shelf))


def test_another_method_takes_its_own_tables_and_one_step_brings_all_back(draft: PlanDraft) -> None:
    text = draft.text
    draft.put(Place("", None, "method"), "kettle")
    assert draft.trouble is not None and draft.trouble.sentence.startswith("Colour stands there 2 times")
    assert draft.remove_colour(1) and draft.trouble is None
    data = tomllib.loads(draft.text)
    assert "set" not in data and "layout" not in data and data["kettle"] == {
        "acid": "pickling vinegar", "target_ph": 4.0,
    }  # fmt: skip
    draft.put(Place("", None, "method"), "microwave")
    assert draft.trouble is not None and draft.trouble.place == Place("microwave", None, "power")
    draft.put(Place("microwave", None, "power"), "600 W")
    data = tomllib.loads(draft.text)
    assert draft.trouble is None and "kettle" not in data and data["presoak"]["target_ph"] == 4.0
    for _ in range(4):
        draft.undo()
    assert draft.text == text and draft.trouble is None
