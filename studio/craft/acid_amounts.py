"""Grams and millilitres of acid to moles and back, equivalents, alkalinity, and what wool can bind."""

from __future__ import annotations

from studio.craft.limits import above, fibre_weight, liquid_volume, within

CALCIUM_CARBONATE_G_MOL = 100.087
"""g/mol, IUPAC atomic weights (from memory)."""
WOOL_ACID_MMOL_G = 0.82
"""mmol/g, most acid wool binds: J. Steinhardt and M. Harris, J. Res. NBS 24 (1940) 335, RP1286 (HCl)."""
CITRIC_FOR_VINEGAR_G_ML = {
    "three protons": 50.0 / 60.052 * 192.124 / 3.0 / 1000.0,
    "5 % solution, one for one": 200.0 / 4000.0,
    "35 g for 330 mL": 35.0 / 330.0,
    "105 g for 1 L": 105.0 / 1000.0,
}
"""g of anhydrous citric acid in place of 1 mL of 5 % vinegar, rule by rule. `three protons` is
stoichiometry; the second is The Fibre Garden, Citric Acid (supplier's sheet); the last two are rules of PRO
Chemical and Dye, given in P. Burch, All About Hand Dyeing, page on citric acid."""


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


def alkalinity_mg_l(meq_l: float) -> float:
    """Alkalinity in mg/L as calcium carbonate from meq/L: `alkalinity_meq_l` turned round.

    mg/L = meq/L x 100.087 / 2

    `meq_l`: 0 to 20 meq/L. Returns mg/L. Refused (ValueError): outside that range.

    >>> alkalinity_mg_l(2.0)
    100.087

    **Source:** definition. Breaks as `alkalinity_meq_l` does.
    """
    return within("alkalinity", meq_l, 0, 20, "meq/L") * CALCIUM_CARBONATE_G_MOL / 2.0


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


def liquid_acid_ml(acid_mol: float, strength_percent_wv: float, molar_mass_g: float) -> float:
    """Volume of liquid acid that holds so many moles: `liquid_acid_mol` turned round.

    volume = mol x molar mass x 100 / strength

    `acid_mol`: 0 to 10 000 mol; the rest as in `liquid_acid_mol`. Returns mL.
    Refused (ValueError): outside those ranges.

    >>> liquid_acid_ml(0.082, 5, 60.052)
    98.5

    **Source:** definition. Breaks as `liquid_acid_mol` does.
    """
    within("amount of acid", acid_mol, 0, 10_000, "mol")
    return acid_mol * _molar(molar_mass_g) / _grams_per_ml(strength_percent_wv)


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


def powder_acid_g(acid_mol: float, purity_percent: float, molar_mass_g: float) -> float:
    """Weight of powder that holds so many moles: `powder_acid_mol` turned round.

    mass = mol x molar mass x 100 / purity

    `acid_mol`: 0 to 10 000 mol; the rest as in `powder_acid_mol`. Returns g.
    Refused (ValueError): outside those ranges.

    >>> powder_acid_g(1.0, 100, 192.124)
    192.124

    **Source:** definition. Breaks as `powder_acid_mol` does.
    """
    within("amount of acid", acid_mol, 0, 10_000, "mol")
    return acid_mol * _molar(molar_mass_g) * 100.0 / above("purity", purity_percent, 0, 100, "%")


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


def vinegar_ml_for_acetic_ml(acetic_ml: float, acetic_percent: float, vinegar_percent: float = 5.0) -> float:
    """Vinegar with the acid of a stronger acetic acid.

    vinegar = volume x strength / strength of the vinegar

    `acetic_ml`: 0 to 1 000 000 mL. `acetic_percent`: above 0 to 110 g per 100 mL. `vinegar_percent`: above 0
    to 30.
    Returns mL. Refused (ValueError): outside those ranges.

    >>> vinegar_ml_for_acetic_ml(1, 56)
    11.2

    **Source:** conservation of mass; Earth Guild, Lanaset dyes (supplier's sheet) rounds it to 11 for 56 %.
    Breaks for the water: more vinegar is also more bath, so leave that much water out.
    """
    above("strength of the vinegar", vinegar_percent, 0, 30, "%")
    acid_g = liquid_volume("volume of acid", acetic_ml) * _grams_per_ml(acetic_percent)
    return acid_g * 100.0 / vinegar_percent


def citric_g_for_vinegar_ml(vinegar_ml: float) -> dict[str, float]:
    """Citric acid in place of 5 % vinegar by each published rule; they differ twofold, so all are given.

    citric = vinegar x (g/mL of the rule)

    `vinegar_ml`: 0 to 1 000 000 mL. Returns rule to g of anhydrous citric acid.
    Refused (ValueError): outside that range.

    >>> {rule: round(grams, 1) for rule, grams in citric_g_for_vinegar_ml(100).items()}
    {'three protons': 5.3, '5 % solution, one for one': 5.0, '35 g for 330 mL': 10.6, '105 g for 1 L': 10.5}

    **Source:** see `CITRIC_FOR_VINEGAR_G_ML`.
    Breaks for the pH: equal by any rule is not equal in pH; use `ph()` for that.
    """
    volume_ml = liquid_volume("volume of vinegar", vinegar_ml)
    return {rule: volume_ml * g_ml for rule, g_ml in CITRIC_FOR_VINEGAR_G_ML.items()}


def _grams_per_ml(strength_percent_wv: float) -> float:
    return above("strength of the acid", strength_percent_wv, 0, 110, "%") / 100.0


def _molar(molar_mass_g: float) -> float:
    return above("molar mass", molar_mass_g, 0, 1000, "g/mol")
