"""The dye and acid tables against the publications they cite, and against atomic weights."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest
from chemicals import search_chemical
from chemicals.elements import molecular_weight, simple_formula_parser

from studio.plan.errors import PlanError
from studio.plan.reading import read_plan
from studio.plan.shapes import Worksheet
from studio.plan.sheet import work_out
from studio.plan.shelf import EMPTY_SHELF
from studio.quantity.reading import parse
from studio.tables.finding import find_dye, find_thickener
from studio.tables.rows import acids, dyes

# E(1 %, 1 cm) in water, at about nm, molar mass as printed, least dye content in %.
PUBLISHED = [
    ("tartrazine", 530, 426, 534.37, 85),
    ("sunset yellow FCF", 555, 485, 452.37, 85),
    ("allura red AC", 540, 504, 496.42, 85),
    ("brilliant blue FCF", 1630, 630, 792.84, 85),
    ("erythrosine", 1100, 526, 897.88, 87),
    ("indigotine", 480, 610, 466.36, 85),
    ("azorubine", 510, 516, 502.44, 85),
    ("ponceau 4R", 430, 505, 604.48, 80),
    ("amaranth", 440, 520, 604.48, 85),
    ("patent blue V", 2000, 638, 582.67, 85),
    ("quinoline yellow", 865, 411, 477.38, 70),
    ("green S", 1720, 632, 576.63, 80),
    ("brilliant black BN", 530, 570, 867.69, 80),
    ("brown HT", 403, 460, 652.57, 70),
]
WATER_G_MOL = 18.015


@pytest.mark.parametrize(("name", "e_percent", "nm", "molar_mass", "content"), PUBLISHED)
def test_food_dyes_carry_the_published_criteria(
    name: str, e_percent: float, nm: float, molar_mass: float, content: float
) -> None:
    """Absorptivity, peak, molar mass and dye content of food colours: Arrêté du 2 octobre 1997, annexe VI-A."""
    row = find_dye(name)
    assert row is not None and row.absorptivity_l_g_cm is not None and row.molar_mass_g is not None
    assert row.absorptivity_l_g_cm * 10 == pytest.approx(e_percent)  # 1 % is 10 g/L
    assert row.peak_nm == nm
    assert row.dye_content_percent == content
    hydrate = WATER_G_MOL if name == "erythrosine" else 0.0  # printed for the monohydrate
    assert row.molar_mass_g + hydrate == pytest.approx(molar_mass, abs=0.01)
    assert row.eps_l_mol_cm == pytest.approx(e_percent / 10 * row.molar_mass_g, rel=1e-4)


# Peak in nm, molar absorption coefficient.
MEASURED = [
    ("Acid Orange 52", 466, 25_900), ("Acid Orange 10", 478, 20_900),
    ("Acid Orange 7", 486, 15_400), ("Acid Red 88", 503, 11_700), ("Acid Red 1", 505, 32_079),
    ("Acid Red 112", 513, 42_000), ("Acid Red 87", 524.75, 112_000), ("Acid Red 91", 527, 95_000),
    ("Acid Red 92", 550, 83_000), ("Acid Red 52", 553, 99_000), ("Acid Violet 3", 555, 36_000),
    ("Acid Blue 92", 563, 32_300), ("Acid Blue 93", 590, 12_250), ("Acid Black 1", 619, 51_600),
]  # fmt: skip


@pytest.mark.parametrize(("name", "nm", "eps"), MEASURED)
def test_acid_dyes_carry_the_measured_peaks(name: str, nm: float, eps: float) -> None:
    """Peak and molar absorption of dyes in the compound records of PhotochemCAD."""
    row = find_dye(name)
    assert row is not None
    assert (row.peak_nm, row.eps_l_mol_cm) == (nm, eps)
    if row.molar_mass_g is not None and row.absorptivity_l_g_cm is not None:
        assert row.absorptivity_l_g_cm * row.molar_mass_g == pytest.approx(eps, rel=1e-3)


@pytest.mark.parametrize(
    ("name", "e_percent", "nm"), [("C.I. Acid Yellow 3", 865, 411), ("C.I. Acid Green 50", 1720, 632)]
)
def test_a_textile_dye_is_as_strong_as_the_same_substance_for_food(
    name: str, e_percent: float, nm: float
) -> None:
    """Of the pure dye by the Arrêté du 2 octobre 1997; the powder of yellow 3 that PhotochemCAD measured gave 1.82
    times less."""
    row = find_dye(name)
    assert row is not None and row.absorptivity_l_g_cm is not None
    assert (row.absorptivity_l_g_cm * 10, row.peak_nm) == (pytest.approx(e_percent), nm)


def _mass(formula: str) -> float:
    return float(molecular_weight(simple_formula_parser(formula)))


@pytest.mark.parametrize("name", [row.name for row in dyes().values() if row.formula])
def test_molar_masses_follow_from_the_formulas(name: str) -> None:
    """Molar mass of every dye with a formula, by the atomic weights of the library chemicals."""
    row = dyes()[name]
    assert row.molar_mass_g == pytest.approx(_mass(row.formula), abs=0.03)


def _acid_of(formula: str) -> dict[str, Fraction]:
    """Atoms to one carbon of the free acid: a sodium is a hydrogen, a calcium two."""
    atoms = Counter(simple_formula_parser(formula))
    atoms["H"] += atoms.pop("Na", 0) + 2 * atoms.pop("Ca", 0)
    return {element: Fraction(number, atoms["C"]) for element, number in atoms.items()}


def _formula_in_the_library(names: tuple[str, ...]) -> str:
    for name in filter(None, names):
        try:
            return str(search_chemical(name.lower()).formula)
        except ValueError:
            continue
    return ""


REGISTRY_NUMBERS = {"acid red 114": "6459-94-5", "acid red 266": "57741-47-6"}
"""Of dyes the library knows by no name (from memory)."""
ANOTHER_SUBSTANCE = {"food quinoline yellow"}
"""The library calls the parent without sulphonates by that name."""


@pytest.mark.deep
def test_formulas_are_those_of_a_chemical_library_where_it_knows_the_dye() -> None:
    """By the dye's own names in the identity database of the library chemicals, which gathers substances from public
    registers; it may hold another salt or the free acid. No formula is marked as one that it
    holds which it does not."""
    known = set()
    for row in dyes().values():
        names = (row.ci.removeprefix("C.I. "), row.ci, *row.also, REGISTRY_NUMBERS.get(row.name, ""))
        held = _formula_in_the_library(names) if row.formula else ""
        if held and row.name not in ANOTHER_SUBSTANCE:
            known.add(row.name)
            assert _acid_of(held) == _acid_of(row.formula), (row.name, held)
    assert len(known) > 45
    assert {row.name for row in dyes().values() if "identity database" in row.molar_mass_source} <= known
    assert not [name for name in known if "formula from memory" in dyes()[name].molar_mass_source]


@pytest.mark.parametrize("name", [row.name for row in dyes().values() if "sodium" in row.charge_source])
def test_a_dye_ion_has_a_charge_for_each_sodium_of_its_salt(name: str) -> None:
    """Charge of a dye's ion, by the sodium that the library chemicals counts in its formula."""
    row = dyes()[name]
    assert row.charge == simple_formula_parser(row.formula)["Na"]


@pytest.mark.parametrize(
    ("name", "formula"),
    [("white vinegar", "C2H4O2"), ("acetic acid 80 %", "C2H4O2"), ("citric acid anhydrous", "C6H8O7"),
     ("citric acid monohydrate", "C6H10O8")],
)  # fmt: skip
def test_acid_molar_masses(name: str, formula: str) -> None:
    """Molar mass of the acids by the atomic weights of the library chemicals."""
    assert acids()[name].molar_mass_g == pytest.approx(_mass(formula), abs=0.005)


def test_acid_constants() -> None:
    """CRC Handbook (second hand, in an open textbook's table): acetic 4.756; citric 3.13, 4.76, 6.40."""
    assert acids()["white vinegar"].pkas == (4.756,)
    assert acids()["citric acid anhydrous"].pkas == (3.13, 4.76, 6.40)
    assert acids()["citric acid monohydrate"].pkas == (3.13, 4.76, 6.40)


def test_which_gum_stands_acid() -> None:
    """A paint with 1 % of citric acid: a print paste with 10 g/kg has guar (Carbohydrate Polymers 81 (2010) 402), and
    alginate is not stable in acid pastes used on wool (Madhu and Patel)."""
    fibre = '[fibre]\nblend = { wool = 100 }\ndry_weight = "100 g"\nform = "skein"\n'
    soak = '[presoak]\nacid = "citric acid"\ntarget_ph = 5\npaint_acid = "1 g"\n'
    colour = '[[colour]]\nname = "red"\ndye = "acid red 1"\ndepth = "1 %"\n[set]\nthickness = "4 cm"\n'

    def work(gum: str) -> Worksheet:
        thicken = f'thicken = {{ with = "{gum}", strength = "0.5 %" }}\n'
        text = f'format = "potside-plan/1"\ntitle = "t"\n{thicken}{fibre}{soak}{colour}'
        return work_out(read_plan(text, name="p"), EMPTY_SHELF)

    assert work("guar").figure("paint.red.thickener") is not None
    with pytest.raises(PlanError, match="gels"):
        work("sodium alginate")


def test_a_teaspoon_of_alginate_in_two_cups() -> None:
    """Calibration: Fowler, alginate SH: one teaspoon (4.5 g: another page has 18 g in 4, which the range begins with)
    in 2 US cups is 0.95 %, in its range."""
    percent = 18.0 / 4 / parse("2 cups", "volume").value * 100.0
    row = find_thickener("alginate")
    assert row is not None and row.low_percent <= percent <= row.high_percent
    assert percent == pytest.approx(0.95, abs=0.005)


def test_56_percent_acetic_is_eleven_times_vinegar() -> None:
    """Earth Guild, acid dyes: multiply by 11; exactly 56 / 5 = 11.2."""
    strong, vinegar = acids()["acetic acid 56 %"], acids()["white vinegar"]
    assert strong.strength_percent / vinegar.strength_percent == pytest.approx(11.0, rel=0.02)
