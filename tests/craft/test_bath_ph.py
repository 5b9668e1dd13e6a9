"""The charge balance: properties, and one bath worked by hand."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from studio.craft import acid
from studio.craft.acid import AcidDose, Water
from studio.craft.ions import CARBONIC_PKAS, PK_WATER, davies_log_gamma, shares
from studio.tables.rows import acids

ACETIC_PKAS = acids()["white vinegar"].pkas
CITRIC_PKAS = acids()["citric acid anhydrous"].pkas

pkas = st.sampled_from([ACETIC_PKAS, CITRIC_PKAS])
doses_mol_l = st.floats(1e-6, 1.0)
waters = st.builds(Water, st.floats(0, 20), st.floats(6, 9))
tap_waters = st.builds(Water, st.floats(0.05, 20), st.floats(6.5, 8.8))
corrected = st.booleans()


@given(pkas, doses_mol_l, st.floats(1.0001, 3), waters, corrected)
def test_more_acid_never_raises_the_ph(acid_pkas, mol_l, times, water, activity):
    less = acid.ph([AcidDose(acid_pkas, mol_l)], water, activity=activity)
    more = acid.ph([AcidDose(acid_pkas, min(2.0, mol_l * times))], water, activity=activity)
    assert more <= less + 1e-9


@given(pkas, doses_mol_l, st.floats(0, 19), st.floats(0.01, 1), corrected)
@example(ACETIC_PKAS, 0.06, 13.03125, 1.0, False)  # Newton once swung between two ends here
def test_more_alkalinity_never_lowers_the_ph(acid_pkas, mol_l, alkalinity, more, activity):
    dose = [AcidDose(acid_pkas, mol_l)]
    softer = acid.ph(dose, Water(alkalinity, 7.5), activity=activity)
    harder = acid.ph(dose, Water(alkalinity + more, 7.5), activity=activity)
    assert harder >= softer - 1e-9


@given(pkas, doses_mol_l, waters, corrected)
def test_dose_to_ph_to_dose(acid_pkas, mol_l, water, activity):
    found = acid.ph([AcidDose(acid_pkas, mol_l)], water, activity=activity)
    assume(1 <= found <= 10)
    back = acid.dose_for_ph(found, AcidDose(acid_pkas, 0.0), water, activity=activity)
    assert back == pytest.approx(mol_l, rel=1e-6, abs=1e-9)


@given(pkas, st.floats(2.8, 6.4), tap_waters, corrected, st.booleans())
def test_ph_to_dose_to_ph(acid_pkas, target, water, activity, open_to_air):
    how = {"activity": activity, "open_to_air": open_to_air}
    try:
        dose = acid.dose_for_ph(target, AcidDose(acid_pkas, 0.0), water, **how)
    except ValueError:  # weak acid, strong wish
        assume(False)
    assume(dose > 0)
    assert acid.ph([AcidDose(acid_pkas, dose)], water, **how) == pytest.approx(target, abs=1e-7)


@given(tap_waters, corrected)
def test_water_alone_keeps_its_ph(water, activity):
    assert acid.ph([], water, activity=activity) == pytest.approx(water.ph, abs=1e-6)


@given(pkas, st.floats(0.0001, 0.5), tap_waters)
def test_an_open_bath_is_never_more_acid_than_a_closed_one(acid_pkas, mol_l, water):
    dose = [AcidDose(acid_pkas, mol_l)]
    open_ph = acid.ph(dose, water, open_to_air=True)
    assume(acid.ph([], water) <= acid.ph([], water, open_to_air=True))  # else the air brings carbon dioxide
    assert open_ph >= acid.ph(dose, water) - 1e-9


@given(pkas, doses_mol_l, waters)
def test_the_order_and_split_of_doses_do_not_matter(acid_pkas, mol_l, water):
    whole = acid.ph([AcidDose(acid_pkas, mol_l), AcidDose(ACETIC_PKAS, 0.001)], water)
    halves = [AcidDose(ACETIC_PKAS, 0.001), AcidDose(acid_pkas, mol_l / 2), AcidDose(acid_pkas, mol_l / 2)]
    assert acid.ph(halves, water) == pytest.approx(whole, abs=1e-9)


@given(st.floats(0, 14), pkas, st.floats(-0.2, 0))
def test_shares_add_up(ph, acid_pkas, log_g1):
    parts = shares(ph, acid_pkas, log_g1)
    assert sum(parts) == pytest.approx(1)
    assert all(part >= 0 for part in parts)


def test_no_acid_needed():
    assert acid.dose_for_ph(8.0, AcidDose(ACETIC_PKAS, 0.0), Water(2.0, 7.5)) == 0.0


def test_one_bath_by_hand():
    """0.01 mol/L acetic acid, 1 meq/L, pH 7.5, closed, ideal. At the pH found the charges are counted one by one."""
    found = acid.ph([AcidDose(ACETIC_PKAS, 0.01)], Water(1.0, 7.5, 0.0), activity=False)
    k1, k2 = (10**-pk for pk in CARBONIC_PKAS)
    h0 = 10**-7.5
    total_0 = h0 * h0 + k1 * h0 + k1 * k2
    carbonate = (0.001 - 10 ** (7.5 - PK_WATER) + h0) * total_0 / (k1 * h0 + 2 * k1 * k2)
    h = 10**-found
    total = h * h + k1 * h + k1 * k2
    positive = 0.001 + h
    negative = (
        10 ** (found - PK_WATER)
        + 0.01 * 10**-4.756 / (h + 10**-4.756)
        + carbonate * (k1 * h + 2 * k1 * k2) / total
    )
    assert positive == pytest.approx(negative, rel=1e-9)


def test_davies_by_hand():
    """I = 0.1: sqrt 0.316228; 0.316228/1.316228 = 0.240253; less 0.03 = 0.210253; x 0.509 = 0.107019; x 4 for z = 2."""
    assert davies_log_gamma(1, 0.1) == pytest.approx(-0.107019, abs=1e-6)
    assert davies_log_gamma(-2, 0.1) == pytest.approx(-0.428075, abs=2e-6)
    assert davies_log_gamma(0, 0.1) == 0


def test_monohydrate_by_hand():
    """210.14 g of citric acid monohydrate hold one mole, as 192.124 g of the anhydrous do."""
    assert math.isclose(
        acid.powder_acid_mol(210.14, 100, 210.14), acid.powder_acid_mol(192.124, 100, 192.124)
    )
