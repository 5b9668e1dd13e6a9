"""Tap water and acids as the dyer knows them: amounts to moles and back, the pH of a bath, and the acid
for a wanted pH.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from studio.craft.charge import (
    CARBONIC_PKAS,
    Bath,
    balanced_ph,
    carbonate_mol_l,
    dose_at_ph,
    mean_charge,
    monovalent_log_gamma,
    water_ions,
)
from studio.craft.limits import FIBRE_G, above, liquid_volume, within
from studio.craft.solve import fixed_point

# Tap water and acids as the dyer knows them, turned into the bath the charge balance works on.

MOST_ACID_MOL_L = 2.0
"""mol/L; more than twice 5 % vinegar, beyond any bath and any simple model (house rule)."""


@dataclass(frozen=True)
class Water:
    """Tap water as the dyer knows it.

    `alkalinity_meq_l`: 0 to 20 meq/L (from a strip or the supplier's report by `alkalinity_meq_l()`).
    `ph`: as it leaves the tap, 5 to 10; without alkalinity it has no say and the water counts as pure.
    Refused (ValueError): outside those ranges.

    >>> Water(2.0, 7.5).ph
    7.5

    **Source:** charge balance of a carbonate water; the ranges are house rules.
    """

    alkalinity_meq_l: float
    ph: float = 7.5

    def __post_init__(self) -> None:
        within("alkalinity of the water", self.alkalinity_meq_l, 0, 20, "meq/L")
        within("pH of the water", self.ph, 5, 10)


@dataclass(frozen=True)
class AcidDose:
    """An acid and how much of it is in the finished bath.

    `pkas`: one to six values, rising, -2 to 14, at 25 degC and zero ionic strength. `mol_l`: 0 to 2 mol/L.
    Refused (ValueError): outside those ranges.

    >>> AcidDose((4.756,), 0.1).mol_l
    0.1

    **Source:** limits are house rules.
    """

    pkas: tuple[float, ...]
    mol_l: float

    def __post_init__(self) -> None:
        checked_pkas(self.pkas)
        within("concentration of acid", self.mol_l, 0, MOST_ACID_MOL_L, "mol/L")


def checked_pkas(pkas: Sequence[float]) -> None:
    """Refuse (ValueError) anything but one to six rising pKa values, -2 to 14. **Source:** house rule.

    >>> checked_pkas((6.396, 3.128))
    Traceback (most recent call last):
    ValueError: The pKa values of an acid must rise; give the first proton first.
    """
    if not 1 <= len(pkas) <= 6:
        raise ValueError(f"An acid has one to six pKa values, not {len(pkas)}.")
    for pka in pkas:
        within("pKa", pka, -2, 14)
    if list(pkas) != sorted(pkas):
        raise ValueError("The pKa values of an acid must rise; give the first proton first.")


def bath_of(water: Water, doses: Sequence[AcidDose], open_to_air: bool, activity: bool) -> Bath:
    """The bath that a water and its acids make, with the carbonate the water brings.

    CT = (alkalinity - [OH] + [H]) / n_carbonate at the pH of the tap; none without alkalinity or in an open bath

    Parameters as in `studio.craft.acid.ph`. Returns the bath. Refuses nothing.

    >>> bath_of(Water(2.0, 7.5), (), False, False).carbonate_mol_l
    0.0021386

    **Source:** as `carbonate_mol_l`. Breaks for water whose alkalinity is partly silicate, borate or
    phosphate.
    """
    base_mol_l = water.alkalinity_meq_l / 1000.0
    no_carbonate = open_to_air or base_mol_l == 0
    return Bath(
        base_mol_l,
        0.0 if no_carbonate else _tap_carbonate(water.ph, base_mol_l, activity),
        tuple((dose.mol_l, dose.pkas) for dose in doses),
        activity,
    )


def _tap_carbonate(tap_ph: float, base_mol_l: float, activity: bool) -> float:
    """Total carbonate of the tap water, its own ionic strength found by fixed point."""

    def work(ionic_strength: float) -> tuple[float, float]:
        log_g1 = monovalent_log_gamma(ionic_strength, activity)
        carbonate = carbonate_mol_l(base_mol_l, tap_ph, log_g1)
        _, squared = mean_charge(tap_ph, CARBONIC_PKAS, log_g1)
        ions = base_mol_l + sum(water_ions(tap_ph, log_g1)) + carbonate * squared
        return carbonate, ions / 2.0

    return fixed_point(work, base_mol_l, 1e-13)


# Grams and millilitres of acid to moles and back, the pH of a bath from its water and its acids, and the
# acid for a wanted pH.

CALCIUM_CARBONATE_G_MOL = 100.087
"""g/mol, IUPAC atomic weights (from memory)."""
WOOL_ACID_MMOL_G = 0.82
"""mmol/g, most acid wool binds: J. Steinhardt and M. Harris, J. Res. NBS 24 (1940) 335, RP1286 (HCl)."""


def alkalinity_meq_l(mg_l_caco3: float) -> float:
    """Alkalinity in meq/L from mg/L as calcium carbonate.

    meq/L = mg/L / (100.087 / 2)

    `mg_l_caco3`: 0 to 1000 mg/L. Returns meq/L. Refused (ValueError): outside that range.

    >>> alkalinity_meq_l(100)
    1.998

    **Source:** definition (two equivalents to a mole of CaCO3).
    Breaks if the figure is hardness: hardness is not alkalinity, though a report may show them side by side.
    """
    return within("alkalinity", mg_l_caco3, 0, 1000, "mg/L") / (CALCIUM_CARBONATE_G_MOL / 2.0)


def liquid_acid_mol(volume_ml: float, strength_percent_wv: float, molar_mass_g: float) -> float:
    """Moles of acid in a volume of liquid acid.

    mol = volume x strength / 100 / molar mass

    `volume_ml`: 0 to 1 000 000 mL. `strength_percent_wv`: above 0 to 110 g per 100 mL (glacial acetic acid is
    104). `molar_mass_g`: above 0 to 1000 g/mol. Returns mol. Refused (ValueError): outside those ranges.

    >>> liquid_acid_mol(1000, 5, 60.052)
    0.8326

    **Source:** definition; 5 % vinegar is 50 g/L of acetic acid.
    Breaks where a label's per cent is by weight: 56 % by weight is 59.6 g per 100 mL (density 1.064, from
    memory).
    """
    acid_g = liquid_volume("volume of acid", volume_ml) * _grams_per_ml(strength_percent_wv)
    return acid_g / _molar(molar_mass_g)


def powder_acid_mol(mass_g: float, purity_percent: float, molar_mass_g: float) -> float:
    """Moles of acid in a weight of powder.

    mol = mass x purity / 100 / molar mass

    `mass_g`: 0 to 100 000 g. `purity_percent`: above 0 to 100 % by weight. `molar_mass_g`: of what is
    weighed, its crystal water included, above 0 to 1000 g/mol. Returns mol. Refused (ValueError): outside
    those ranges.

    >>> powder_acid_mol(192.124, 100, 192.124)
    1.0

    **Source:** definition; citric acid 192.12 g/mol anhydrous, 210.14 with one water (from memory).
    Breaks for powder that has drawn damp: weigh from a closed tub.
    """
    within("weight of acid", mass_g, 0, 100_000, "g")
    return mass_g * above("purity", purity_percent, 0, 100, "%") / 100.0 / _molar(molar_mass_g)


def wool_acid_capacity_mmol(wool_g: float) -> float:
    """Most acid that wool itself can bind: an upper bound, never a dose.

    capacity = 0.82 mmol/g x wool

    `wool_g`: 0 to 100 000 g. Returns mmol of strong acid. Refused (ValueError): outside that range.

    >>> wool_acid_capacity_mmol(100)
    82.0

    **Source:** J. Steinhardt and M. Harris, J. Res. NBS 24 (1940) 335, RP1286 (abstract): hydrochloric acid,
    0 degC, whatever the ionic strength; nothing appreciable is bound between pH 5 and 10 without salt.
    Breaks for weak acids, also taken up whole (Steinhardt, Fugitt and Harris, J. Res. NBS 30 (1943) 123,
    RP1523).
    """
    return WOOL_ACID_MMOL_G * FIBRE_G(wool_g)


def _grams_per_ml(strength_percent_wv: float) -> float:
    return above("strength of the acid", strength_percent_wv, 0, 110, "%") / 100.0


def _molar(molar_mass_g: float) -> float:
    return above("molar mass", molar_mass_g, 0, 1000, "g/mol")


HIGHEST_OPEN_PH = 7.0
"""Above it a bath still holds bicarbonate, so 'all carbon dioxide lost' is not true of it (house rule)."""


def ph(
    doses: Sequence[AcidDose],
    water: Water,
    *,
    open_to_air: bool = False,
    activity: bool = True,
) -> float:
    """pH of the water once the acids are in it.

    alkalinity + [H] = [OH] + sum(c_i n_i(pH)) + CT n_carbonate(pH), solved for the pH by Newton steps in a
    bracket; CT from the water's alkalinity and pH (closed), or none (open)

    `doses`: any number of acids, mol/L in the finished bath. `water`: as it was before the acids; the little
    it is diluted by a liquid acid is for the caller to count.
    `open_to_air`: False keeps all carbonate in the bath; True lets all of it go (a simmering bath comes
    near that, never quite). `activity`: True corrects by the Davies equation, False
    is ideal.
    Returns -log10 of the hydrogen ion activity at 25 degC. Closed and open bracket the bath in the pot.
    Refused (ValueError): values out of range; an open bath whose acid does not cover the alkalinity (pH
    above 7).

    >>> ph([AcidDose((4.756,), 0.1)], Water(0.0), activity=False)
    2.881

    **Source:** exact charge balance, Stumm and Morgan, Aquatic Chemistry, 3rd ed. 1996, chs. 3 and 4 (from
    memory); held against PHREEQC (D. L. Parkhurst and C. A. J. Appelo, USGS) in the tests.
    Breaks hot (constants are of 25 degC), with wool in the bath (it binds acid), and slightly in hard water,
    where calcium holds on to citrate.
    """
    found = balanced_ph(bath_of(water, doses, open_to_air, activity))
    if open_to_air and found > HIGHEST_OPEN_PH:
        raise ValueError(
            "The acid does not cover the alkalinity of the water, so its carbon dioxide cannot all leave; "
            "add more acid or take the closed bath."
        )
    return found


def dose_for_ph(
    target_ph: float,
    pkas: Sequence[float],
    water: Water,
    *,
    open_to_air: bool = False,
    activity: bool = True,
) -> float:
    """Acid that brings the water to a wanted pH.

    dose = (alkalinity + [H] - [OH] - sum(c_i n_i) - CT n_carbonate) / n, all at the wanted pH: `ph()` turned
    round

    `target_ph`: 1 to 10. `pkas`: of the acid to add. The rest as in `ph()`.
    Returns mol/L in the finished bath; 0 where the water is already at or below the wanted pH.
    Refused (ValueError): values out of range; a pH this acid does not reach within 2 mol/L; an open bath
    above pH 7.

    >>> dose_for_ph(4.0, (4.756,), Water(2.0, 7.5))
    0.01345

    **Source:** as `ph()`.
    Breaks as `ph()` does: it is the figure for the water, what wool itself binds comes on top of it.
    """
    within("pH wanted", target_ph, 1, 10)
    checked_pkas(pkas)
    if open_to_air and target_ph > HIGHEST_OPEN_PH:
        raise ValueError(
            f"An open bath that has lost its carbon dioxide is not above pH {HIGHEST_OPEN_PH:g}; "
            "name a lower pH or take the closed bath."
        )
    dose = dose_at_ph(bath_of(water, (), open_to_air, activity), target_ph, pkas)
    if dose > MOST_ACID_MOL_L:
        raise ValueError(
            f"This acid does not bring the water to pH {target_ph:g} within {MOST_ACID_MOL_L:g} mol/L; "
            "name a higher pH or a stronger acid."
        )
    return max(0.0, dose)
