"""Every row of every table: its source, its ranges, and that rows agree with each other."""

from __future__ import annotations

import re
import subprocess
import sys
from collections import Counter

import msgspec
import pytest

from studio.tables.finding import find_acid, find_class, find_fibre
from studio.tables.rows import Fibre, acids, dye_classes, dyes, fibres, hazards, holds, practice, rows_of

ALL_ROWS = [
    *fibres().values(),
    *acids().values(),
    *dye_classes().values(),
    *dyes().values(),
    *practice(),
    *holds(),
    *hazards().values(),
]
STANDINGS = (
    "common practice",
    "from memory",
    "house rule",
    "estimate",
    "no year",
    "neither author nor year",
    "neither year nor place",
    "computed from the formula",
)
CITED = re.compile(r"\b(1[89]|20)\d\d\b|pp?\. \d|IUPAC|NIOSH|\(Wiley\)|LibreTexts|PhotochemCAD|OSHA|HSE")


def _sources() -> list[tuple[str, str, str]]:
    """(row, field, text) of every field that says where something comes from."""
    found = []
    for row in ALL_ROWS:
        name = getattr(row, "id", None) or getattr(row, "name", "")
        for field in row.__struct_fields__:
            if field == "source" or field.endswith("_source"):
                found.append((str(name), field, getattr(row, field)))
    return found


def test_every_source_cites_or_says_its_standing() -> None:
    for row, field, text in _sources():
        if field != "source" and text == "":
            continue  # the figure itself is absent; test_no_figure_without_its_source sees to the rest
        assert any(word in text for word in STANDINGS) or CITED.search(text), (row, field)


def test_no_figure_without_its_source() -> None:
    for dye in dyes().values():
        assert bool(dye.spectrum_source) == (dye.peak_nm is not None), dye.name
        assert bool(dye.molar_mass_source) == (dye.molar_mass_g is not None), dye.name
        assert (dye.absorptivity_l_g_cm is None) or (dye.peak_nm is not None and dye.medium), dye.name
    for acid in acids().values():
        assert bool(acid.density_source) == (acid.density_g_ml is not None), acid.name
        assert bool(acid.sold_source) == (acid.sold_percent is not None), acid.name
    for one in dye_classes().values():
        assert bool(one.strike_source) == (one.strike_c is not None), one.id


def test_sources_name_publications_not_web_hosts() -> None:
    for row, field, text in _sources():
        assert not re.search(r"https?:|www\.|\.(com|org|net|gov|edu)\b", text), (row, field)


FIBRES = {
    # family and whether it takes acid dye, as suppliers' sheets and Broadbent (2001) have it
    "wool": ("wool", "yes"), "superwash wool": ("wool", "yes"), "alpaca": ("hair", "yes"),
    "mohair": ("hair", "yes"), "cashmere": ("hair", "yes"), "angora": ("hair", "yes"),
    "silk": ("silk", "yes"), "nylon": ("polyamide", "yes"),
    "soy protein": ("regenerated protein", "yes"), "milk protein": ("regenerated protein", "yes"),
    "cotton": ("cellulose", "no"), "linen": ("cellulose", "no"), "hemp": ("cellulose", "no"),
    "viscose": ("cellulose", "no"), "bamboo": ("cellulose", "no"), "acrylic": ("acrylic", "no"),
    "polyester": ("polyester", "no"),
}  # fmt: skip


@pytest.mark.parametrize("name", [*FIBRES])
def test_fibres(name: str) -> None:
    fibre = fibres()[name]
    assert (fibre.family, fibre.takes_acid) == FIBRES[name]
    if fibre.takes_acid == "no":
        assert fibre.takes_food == "no"


# ASTM D1909-13 and the textbook values beside it; a commercial regain, so exact to the digit.
REGAINS = {
    "wool": 13.6,
    "silk": 11.0,
    "cotton": 8.5,
    "nylon": 4.5,
    "linen": 12.0,
    "polyester": 0.4,
    "acrylic": 1.5,
}


@pytest.mark.parametrize("name", [*REGAINS])
def test_regain(name: str) -> None:
    assert fibres()[name].regain_percent == REGAINS[name]


def test_silk_alone_asks_for_longer_steam() -> None:
    asking = {f.name: (f.set_min_min, f.set_max_min) for f in fibres().values() if f.set_min_min}
    assert asking == {"silk": (45.0, 60.0)}


ACIDS = {
    "white vinegar": ("acetic", 5.0, False), "citric acid monohydrate": ("citric", 100.0, False),
    "citric acid anhydrous": ("citric", 100.0, False), "acetic acid 28 %": ("acetic", 28.0, True),
    "acetic acid 56 %": ("acetic", 56.0, True), "acetic acid 80 %": ("acetic", 80.0, True),
    "acetic acid 99 %": ("acetic", 99.0, True),
}  # fmt: skip


@pytest.mark.parametrize("name", [*ACIDS])
def test_acids(name: str) -> None:
    acid = acids()[name]
    assert (acid.kind, acid.strength_percent, acid.hazard_above_10) == ACIDS[name]
    assert "safety data sheet" in acid.hazard
    assert list(acid.pkas) == sorted(acid.pkas)


# Table 13.1 of Broadbent (2001), p. 242, and its p. 246 on the salt.
CLASSES = {
    "levelling": (2, 4, "allowed", "poor to fair"), "fast-acid": (4, 6, "allowed", "moderate"),
    "milling": (5, 7, "forbidden", "good"), "super-milling": (6, 7, "forbidden", "very good"),
}  # fmt: skip


@pytest.mark.parametrize("class_id", [*CLASSES])
def test_dye_classes_by_the_textbook(class_id: str) -> None:
    row = dye_classes()[class_id]
    assert (row.ph_low, row.ph_high, row.glauber, row.wash_fastness) == CLASSES[class_id]


def test_dye_classes_are_all_there_and_in_order() -> None:
    assert {*dye_classes()} == {*CLASSES, "food", "1:1 premetallised", "1:2 premetallised", "unknown"}
    for row in dye_classes().values():
        assert row.ph_low < row.ph_high and row.set_min_min <= row.set_max_min
        assert row.food == (row.id == "food")
        assert not {"cellulose", "acrylic", "polyester"} & {*row.takes_on}
    assert dye_classes()["food"].set_min_min == 30.0


def test_an_unknown_class_is_as_careful_as_any_acid_dye() -> None:
    """Fastness of the worst, warmed as slowly as the slowest, held as long as the longest, salt not allowed."""
    every = dye_classes()
    unknown = every["unknown"]
    acid = [row for row in every.values() if row.id in CLASSES]
    assert unknown.bath_ramp_c_min == min(row.bath_ramp_c_min for row in acid)
    assert unknown.bath_hold_max_min == max(row.bath_hold_max_min for row in acid)
    assert unknown.set_min_min == max(row.set_min_min for row in acid)
    assert unknown.wash_fastness == "poor to fair" and unknown.glauber != "allowed"
    # Near the range of every class on wool in a kitchen: within 1 of pH 4 to 5, super-milling apart.
    for row in acid:
        if row.id != "super-milling":
            assert row.ph_low - 1 <= unknown.ph_high and unknown.ph_low <= row.ph_high


def test_every_name_of_a_class_finds_it_and_an_unknown_one_can_be_said() -> None:
    for row in dye_classes().values():
        for name in (row.id, row.name, *row.also):
            assert find_class(name.upper()) is row
    for said in ("unknown", "acid dye, class unknown", "acid dye", "Class unknown"):
        found = find_class(said)
        assert found is not None and found.id == "unknown"
    assert find_class("puce") is None


@pytest.mark.parametrize("said", ["wool, superwash", "superwash wool", "Wool superwash", "superwash-wool"])
def test_a_fibre_is_found_in_either_order_of_its_words(said: str) -> None:
    found = find_fibre(said)
    assert found is not None and found.name == "superwash wool"


# What each class holds, and what a dyer must be told of: an IARC group 2B, a listed amine, an indicator, a metal.
SHELF_OF_DYES = {
    "levelling": 25, "fast-acid": 8, "milling": 12, "super-milling": 5, "1:1 premetallised": 5,
    "1:2 premetallised": 10,
}  # fmt: skip


def test_dyes_of_every_class_with_hue_charge_and_hazards() -> None:
    textile = [dye for dye in dyes().values() if not dye.food]
    of_class = Counter(dye.dye_class for dye in textile if not {"laboratory", "indicator"} & {*dye.hazards})
    assert all(of_class[name] >= least for name, least in SHELF_OF_DYES.items()), of_class
    assert all(dye.hue for dye in textile)
    for dye in textile:
        assert dye.charge is not None or not dye.formula, dye.name
        metal = {"chromium", "cobalt"} & {*dye.hazards}
        assert bool(metal) == dye.dye_class.endswith("premetallised"), dye.name
        assert {*dye.hazards} <= {*hazards()}


LEFT_OUT = {
    "Acid Red 26",
    "Acid Red 73",
    "Acid Red 114",
    "Acid Orange 45",
    "Acid Violet 49",
    "Acid Yellow 36",
}
TURNING = {"Acid Orange 52", "Acid Yellow 36", "Acid Blue 90"}


def test_what_is_no_dye_for_wool_says_so() -> None:
    """The block list, and the indicators that turn in vinegar."""
    stops = {one.id for one in hazards().values() if one.level == "stop"}
    assert {dye.ci for dye in dyes().values() if stops & {*dye.hazards}} == {
        f"C.I. {name}" for name in LEFT_OUT
    }
    assert {d.ci for d in dyes().values() if "indicator" in d.hazards} == {f"C.I. {name}" for name in TURNING}
    shown = {one for dye in dyes().values() for one in dye.hazards}
    shown |= {one for row in dye_classes().values() for one in row.hazards}
    assert {one.id for one in hazards().values() if one.matters_to} <= shown, "a hazard no dye has"


def test_practice_doses_spread_eightfold() -> None:
    """1/4 US cup to the pound is 59.147 / 4.5359 = 13.04 mL per 100 g, two cups eight times as much."""
    vinegar = [d for d in practice() if d.acid == "white vinegar" and d.use == "bath"]
    citric = [d for d in practice() if d.acid == "citric acid" and d.use == "bath"]
    assert min(d.low for d in vinegar) == pytest.approx(13.04, abs=0.01)
    assert max(d.high for d in vinegar) == pytest.approx(104.3, abs=0.05)
    assert (min(d.low for d in citric), max(d.high for d in citric)) == (1.0, 8.0)
    for dose in practice():
        acid = find_acid(dose.acid)
        assert acid is not None and dose.low <= dose.high
        assert dose.unit == ("mL" if acid.state == "liquid" else "g")
    assert max(Counter(d.id for d in practice()).values()) == 1


def test_an_unknown_field_is_an_error() -> None:
    good = rows_of("fibres.json", Fibre)[0]
    fields = {**msgspec.structs.asdict(good), "colour": "red"}
    with pytest.raises(msgspec.ValidationError, match="colour"):
        msgspec.convert(fields, Fibre)


def test_importing_loads_nothing_slow() -> None:
    code = (
        "import sys; from studio.tables.finding import find_dye; find_dye('acid red 1');"
        "print([m for m in ('pint', 'textual', 'rich', 'numpy', 'studio.quantity') if m in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"
