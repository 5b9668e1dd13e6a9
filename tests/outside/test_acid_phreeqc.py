"""pH against PHREEQC (D. L. Parkhurst and C. A. J. Appelo, USGS) over a grid of acids, doses and alkalinities.

PHREEQC has its own equations, its own activity model (truncated Debye-Hueckel with ion sizes) and its own sodium
carbonate pairs; only the log K of acetate and citrate are given to it here.
"""

from __future__ import annotations

import itertools

import pytest

from studio.craft import acid
from studio.craft.acid import AcidDose, Water
from studio.tables.loading import acids

ACETIC_PKAS = acids()["white vinegar"].pkas
CITRIC_PKAS = acids()["citric acid anhydrous"].pkas

phreeqpython = pytest.importorskip("phreeqpython", reason="phreeqpython is not installed")

WITHIN_PH = 0.05
ACIDS = {"HAcetate": ACETIC_PKAS, "H3Citrate": CITRIC_PKAS}
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
END
"""


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


def waters():
    return [
        Water(alkalinity, tap_ph)
        for alkalinity, tap_ph in itertools.product(ALKALINITIES_MEQ_L, TAP_PHS)
        if alkalinity or tap_ph == 7.5
    ]


@pytest.mark.parametrize("alkalinity", ALKALINITIES_MEQ_L)
@pytest.mark.parametrize("name", ACIDS)
def test_closed_bath(phreeqc, name, alkalinity):
    """All carbonate kept."""
    for water, mol_l in itertools.product(waters(), DOSES_MOL_L):
        if water.alkalinity_meq_l == alkalinity:
            ours = acid.ph([AcidDose(ACIDS[name], mol_l)], water)
            theirs = oracle_ph(phreeqc, water, [(name, mol_l)])
            assert abs(ours - theirs) <= WITHIN_PH, (water, mol_l, ours, theirs)


@pytest.mark.parametrize("alkalinity", ALKALINITIES_MEQ_L)
@pytest.mark.parametrize("name", ACIDS)
def test_bath_that_lost_its_carbon_dioxide(phreeqc, name, alkalinity):
    """Nearly none left (10^-8 atm): the model 'open', wherever it allows itself an answer."""
    gas = "EQUILIBRIUM_PHASES 1\n CO2(g) -8 0\n"
    compared = 0
    for water, mol_l in itertools.product(waters(), DOSES_MOL_L):
        if water.alkalinity_meq_l != alkalinity:
            continue
        try:
            ours = acid.ph([AcidDose(ACIDS[name], mol_l)], water, open_to_air=True)
        except ValueError:  # the acid does not cover the alkalinity
            continue
        theirs = oracle_ph(phreeqc, water, [(name, mol_l)], gas)
        assert abs(ours - theirs) <= WITHIN_PH, (water, mol_l, ours, theirs)
        compared += 1
    assert compared >= 2


@pytest.mark.parametrize("alkalinity", [1.0, 3.0, 5.0])
def test_two_acids_together(phreeqc, alkalinity):
    """Vinegar and citric acid in one bath."""
    water = Water(alkalinity, 7.5)
    for acetic, citric in itertools.product((0.001, 0.005, 0.02), (0.0005, 0.003, 0.01)):
        ours = acid.ph([AcidDose(ACETIC_PKAS, acetic), AcidDose(CITRIC_PKAS, citric)], water)
        theirs = oracle_ph(phreeqc, water, [("HAcetate", acetic), ("H3Citrate", citric)])
        assert abs(ours - theirs) <= WITHIN_PH, (acetic, citric, ours, theirs)


@pytest.mark.parametrize("alkalinity", [1.0, 2.0, 3.5, 5.0])
def test_calcium_in_place_of_sodium(phreeqc, alkalinity):
    """Hard water: the cations are calcium, which our ionic strength does not know. Acetic acid only, closed."""
    water = Water(alkalinity, 7.5)
    for mol_l in DOSES_MOL_L:
        ours = acid.ph([AcidDose(ACETIC_PKAS, mol_l)], water)
        theirs = oracle_ph(phreeqc, water, [("HAcetate", mol_l)], cation="Ca")
        assert abs(ours - theirs) <= WITHIN_PH, (mol_l, ours, theirs)


@pytest.mark.parametrize("target", [3.0, 3.5, 4.0, 4.5, 5.0, 6.0])
@pytest.mark.parametrize("name", ACIDS)
def test_dose_backwards(phreeqc, name, target):
    """PHREEQC is given the dose we work out and must arrive at the pH that was asked for."""
    for alkalinity in (0.0, 2.0, 5.0):
        water = Water(alkalinity, 7.5)
        mol_l = acid.dose_for_ph(target, ACIDS[name], water)
        assert abs(oracle_ph(phreeqc, water, [(name, mol_l)]) - target) <= WITHIN_PH, (alkalinity, mol_l)
