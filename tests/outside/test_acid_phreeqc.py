"""pH against PHREEQC (D. L. Parkhurst and C. A. J. Appelo, USGS) over a grid of acids, doses and alkalinities.

PHREEQC has its own equations, its own activity model (truncated Debye-Hueckel with ion sizes) and its own sodium
carbonate pairs; only the log K of acetate and citrate, with protons and with calcium, are given to it here (NIST
Standard Reference Database 46, as its own database minteq.v4 has them; calcium acetate from memory).
"""

from __future__ import annotations

import itertools

import pytest

from studio.craft import acid
from studio.craft.acid import AcidDose, Water
from studio.tables.loading import acids

ROWS = {"HAcetate": acids()["white vinegar"], "H3Citrate": acids()["citric acid anhydrous"]}

phreeqpython = pytest.importorskip("phreeqpython", reason="phreeqpython is not installed")

WITHIN_PH = 0.05
SINGLE_PH = {"HAcetate": 0.0045, "H3Citrate": 0.006}
"""Of one acid: as near as the two models of activity lie, so that a lost term shows."""
ACIDS = tuple(ROWS)
DOSES_MOL_L = (0.0001, 0.0005, 0.001, 0.002, 0.005, 0.01, 0.03, 0.1)
ALKALINITIES_MEQ_L = (0.0, 0.5, 1.0, 2.0, 3.5, 5.0)
TAP_PHS = (6.8, 7.5, 8.2)

MASTER_SPECIES = """
SOLUTION_MASTER_SPECIES
    Acetate   Acetate-    1.0   59.045    59.045
    Citrate   Citrate-3   0.0   189.1     189.1
SOLUTION_SPECIES
    Acetate- = Acetate-
        log_k  0
    Acetate- + H+ = HAcetate
        log_k  4.756
    Citrate-3 = Citrate-3
        log_k  0
    Citrate-3 + H+ = HCitrate-2
        log_k  6.396
    Citrate-3 + 2H+ = H2Citrate-
        log_k  11.157
    Citrate-3 + 3H+ = H3Citrate
        log_k  14.285
    Ca+2 + Acetate- = CaAcetate+
        log_k  1.18
    Ca+2 + Citrate-3 = CaCitrate-
        log_k  4.87
    Ca+2 + H+ + Citrate-3 = CaHCitrate
        log_k  9.26
    Ca+2 + 2H+ + Citrate-3 = CaH2Citrate+
        log_k  12.257
END
"""


def dose(name: str, mol_l: float) -> AcidDose:
    return AcidDose(ROWS[name].pkas, mol_l, ROWS[name].calcium_log_ks)


@pytest.fixture(scope="module")
def phreeqc():
    engine = phreeqpython.PhreeqPython(database="phreeqc.dat")
    engine.ip.run_string(MASTER_SPECIES)
    return engine.ip


def oracle_ph(phreeqc, water, doses, gas="", cation="Na"):
    """pH of tap water made in PHREEQC from its alkalinity and pH, after the acids react with it."""
    alkalinity = water.alkalinity_meq_l / 1000
    metal = alkalinity / 2 if cation == "Ca" else alkalinity
    tap = f"pH {water.ph}\n Alkalinity {alkalinity}\n {cation} {metal}" if alkalinity else "pH 7 charge"
    reaction = "".join(f"REACTION {n}\n {name} 1\n {mol} moles\n" for n, (name, mol) in enumerate(doses, 1))
    steps = "".join(
        f"USE SOLUTION 1\nUSE REACTION {n}\n{gas}SAVE SOLUTION 1\nEND\n" for n in range(1, len(doses) + 1)
    )
    phreeqc.run_string(
        f"SOLUTION 1\n units mol/kgw\n temp 25\n {tap}\nSAVE SOLUTION 1\nEND\n{reaction}END\n{steps}"
    )
    return phreeqc.get_ph(1)


@pytest.mark.parametrize("alkalinity", ALKALINITIES_MEQ_L)
@pytest.mark.parametrize("cation", ["Na", "Ca"])
@pytest.mark.parametrize("name", ACIDS)
@pytest.mark.parametrize("gas", ["", "EQUILIBRIUM_PHASES 1\n CO2(g) -3.4 10\n"], ids=["closed", "open"])
def test_a_bath_of_tap_water_and_acid(phreeqc, gas, name, cation, alkalinity):
    """All carbonate kept, and at rest with the air; water from a softener, and hard: the whole grid of doses."""
    share = 1.0 if cation == "Ca" else 0.0
    for tap_ph, mol_l in itertools.product(TAP_PHS if alkalinity else (7.5,), DOSES_MOL_L):
        water = Water(alkalinity, tap_ph, share)
        ours = acid.ph([dose(name, mol_l)], water, open_to_air=bool(gas))
        theirs = oracle_ph(phreeqc, water, [(name, mol_l)], gas, cation)
        assert abs(ours - theirs) <= SINGLE_PH[name], (water, mol_l, ours, theirs)


def test_vinegar_itself(phreeqc):
    """White vinegar as it is poured: PHREEQC with 50 g of acetic acid to the litre."""
    vinegar = acid.liquid_acid_mol(1000, 5, ROWS["HAcetate"].molar_mass_g)
    theirs = oracle_ph(phreeqc, Water(0.0), [("HAcetate", 50 / 60.052)])
    assert acid.ph([dose("HAcetate", vinegar)], Water(0.0)) == pytest.approx(theirs, abs=WITHIN_PH)


def test_water_alone(phreeqc):
    """Pure water at 25 degC, and at rest with the air: PHREEQC."""
    assert acid.ph([], Water(0.0)) == pytest.approx(oracle_ph(phreeqc, Water(0.0), []), abs=0.005)
    gas = "EQUILIBRIUM_PHASES 1\n CO2(g) -3.4 10\n"
    phreeqc.run_string(f"SOLUTION 1\n pH 7 charge\n{gas}SAVE SOLUTION 1\nEND\n")
    assert acid.ph([], Water(0.0), open_to_air=True) == pytest.approx(phreeqc.get_ph(1), abs=WITHIN_PH)


@pytest.mark.parametrize("alkalinity", [1.0, 3.0, 5.0])
def test_two_acids_together(phreeqc, alkalinity):
    """Vinegar and citric acid in one bath."""
    water = Water(alkalinity, 7.5, calcium_share=0.0)
    for acetic, citric in itertools.product((0.001, 0.005, 0.02), (0.0005, 0.003, 0.01)):
        ours = acid.ph([dose("HAcetate", acetic), dose("H3Citrate", citric)], water)
        theirs = oracle_ph(phreeqc, water, [("HAcetate", acetic), ("H3Citrate", citric)])
        assert abs(ours - theirs) <= WITHIN_PH, (acetic, citric, ours, theirs)


@pytest.mark.parametrize("target", [3.0, 3.5, 4.0, 4.5, 5.0, 6.0])
@pytest.mark.parametrize("name", ACIDS)
def test_dose_backwards(phreeqc, name, target):
    """PHREEQC is given the dose we work out and must arrive at the pH that was asked for."""
    for alkalinity in (0.0, 2.0, 5.0):
        water = Water(alkalinity, 7.5, calcium_share=0.0)
        mol_l = acid.dose_for_ph(target, dose(name, 0.0), water)
        assert abs(oracle_ph(phreeqc, water, [(name, mol_l)]) - target) <= WITHIN_PH, (alkalinity, mol_l)
