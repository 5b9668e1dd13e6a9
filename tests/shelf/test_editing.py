"""Changing shelf files: what was meant changes, and comments, order and unknown keys stay."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from studio.plan.draft.field_text import read_field, show_field
from studio.plan.errors import PlanError
from studio.plan.fields import field_of
from studio.plan.reading import read_plan
from studio.plan.settled import settle
from studio.plan.shelf import folded
from studio.quantity import reading_in
from studio.shelf.editing import BEFORE, FILES, MOST_MARKS, Add, Mark, Put, Remove, edited, names_in, places
from studio.shelf.keys import SHELF_TABLES, echo, key_of, value_of
from studio.shelf.reading import load_shelf, read_shelf
from studio.shelf.telling import lines_of_shelf, told_of
from studio.tables.finding import find_fibre

DYES = """# my dyes

# bought in spring
[[dye]]
name = "rust"   # the jar with the dent
dye = "C.I. Acid Orange 7"
on_hand = "25 g"  # weighed in May

# from the fair
[[dye]]
name = "kelp"
class = "milling"
shade = "dark"

# the end
"""


def comments(text: str) -> list[str]:
    return re.findall(r"#[^\n]*", text)


def test_a_value_changes_where_it_stands() -> None:
    (text,) = edited(
        {"dyes.toml": DYES}, [Put(table="dye", name="RUST", key="on_hand", value="24.6 g")]
    ).values()
    assert text == DYES.replace('"25 g"', '"24.6 g"')


def test_a_new_value_stands_under_its_entry() -> None:
    (text,) = edited({"dyes.toml": DYES}, [Put(table="dye", name="rust", key="sheet", value="x")]).values()
    assert text == DYES.replace("# weighed in May\n", '# weighed in May\nsheet = "x"\n')


def test_a_new_entry_stands_after_its_kind_and_before_what_follows() -> None:
    new = Add(table="dye", values={"name": "new", "class": "food"})
    (text,) = edited({"dyes.toml": DYES}, [new]).values()
    added = '\n[[dye]]\nname = "new"\nclass = "food"\n'
    assert text == DYES.replace('shade = "dark"\n', f'shade = "dark"\n{added}')


def test_an_entry_goes_and_its_neighbours_stay() -> None:
    (text,) = edited({"dyes.toml": DYES}, [Remove(table="dye", name="rust")]).values()
    assert [dye["name"] for dye in tomllib.loads(text)["dye"]] == ["kelp"]
    assert {"# my dyes", "# bought in spring", "# from the fair", "# the end"} <= set(comments(text))


def test_a_file_that_is_not_there_is_begun() -> None:
    new = Add(table="jar", values={"name": "a", "dye": "rust", "strength": "1 %", "volume": "80 mL"})
    assert edited({}, [new]) == {
        "jars.toml": '[[jar]]\nname = "a"\ndye = "rust"\nstrength = "1 %"\nvolume = "80 mL"\n'
    }


def test_windows_line_ends_stay() -> None:
    text = DYES.replace("\n", "\r\n")
    new = [
        Put(table="dye", name="rust", key="on_hand", value="3 g"),
        Add(table="dye", values={"name": "new", "class": "food"}),
    ]
    (changed,) = edited({"dyes.toml": text}, new).values()
    assert "\n" not in changed.replace("\r\n", "")


REFUSED = {
    "no unit": (Put(table="dye", name="rust", key="on_hand", value="25"), "number without a unit"),
    "no measure": (Put(table="dye", name="rust", key="on_hand", value="lots"), "is not a weight"),
    "no such entry": (Put(table="dye", name="gone", key="on_hand", value="25 g"), "no dye"),
    "a name": (Put(table="dye", name="rust", key="name", value="x"), "changed in the files"),
    "twice": (Add(table="dye", values={"name": "Rust", "class": "food"}), "already"),
    "not enough": (Add(table="dye", values={"name": "x"}), "is missing"),
    "price alone": (Put(table="dye", name="rust", key="price", value=8.0), "pack"),
}


@pytest.mark.parametrize(("change", "said"), REFUSED.values(), ids=REFUSED)
def test_what_the_shelf_could_not_read_is_refused(change: Any, said: str) -> None:
    with pytest.raises(PlanError, match=said):
        edited(
            {"dyes.toml": DYES.replace('on_hand = "25 g"', "pack = 3") if said == "pack" else DYES}, [change]
        )


def test_marks_are_kept_to_a_number_and_what_is_older_counts_as_done() -> None:
    full = "".join(f'2026{number:04d} = ["a"]\n' for number in range(MOST_MARKS))
    texts = {"dyes.toml": f"{DYES}\n[drawn]\n{full}"}
    for number in (MOST_MARKS, MOST_MARKS + 1):
        texts |= edited(texts, [Mark(file="dyes.toml", session=f"2026{number:04d}", ids=("a",))])
    drawn = read_shelf(texts).drawn
    assert len(drawn) == MOST_MARKS + 1
    assert drawn[BEFORE] == ("20260001",)
    assert comments(texts["dyes.toml"])[:5] == comments(DYES)[:5]


NAMES = st.text(st.characters(exclude_categories=("Cs",)), min_size=1, max_size=20).filter(
    lambda text: text.strip() == text and text.strip()
)
WEIGHTS = st.integers(0, 5000).map(lambda n: f"{n / 10:g} g")
VOLUMES = st.integers(1, 50000).map(lambda n: f"{n / 10:g} mL")
TEXT = NAMES
DAYS = st.dates().map(lambda day: day.isoformat())
OPTIONAL = {
    "dye": {
        "on_hand": WEIGHTS,
        "pack": st.just("25 g"),
        "sheet": TEXT,
        "components": st.lists(TEXT, max_size=3),
    },
    "acid": {"on_hand": VOLUMES, "strength": st.just("5 %"), "sheet": TEXT},
    "base": {
        "on_hand": st.integers(0, 50),
        "dry_weight": st.just("100 g"),
        "price": st.floats(0, 99),
        "rows": st.just(9),
    },
    "kit": {"volume": VOLUMES, "power": st.just("1.8 kW"), "steam_time": st.just("40 min")},
    "jar": {
        "made": TEXT | DAYS,
        "use_by": DAYS,
        "kind": st.sampled_from(["stock", "paint"]),
        "session": TEXT,
    },
}
NEEDED: dict[str, dict[str, Any]] = {
    "dye": {"class": "milling"},
    "acid": {"acid": "white vinegar"},
    "base": {"blend": {"superwash wool": 75, "nylon": 25}},
    "kit": {"kept_for": "dye only"},
    "jar": {"dye": "rust", "strength": "1 %", "volume": "80 mL"},
}


@st.composite
def entries(draw: Any, table: str) -> dict[str, Any]:
    more = {key: draw(value) for key, value in OPTIONAL[table].items() if draw(st.booleans())}
    return {"name": draw(NAMES), **NEEDED[table], **more}


ENTRIES = st.sampled_from(sorted(NEEDED)).flatmap(lambda table: st.tuples(st.just(table), entries(table)))
LISTS = st.lists(ENTRIES, max_size=3, unique_by=lambda pair: (pair[0], folded(pair[1]["name"])))


@given(LISTS)
@example([("kit", {"name": "[red]x[/]\x1b]0;owned\x07\u202e", "kept_for": "dye only"})])
def test_any_valid_shelf_saved_and_loaded_is_the_same(found: list[tuple[str, dict[str, Any]]]) -> None:
    """Oracle: tomllib reads the very values that were put in, and the shelf has an entry for each."""
    texts = {file: f"# {file}\n" for file in FILES.values()}
    for table, values in found:
        texts |= edited(texts, [Add(table=table, values=values)])
    for table, file in FILES.items():
        assert tomllib.loads(texts[file]).get(table, []) == [values for t, values in found if t == table]
        assert texts[file].startswith(f"# {file}\n")
    shelf = read_shelf(texts)
    assert not shelf.remarks
    assert len(places(texts)) == len(found)
    for line in lines_of_shelf(shelf, places(texts)):
        assert line.label
    for place in places(texts).values():
        assert len(told_of(shelf, place)) == len(SHELF_TABLES[place.table].fields)


@given(LISTS.filter(bool), st.data())
def test_a_change_changes_that_and_nothing_else(found: list[tuple[str, dict[str, Any]]], data: Any) -> None:
    texts = {file: f"# {file}\n" for file in FILES.values()}
    for n, (table, values) in enumerate(found):
        texts |= edited(texts, [Add(table=table, values=values)])
        texts[FILES[table]] += f"\n# after {n}\n"
    table, values = data.draw(st.sampled_from(found))
    name = values["name"]
    change = data.draw(
        st.sampled_from(
            [
                Remove(table=table, name=name),
                Mark(file=FILES[table], session="20260912-0704-x-63ea", ids=("acid", "stock.rust")),
                *(Put(table=table, name=name, key=key, value=value) for key, value in _puts(table)),
            ]
        )
    )
    before = {file: tomllib.loads(text) for file, text in texts.items()}
    after = edited(texts, [change])
    assert set(after) == {FILES[table]}
    assert comments(texts[FILES[table]]) == [
        c for c in comments(after[FILES[table]]) if not c.startswith("# What finished")
    ] or "#" in str(found)
    now, was = tomllib.loads(after[FILES[table]]), before[FILES[table]]
    if isinstance(change, Remove):
        assert now.get(table, []) == [row for row in was[table] if row is not values and row != values]
    elif isinstance(change, Mark):
        assert now.pop("drawn") == {"20260912-0704-x-63ea": ["acid", "stock.rust"]}
        assert now == was
    else:
        row = next(r for r in was[table] if r == values)
        row[change.key] = change.value
        assert now == was


def _puts(table: str) -> list[tuple[str, Any]]:
    return {
        "dye": [("on_hand", "0 g"), ("sheet", "https://example.org/\u202ex"), ("components", ["a", "b"])],
        "acid": [("on_hand", "1.5 L")],
        "base": [("on_hand", 0), ("price", 7.5), ("blend", {"wool": 100})],
        "kit": [("volume", "9 L")],
        "jar": [("volume", "3 mL"), ("use_by", "2027-01-02")],
    }[table]


@pytest.mark.parametrize(
    "typed",
    [
        "75 superwash wool, 25 nylon",
        "superwash wool 75, nylon 25",
        "superwash wool 75 %, 25 % nylon",
        "wool, superwash 75, nylon 25",
        "75 wool, superwash, 25 nylon",
    ],
)
def test_both_word_orders_of_a_fibre_are_taken_on_the_shelf_and_in_a_plan(typed: str) -> None:
    blend = value_of(key_of("base", "blend"), typed)
    field = field_of("fibre", "blend")
    assert field is not None and read_field(field, typed).value == blend
    rows = [(find_fibre(name), share) for name, share in blend.items()]
    assert [(row.name if row else "", share) for row, share in rows] == [
        ("superwash wool", 75),
        ("nylon", 25),
    ]


TYPED = {
    ("dye", "mixture"): ("yes", True),
    ("dye", "components"): ("a, b ,c", ["a", "b", "c"]),
    ("dye", "price"): ("8,5", 8.5),
    ("base", "on_hand"): ("3", 3),
    ("base", "blend"): ("75 % superwash wool, 25 nylon", {"superwash wool": 75, "nylon": 25}),
    ("dye", "sheet"): (" https://example.org/a ", "https://example.org/a"),
    ("dye", "on_hand"): ("", None),
}


@pytest.mark.parametrize(("place", "typed", "value"), [(p, *v) for p, v in TYPED.items()], ids=str)
def test_typed_values(place: tuple[str, str], typed: str, value: Any) -> None:
    key = key_of(*place)
    assert value_of(key, typed) == value
    if value is not None:
        assert value_of(key, show_field(key, value)) == value


@pytest.mark.parametrize(
    ("place", "typed"),
    [
        (("dye", "price"), "cheap"),
        (("dye", "mixture"), "perhaps"),
        (("base", "blend"), "wool"),
        (("dye", "sheet"), "a\x1b[2J"),
        (("jar", "volume"), " "),
    ],
)
def test_typed_values_that_cannot_be(place: tuple[str, str], typed: str) -> None:
    with pytest.raises(PlanError):
        value_of(key_of(*place), typed)


# 4 German degrees of carbonate hardness are 4 x 17.848 mg/L as CaCO3, by the definition of the degree.
@pytest.mark.parametrize(
    ("typed", "told"), [("4 °dKH", "71.4"), ("7 °fH", "70"), ("4 gpg", "68.5"), ("5 Clark", "71.3")]
)
def test_alkalinity_is_echoed_in_mg_l(typed: str, told: str) -> None:
    assert echo(key_of("studio", "alkalinity"), typed) == f"{told} mg/L as CaCO3"


def test_no_key_of_an_entry_is_listed_twice() -> None:
    for keys in (section.fields for section in SHELF_TABLES.values()):
        assert len({key.key for key in keys}) == len({key.label for key in keys}) == len(keys)


@pytest.mark.parametrize(("typed", "told"), [("101.5 g", ""), ("4 oz", "113 g"), ("0.3927 g", "")])
def test_what_was_typed_in_grams_is_not_told_otherwise(typed: str, told: str) -> None:
    """4 x 28.35 g = 113.4 g, to three figures."""
    assert echo(key_of("base", "dry_weight"), typed) == told


@pytest.mark.parametrize("typed", ["18 C", "18 degC", "18 °C"])
def test_a_degree_written_without_its_sign_is_not_told_once_more(typed: str) -> None:
    assert echo(key_of("studio", "room"), typed) == ""


@pytest.mark.parametrize(
    ("table", "key", "typed", "read_as"),
    [
        ("studio", "scale_resolution", "0.1 g", ""),
        ("studio", "altitude", "15 m", "49 ft"),
        ("studio", "room", "64 F", "17.8 °C"),
        ("acid", "on_hand", "2 cups", "473 mL"),
        ("thickener", "on_hand", "4 oz", "113 g"),
        ("base", "dry_weight", "100 g", "3.55 oz"),
    ],
)
def test_in_us_units_a_value_is_echoed_once_by_what_it_is(
    monkeypatch: pytest.MonkeyPatch, table: str, key: str, typed: str, read_as: str
) -> None:
    """A scale's step, acid and gum are of no kitchen, and heights are in feet."""
    monkeypatch.setattr(reading_in, "_asked", [lambda: "US"])
    assert echo(key_of(table, key), typed) == read_as


def test_a_plan_means_the_same_entries_however_it_spaces_their_names() -> None:
    """Kit that is kept for the kitchen is refused, and an entry is said to be used, whatever the blanks in its name."""
    folder = Path(__file__).parents[2] / "shared"
    text, shelf = (folder / "plans/tidewrack-stripes.plan.toml").read_text(), load_shelf(folder)
    names = [
        entry.name for entry in (*shelf.dyes, *shelf.acids, *shelf.bases, *shelf.kit) if " " in entry.name
    ]
    spaced = text
    for name in names:
        spaced = spaced.replace(f'"{name}"', f'"{name.title().replace(" ", "  ")}"')
    assert spaced != text
    plans = [read_plan(one, name="x") for one in (text, spaced)]
    assert names_in(plans[0]) == names_in(plans[1])
    assert settle(plans[0], shelf).kit == settle(plans[1], shelf).kit
