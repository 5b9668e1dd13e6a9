"""Grams and millilitres of acid to moles and back, equivalents, alkalinity, and what wool can bind."""

from __future__ import annotations

from studio.craft.limits import above, fibre_weight, liquid_volume, within

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
    return WOOL_ACID_MMOL_G * fibre_weight(wool_g)


def _grams_per_ml(strength_percent_wv: float) -> float:
    return above("strength of the acid", strength_percent_wv, 0, 110, "%") / 100.0


def _molar(molar_mass_g: float) -> float:
    return above("molar mass", molar_mass_g, 0, 1000, "g/mol")
