"""Names as people write them lead to the row that is meant, and to one row only."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.tables.finding import find_acid, find_dye, find_fibre, nearest
from studio.tables.rows import acids, dyes, fibres

ACID_DYES = """
Acid Yellow 3, Acid Yellow 17, Acid Yellow 42, Acid Yellow 49, Acid Yellow 59, Acid Orange 7, Acid Orange 67,
Acid Red 1, Acid Red 114, Acid Red 138, Acid Red 249, Acid Red 337, Acid Violet 17, Acid Violet 90, Acid Blue 9,
Acid Blue 45, Acid Blue 80, Acid Blue 113, Acid Blue 158, Acid Blue 193, Acid Blue 324, Acid Green 25,
Acid Brown 14, Acid Black 172
""".replace("\n", " ").split(",")
ACID_DYES = [name.strip() for name in ACID_DYES]


@pytest.mark.parametrize("name", ACID_DYES)
def test_colour_index_names_with_and_without_the_prefix_in_any_case(name: str) -> None:
    row = find_dye(name)
    assert row is not None and row.ci == f"C.I. {name}" and not row.food
    for written in (
        f"C.I. {name}", f"c.i. {name.lower()}", f"CI {name.upper()}", f"C.I.{name}", f"C. I. {name}",
        name.replace(" ", "-"), f"  {name.replace(' ', '  ')} ", f"Colour Index {name}",
    ):  # fmt: skip
        assert find_dye(written) is row, written


FOOD = {
    "food yellow": ["tartrazine", "E102", "C.I. Food Yellow 4"],
    "food orange": ["sunset yellow", "E110", "Food Yellow 3"],
    "food red": ["allura red", "E129", "Red 40"],
    "food blue": ["brilliant blue", "E133", "food blue 2"],
    "food pink": ["erythrosine", "E127"],
    "food indigo": ["indigotine", "E132"],
    "food crimson": ["azorubine", "E122"],
    "food scarlet": ["ponceau 4R", "E124"],
    "food claret": ["amaranth", "E123"],
    "food patent blue": ["patent blue V", "E131"],
    "food green": [], "food violet": ["food purple"], "food black": [], "food brown": [],
}  # fmt: skip


@pytest.mark.parametrize("name", [*FOOD])
def test_food_colours_by_generic_and_other_names(name: str) -> None:
    row = find_dye(name)
    assert row is not None and row.food and row.dye_class == "food"
    for other in FOOD[name]:
        assert find_dye(other) is row, other
    assert row.mixture == (not row.ci)
    for part in row.parts:
        assert dyes()[part].ci


def test_the_same_dye_for_textiles_is_not_food_grade() -> None:
    for food, textile in (("tartrazine", "Acid Yellow 23"), ("brilliant blue", "Acid Blue 9")):
        one, other = find_dye(food), find_dye(textile)
        assert one is not None and other is not None
        assert one.food and not other.food
        assert one.absorptivity_l_g_cm == other.absorptivity_l_g_cm


@pytest.mark.parametrize(
    ("number", "name"), [("18050", "acid red 1"), ("61585", "acid blue 80"), ("19140", "acid yellow 23")]
)
def test_a_constitution_number_finds_the_textile_dye(number: str, name: str) -> None:
    for written in (number, f"C.I. {number}", f"ci {number}", f"C.I. No. {number}", f"Colour Index {number}"):
        found = find_dye(written)
        assert found is not None and found.name == name, written


@pytest.mark.parametrize(
    ("slip", "name"),
    [("acid bleu 80", "C.I. Acid Blue 80"), ("Acid Yelow 42", "C.I. Acid Yellow 42"),
     ("C.I. Acid Gren 25", "C.I. Acid Green 25"), ("naphtol blue black", "naphthol blue black"),
     ("acid blak 172", "C.I. Acid Black 172"), ("Acid Blue 81", None), ("Acid Red 115", None)],
)  # fmt: skip
def test_a_slip_of_the_pen_is_near_its_dye_and_another_number_near_none(slip: str, name: str | None) -> None:
    names = [n for row in dyes().values() for n in (row.name, *row.also, row.ci) if n]
    found = nearest(slip, names)
    assert found == name or (found and f"C.I. {found}".casefold() == (name or "").casefold())


@pytest.mark.parametrize(
    ("written", "name"),
    [("Superwash-Wool", "superwash wool"), ("MERINO", "wool"), ("polyamide", "nylon"), ("rayon", "viscose"),
     ("bamboo viscose", "bamboo"), ("flax", "linen"), ("soya", "soy protein"),
     ("superwash merino", "superwash wool")],
)  # fmt: skip
def test_fibres_by_other_names(written: str, name: str) -> None:
    found = find_fibre(written)
    assert found is not None and found.name == name


@pytest.mark.parametrize(
    ("written", "name"),
    [("vinegar", "white vinegar"), ("citric acid", "citric acid anhydrous"),
     ("Glacial acetic acid", "acetic acid 99 %"),
     ("acetic acid 56%", "acetic acid 56 %"), ("56 % acetic acid", "acetic acid 56 %")],
)  # fmt: skip
def test_acids_by_other_names(written: str, name: str) -> None:
    found = find_acid(written)
    assert found is not None and found.name == name


def test_no_name_leads_to_two_rows() -> None:
    for rows, find in (
        (dyes(), find_dye),
        (fibres(), find_fibre),
        (acids(), find_acid),
    ):  # fmt: skip
        for row in rows.values():
            for name in (row.name, *row.also):
                assert find(name) is row, name


def test_nearest() -> None:
    assert nearest("superwash wol", fibres()) == "superwash wool"
    assert nearest("Acid Ornge 7", [r.ci or r.name for r in dyes().values()]) == "C.I. Acid Orange 7"
    assert nearest("zzzzzz", fibres()) is None
    assert nearest("", fibres()) is None


@given(st.text(max_size=200))
def test_any_name_is_answered(name: str) -> None:
    for find in (find_dye, find_fibre, find_acid):
        find(name)
    nearest(name, fibres())


def test_a_page_of_text_is_answered(no_hang) -> None:
    with no_hang():
        assert find_dye("a" * 1_000_000) is None
        assert nearest("wool" * 250_000, fibres()) is None
