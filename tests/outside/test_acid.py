"""pH and equivalents against published figures, and against sums of other solvers. The source stands beside each.

The two-solver figures were worked out once with pHcalc 0.2.0 and chempy 0.10.2 (ideal solutions, so `activity` is
off for them); the equations of those programs are not ours.
"""

from __future__ import annotations

import math

import pytest

from studio.craft import acid
from studio.craft.acid import AcidDose, Water
from studio.craft.charge import Bath, balanced_ph
from studio.craft.donnan import WOOL_WATER_L_G, BindingFibre, donnan_ratio
from studio.tables.loading import acids

ACETIC_PKAS = acids()["white vinegar"].pkas
CITRIC_PKAS = acids()["citric acid anhydrous"].pkas

PURE = Water(0.0)
HARD_TAP = Water(2.0, 7.5, calcium_share=0.0)
PHOSPHORIC_PKAS = (2.148, 7.198, 12.35)
"""The values the other solvers were given; 2.16, 7.21, 12.32 in the CRC Handbook."""


def bath(pkas, mol_l, water=PURE, **how):
    return acid.ph([AcidDose(pkas, mol_l)], water, **how)


@pytest.mark.parametrize(
    ("pkas", "mol_l", "expected", "solver"),
    [
        (ACETIC_PKAS, 0.1, 2.8809, "pHcalc and chempy"),
        (ACETIC_PKAS, 0.01, 3.3871, "pHcalc and chempy"),
        (ACETIC_PKAS, 0.001, 3.9067, "pHcalc"),
        (CITRIC_PKAS, 0.1, 2.0818, "pHcalc"),
        (CITRIC_PKAS, 0.01, 2.6200, "pHcalc"),
        (CITRIC_PKAS, 0.001, 3.2336, "pHcalc"),
        (PHOSPHORIC_PKAS, 0.1, 1.6317, "pHcalc"),
        (PHOSPHORIC_PKAS, 0.01, 2.2521, "pHcalc"),
        (PHOSPHORIC_PKAS, 0.001, 3.0511, "pHcalc"),
    ],
)
def test_pure_acids_ideal(pkas, mol_l, expected, solver):
    assert bath(pkas, mol_l, activity=False) == pytest.approx(expected, abs=0.001), solver


@pytest.mark.parametrize(
    ("pkas", "mol_l", "low", "high"),
    [(ACETIC_PKAS, 0.1, 2.87, 2.89), (ACETIC_PKAS, 0.01, 3.37, 3.39), (CITRIC_PKAS, 0.1, 2.05, 2.15)],
)
def test_pure_acids_as_tabulated(pkas, mol_l, low, high):
    """Ranges of commonly printed tables (from memory); with activity correction."""
    assert low <= bath(pkas, mol_l) <= high


def test_vinegar_itself():
    """White vinegar, 5 % acetic acid (0.83 mol/L): printed as pH about 2.4 to 2.6 (general reference pages)."""
    mol_l = acid.liquid_acid_mol(1000, 5, 60.052)
    assert mol_l == pytest.approx(0.83, abs=0.005)
    assert 2.38 <= bath(ACETIC_PKAS, mol_l) <= 2.6


@pytest.mark.parametrize(("ml", "expected"), [(10, 5.4793), (20, 4.7102), (50, 4.1480)])
def test_vinegar_in_four_litres_closed(ml, expected):
    """4 L, 2 meq/L, pH 7.5, carbonate kept: pHcalc. Water and acid diluted to the volume of both."""
    litres = 4.0 + ml / 1000
    water = Water(2.0 * 4.0 / litres, 7.5, calcium_share=0.0)
    mol_l = acid.liquid_acid_mol(ml, 5, 60.052) / litres
    assert bath(ACETIC_PKAS, mol_l, water, activity=False) == pytest.approx(expected, abs=0.001)


@pytest.mark.parametrize(("ml", "expected"), [(10, 6.1496), (20, 4.7298), (50, 4.1513)])
def test_vinegar_in_four_litres_open(ml, expected):
    """The same bath with all carbon dioxide lost: pHcalc."""
    litres = 4.0 + ml / 1000
    mol_l = acid.liquid_acid_mol(ml, 5, 60.052) / litres
    found = balanced_ph(Bath(0.008 / litres, 0.0, (AcidDose(ACETIC_PKAS, mol_l),), activity=False))
    assert found == pytest.approx(expected, abs=0.001)


@pytest.mark.parametrize(("grams", "expected"), [(0.5, 5.920), (1, 4.773), (2, 3.669), (5, 3.024)])
def test_citric_in_four_litres_closed(grams, expected):
    """Anhydrous citric acid in the same water, charge balance worked by another program."""
    mol_l = acid.powder_acid_mol(grams, 100, 192.124) / 4.0
    assert bath(CITRIC_PKAS, mol_l, HARD_TAP, activity=False) == pytest.approx(expected, abs=0.001)


def test_bicarbonate_and_buffer():
    """0.1 M NaHCO3 is 8.34 (ideal, any analytical text); acetate buffer 0.1/0.1 about 4.65 (Bates, from memory)."""
    # 100 meq/L is beyond a tap water, so the balance is asked directly.
    assert balanced_ph(Bath(0.1, 0.1, activity=False)) == pytest.approx(8.340, abs=0.001)
    assert balanced_ph(Bath(0.1, 0.0, (AcidDose(ACETIC_PKAS, 0.2),))) == pytest.approx(4.65, abs=0.01)


@pytest.mark.parametrize(
    ("mg_l", "meq_l", "tolerance"),
    [
        (100, 1.998, 0.001),
        (50.043, 1.000, 0.001),
        (200, 3.997, 0.001),
        (17.848, 0.3567, 0.0005),
        (17.1, 0.3421, 0.0005),
    ],
)
def test_alkalinity(mg_l, meq_l, tolerance):
    """As CaCO3; 17.848 mg/L is one German degree, 17.1 a grain to the US gallon (unit definitions)."""
    assert acid.alkalinity_meq_l(mg_l) == pytest.approx(meq_l, abs=tolerance)


def bound_mmol_g(ph, chloride_mol_l=None):
    """What wool holds in a bath of that pH, hydrochloric acid alone or with a salt's chloride beside it."""
    hydrogen = 10**-ph
    anions = max(hydrogen, chloride_mol_l or 0.0)
    sparse = BindingFibre(1e-6)  # so little that the bath does not feel it
    ratio = donnan_ratio(hydrogen, sparse, [(anions, (0.0, 1.0))])
    return 1000.0 * WOOL_WATER_L_G * anions * ratio


def test_what_wool_binds_at_most():
    """0.82 mmol/g: J. Steinhardt and M. Harris, J. Res. NBS 24 (1940) 335, RP1286; 0.85 to 0.88 eq/kg: Sen-i Gakkaishi
    15(4), 292 (abstracts)."""
    assert 0.79 <= bound_mmol_g(1.0) <= 0.88


def test_where_wool_holds_half():
    """At pH 2.3 without salt: Sen-i Gakkaishi 15(4), 292 (abstract)."""
    assert bound_mmol_g(2.3) == pytest.approx(0.41, abs=0.01)


@pytest.mark.parametrize("ph", [5.0, 6.0, 7.0, 9.0])
def test_where_wool_holds_nothing(ph):
    """No appreciable uptake from pH 5 to 10 without salt: RP1286 (abstract); appreciable is taken as 1 %."""
    assert bound_mmol_g(ph) < 0.0082


@pytest.mark.parametrize("times", [3.0, 10.0])
def test_chloride_shifts_the_curve_as_protons_do(times):
    """Multiplying chloride by n shifts the curve almost as much as multiplying the protons by n: RP1286 (abstract)."""
    more_chloride = bound_mmol_g(3.0, times * 0.001)
    half_of_each = bound_mmol_g(3.0 - math.log10(times) / 2.0, 0.001 * times**0.5)
    assert more_chloride == pytest.approx(half_of_each, rel=1e-6)


@pytest.mark.parametrize(
    ("pkas", "mmol", "expected"),
    [
        ((-2.0,), 1, 4.131), ((-2.0,), 10, 3.112), ((-2.0,), 80, 2.000),
        ((4.756,), 2, 4.066), ((4.756,), 16.65, 3.484), ((4.756,), 83.3, 3.097),
        ((3.128, 4.761, 6.396), 1, 4.562), ((3.128, 4.761, 6.396), 10.41, 3.272), ((3.128, 4.761, 6.396), 26.02, 2.830),
    ],
)  # fmt: skip
def test_a_bath_with_wool_in_it(pkas, mmol, expected):
    """100 g in 2 L of pure water: a Donnan equilibrium of every ion, worked with scipy apart from this program."""
    doses = [AcidDose(pkas, mmol / 2000.0)]
    assert acid.ph(doses, PURE, fibre=BindingFibre(50.0), activity=False) == pytest.approx(
        expected, abs=0.002
    )
