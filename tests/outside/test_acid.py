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
    """Acetic, citric and phosphoric acid in pure water: pHcalc, and chempy where the row says so."""
    assert bath(pkas, mol_l, activity=False) == pytest.approx(expected, abs=0.001), solver


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


def test_acetate_buffer():
    """0.1 mol/L of acetic acid and of its sodium salt are pH 4.65 (Bates, Determination of pH, from memory)."""
    # 100 meq/L is beyond a tap water, so the balance is asked directly.
    assert balanced_ph(Bath(0.1, 0.0, (AcidDose(ACETIC_PKAS, 0.2),))) == pytest.approx(4.65, abs=0.01)


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
