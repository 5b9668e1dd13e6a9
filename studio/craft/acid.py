"""pH of a bath from its water and its acids, and the acid for a wanted pH; one door to `acid_amounts`, `water`."""

from __future__ import annotations

from collections.abc import Sequence

from studio.craft.acid_amounts import (
    WOOL_ACID_MMOL_G,
    alkalinity_meq_l,
    liquid_acid_mol,
    powder_acid_mol,
    wool_acid_capacity_mmol,
)
from studio.craft.charge_balance import balanced_ph, dose_at_ph
from studio.craft.limits import within
from studio.craft.water import MOST_ACID_MOL_L, AcidDose, Water, bath_of, checked_pkas

__all__ = [
    "MOST_ACID_MOL_L",
    "WOOL_ACID_MMOL_G",
    "AcidDose",
    "Water",
    "alkalinity_meq_l",
    "dose_for_ph",
    "liquid_acid_mol",
    "ph",
    "powder_acid_mol",
    "wool_acid_capacity_mmol",
]

HIGHEST_OPEN_PH = 7.0
"""Above it a bath still holds bicarbonate, so 'all carbon dioxide lost' is not true of it (house rule)."""


def ph(
    doses: Sequence[AcidDose],
    water: Water,
    *,
    open_to_air: bool = False,
    activity: bool = True,
    air_co2_atm: float = 0.0,
) -> float:
    """pH of the water once the acids are in it.

    alkalinity + [H] = [OH] + sum(c_i n_i(pH)) + CT n_carbonate(pH), solved for the pH by Newton steps in a
    bracket; CT from the water's alkalinity and pH (closed), or in balance with CO2 at `air_co2_atm` (open)

    `doses`: any number of acids, mol/L in the finished bath. `water`: as it was before the acids; the little
    it is diluted by a liquid acid is for the caller to count.
    `open_to_air`: False keeps all carbonate in the bath; True lets it go, all of it while `air_co2_atm` is 0
    (a simmering bath comes near that, never quite). `activity`: True corrects by the Davies equation, False
    is ideal.
    `air_co2_atm`: pressure of carbon dioxide above an open bath, 0 to 1 atm (air 0.00042).
    Returns -log10 of the hydrogen ion activity at 25 degC. Closed and open bracket the bath in the pot.
    Refused (ValueError): values out of range; an open bath whose acid does not cover the alkalinity (pH
    above 7), while `air_co2_atm` is 0.

    >>> ph([AcidDose((4.756,), 0.1)], Water(0.0), activity=False)
    2.881

    **Source:** exact charge balance, Stumm and Morgan, Aquatic Chemistry, 3rd ed. 1996, chs. 3 and 4 (from
    memory); held against PHREEQC (D. L. Parkhurst and C. A. J. Appelo, USGS) in the tests.
    Breaks hot (constants are of 25 degC), with wool in the bath (it binds acid), and slightly in hard water,
    where calcium holds on to citrate.
    """
    found = balanced_ph(bath_of(water, doses, open_to_air, activity, air_co2_atm))
    if open_to_air and air_co2_atm == 0 and found > HIGHEST_OPEN_PH:
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
    others: Sequence[AcidDose] = (),
    open_to_air: bool = False,
    activity: bool = True,
    air_co2_atm: float = 0.0,
) -> float:
    """Acid that brings the water to a wanted pH.

    dose = (alkalinity + [H] - [OH] - sum(c_i n_i) - CT n_carbonate) / n, all at the wanted pH: `ph()` turned
    round

    `target_ph`: 1 to 10. `pkas`: of the acid to add. `others`: acids already in the bath. The rest as in
    `ph()`.
    Returns mol/L in the finished bath; 0 where the water is already at or below the wanted pH.
    Refused (ValueError): values out of range; a pH this acid does not reach within 2 mol/L; an open bath
    above pH 7 while `air_co2_atm` is 0.

    >>> dose_for_ph(4.0, (4.756,), Water(2.0, 7.5))
    0.01345

    **Source:** as `ph()`.
    Breaks as `ph()` does: it is the figure for the water, what wool itself binds comes on top of it.
    """
    within("pH wanted", target_ph, 1, 10)
    checked_pkas(pkas)
    if open_to_air and air_co2_atm == 0 and target_ph > HIGHEST_OPEN_PH:
        raise ValueError(
            f"An open bath that has lost its carbon dioxide is not above pH {HIGHEST_OPEN_PH:g}; "
            "name a lower pH or take the closed bath."
        )
    dose = dose_at_ph(bath_of(water, others, open_to_air, activity, air_co2_atm), target_ph, pkas)
    if dose > MOST_ACID_MOL_L:
        raise ValueError(
            f"This acid does not bring the water to pH {target_ph:g} within {MOST_ACID_MOL_L:g} mol/L; "
            "name a higher pH or a stronger acid."
        )
    return max(0.0, dose)
