"""Tap water and acids as the dyer knows them: amounts to moles and back, the pH of a bath, and the acid
for a wanted pH.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Any

from msgspec.structs import replace

from studio.craft.charge import (
    MOST_ACID_MOL_L,
    NEAR,
    AcidDose,
    AtRest,
    Bath,
    at_rest,
    balanced,
    checked_dose,
    dose_at_ph,
    imbalance,
)
from studio.craft.ions import BindingFibre
from studio.craft.limits import above, liquid_volume, within

# Tap water and acids as the dyer knows them, turned into the bath the charge balance works on.


class Water:
    """Tap water as the dyer knows it.

    `alkalinity_meq_l`: 0 to 20 meq/L (from a strip or the supplier's report by `alkalinity_meq_l()`).
    `ph`: as it leaves the tap, 5 to 10; without alkalinity it has no say and the water counts as pure.
    `calcium_share`: of the alkalinity, what came with calcium, 0 to 1; the rest with sodium, as from a softener.
    Refused (ValueError): outside those ranges.

    >>> Water(2.0, 7.5).ph
    7.5

    **Source:** charge balance of a carbonate water; the ranges are house rules.
    """

    def __init__(self, alkalinity_meq_l: float, ph: float = 7.5, calcium_share: float = 1.0) -> None:
        self.alkalinity_meq_l = within("alkalinity of the water", alkalinity_meq_l, 0, 20, "meq/L")
        self.calcium_share = within("share of calcium", calcium_share, 0, 1)
        self.ph = within("pH of the water", ph, 5, 10)


def bath_of(
    water: Water,
    doses: Sequence[AcidDose],
    *,
    open_to_air: bool = False,
    fibre: BindingFibre | None = None,
    dye_mol_l: float = 0.0,
    activity: bool = True,
) -> Bath:
    """The bath that a water and its acids make, with the carbonate and the calcium that the water brings.

    `doses`: any number of acids, each as `checked_dose` takes it. `water`: as it was before the acids; the little it is
    diluted by a liquid acid is for the caller to count.
    `open_to_air`: False keeps the tap water's carbonate in the bath; True holds it at rest with the air, as a pot that
    simmers, or a soak that stands for hours, comes near. `fibre`: what takes acid out of it, see `BindingFibre`.
    `dye_mol_l`: equivalents of dye that have gone onto the fibre, to a litre: each leaves its sodium in the bath, and a
    site less. `activity`: True corrects by the Davies equation, False is ideal.

    >>> bath_of(Water(2.0, 7.5, 0.0), (), activity=False).carbonate_mol_l
    0.0021386

    **Source:** the terms of electroneutrality, as `imbalance`; dye by the definition of an ion pair.
    Breaks for water whose alkalinity is partly silicate, borate or phosphate, or that holds much salt.
    """
    base_mol_l = water.alkalinity_meq_l / 1000.0
    if fibre is not None and dye_mol_l:
        fibre = replace(fibre, filled_mol_g=dye_mol_l / fibre.g_l)
    bath = Bath(base_mol_l, None, (), base_mol_l / 2.0 * water.calcium_share, None, activity)
    return replace(
        bath,
        base_mol_l=base_mol_l + dye_mol_l,
        carbonate_mol_l=None if open_to_air else _tap_carbonate(bath, water.ph),
        acids=tuple(checked_dose(dose) for dose in doses),
        fibre=fibre,
    )


@lru_cache(maxsize=64)
def _tap_carbonate(bath: Bath, tap_ph: float) -> float:
    """Total carbonate, mol/L, at which the tap water has its pH; none without alkalinity."""
    if bath.base_mol_l == 0:
        return 0.0

    return at_rest(
        lambda carbonate, near: imbalance(replace(bath, carbonate_mol_l=carbonate), tap_ph, near),
        lambda found: (found.left, found.outside * found.charge),
        bath.base_mol_l,
        0.0,
        100.0 * bath.base_mol_l,
    )[0]


# Grams and millilitres of acid to moles and back, the pH of a bath from its water and its acids, and the
# acid for a wanted pH.

CALCIUM_CARBONATE_G_MOL = 100.087
"""g/mol, IUPAC atomic weights (from memory)."""


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
    Breaks where a label's per cent is by weight, see `acetic_percent_by_volume`.
    """
    acid_g = liquid_volume("volume of acid", volume_ml) * _grams_per_ml(strength_percent_wv)
    return acid_g / _molar(molar_mass_g)


ACETIC_DENSITY = (
    (0.0, 0.9982), (1.0, 0.9996), (5.0, 1.0052), (10.0, 1.0121), (20.0, 1.0250), (30.0, 1.0369), (40.0, 1.0474),
    (50.0, 1.0562), (70.0, 1.0673), (80.0, 1.0680), (90.0, 1.0644), (100.0, 1.0477),
)  # fmt: skip
"""% by weight of acetic acid, g/mL of it at 20 degC: CRC Handbook of Chemistry and Physics; 80 and 90 % from memory."""


def acetic_percent_by_volume(percent_by_weight: float) -> float:
    """g of acetic acid in 100 mL of an acid whose label means per cent by weight.

    g / 100 mL = per cent by weight x density, the density a straight line between the rows of `ACETIC_DENSITY`

    `percent_by_weight`: above 0 to 100 %. Returns g per 100 mL. Refused (ValueError): outside that range.

    >>> acetic_percent_by_volume(56)
    59.3

    **Source:** definition; density as `ACETIC_DENSITY`.
    Breaks by a thousandth between the rows, and where the label means by volume, as most do not say.
    """
    above("strength of the acid", percent_by_weight, 0, 100, "%")
    (low, less), (high, more) = next(
        pair for pair in pairwise(ACETIC_DENSITY) if pair[0][0] <= percent_by_weight <= pair[1][0]
    )
    return percent_by_weight * (less + (more - less) * (percent_by_weight - low) / (high - low))


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


def _grams_per_ml(strength_percent_wv: float) -> float:
    return above("strength of the acid", strength_percent_wv, 0, 110, "%") / 100.0


def _molar(molar_mass_g: float) -> float:
    return above("molar mass", molar_mass_g, 0, 1000, "g/mol")


def ph(doses: Sequence[AcidDose], water: Water, **how: Any) -> float:
    """pH of the water once the acids are in it, and its fibre has taken what it takes.

    alkalinity + [H] = [OH] + sum(c_i n_i(pH)) + CT n_carbonate(pH), solved for the pH by Newton steps in a
    bracket; CT from the water's alkalinity and pH (closed), or such that carbon dioxide is at rest with the air (open)

    Parameters, and what `how` takes, as in `bath_of`.
    Returns -log10 of the hydrogen ion activity at 25 degC, which a strip shows in a cooled sample; the bath itself
    at 90 degC is 0.1 to 0.15 higher with vinegar, up to 0.4 with citric acid. Closed and open bracket what is in the
    pot.
    Refused (ValueError): values out of range.

    >>> ph([AcidDose((4.756,), 0.1)], Water(0.0), activity=False)
    2.881

    **Source:** exact charge balance, Stumm and Morgan, Aquatic Chemistry, 3rd ed. 1996, chs. 3 and 4 (from
    memory); held against PHREEQC (D. L. Parkhurst and C. A. J. Appelo, USGS) in the tests.
    Breaks where lime scale settles: hard water that simmers without acid ends near pH 8.5, whatever is worked out.
    """
    return bath_at_rest(doses, water, **how).ph


def bath_at_rest(doses: Sequence[AcidDose], water: Water, **how: Any) -> AtRest:
    """The pH of `ph`, and the acid that the fibre then holds, mol to a litre of the liquid around it.

    >>> bath_at_rest([AcidDose((4.756,), 0.008325)], Water(0.0), fibre=BindingFibre(50.0), activity=False).held_mol_l
    0.001856

    **Source:** as `ph` and `donnan_ratio`. Breaks as they do.
    """
    return balanced(bath_of(water, doses, **how))


def dose_for_ph(target_ph: float, acid: AcidDose, water: Water, **how: Any) -> float:
    """Acid that brings the water, and what fibre is in it, to a wanted pH: `ph()` turned round.

    `target_ph`: 1 to 10. `acid`: the one to add, whatever its mol/L. The rest as in `bath_of`.
    Returns mol/L of the finished bath, what the fibre then holds counted in; 0 where it is at or below that pH already.
    Refused (ValueError): values out of range; a pH this acid does not reach within 2 mol/L.

    >>> dose_for_ph(4.0, AcidDose((4.756,), 0.0), Water(2.0, 7.5))
    0.01334

    **Source:** as `ph()`.
    Breaks as `ph()` does.
    """
    within("pH wanted", target_ph, 1, 10)
    dose = dose_at_ph(bath_of(water, (), **how), target_ph, checked_dose(acid))
    if dose > MOST_ACID_MOL_L - NEAR:
        raise ValueError(
            f"This acid does not bring the water to pH {target_ph:g} within {MOST_ACID_MOL_L:g} mol/L; "
            "name a higher pH or a stronger acid."
        )
    return dose
