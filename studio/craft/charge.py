"""The bath as one equation: positive and negative charges are equal; with the activity of ions and the
steps of each acid.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

from studio.craft.limits import within
from studio.craft.solve import falling_root, fixed_point

# How far an acid has given up its protons, and how much carbonate a water holds.

PK_WATER = 13.995
"""25 degC: CRC Handbook of Chemistry and Physics (from memory)."""
CARBONIC_PKAS = (6.352, 10.329)
"""25 degC, CO2 and H2CO3 together: 6.35 and 10.33 in LibreTexts, table E1; third decimal from memory."""


def shares(ph: float, pkas: Sequence[float], log_g1: float = 0.0) -> tuple[float, ...]:
    """Share of an acid that has lost 0, 1, 2 ... protons.

    w_0 = 1, w_j = w_(j-1) 10^(pH - pKa_j) g_(j-1) / g_j; share_j = w_j / sum(w)

    `ph`: -log10 of the hydrogen ion activity, -2 to 16. `pkas`: in rising order, at zero ionic strength.
    `log_g1`: log10 of the activity coefficient of a single charge (a charge z has z^2 times it).
    Returns one share for each charge 0, -1, -2 ..., together 1. Refuses nothing.

    >>> [round(share, 3) for share in shares(4.756, (4.756,))]
    [0.5, 0.5]

    **Source:** law of mass action; Stumm and Morgan, Aquatic Chemistry, 3rd ed. 1996, ch. 3 (from memory).
    Breaks in hot baths: the pKa's are those of 25 degC.
    """
    weights = [1.0]
    for lost, pka in enumerate(pkas):
        # g_(j-1)/g_j in logarithms: log_g1 (j-1)^2 - log_g1 j^2 = -log_g1 (2j - 1), with j = lost + 1
        weights.append(weights[-1] * 10.0 ** (ph - pka - log_g1 * (2 * lost + 1)))
    total = sum(weights)
    return tuple(weight / total for weight in weights)


def mean_charge(ph: float, pkas: Sequence[float], log_g1: float = 0.0) -> tuple[float, float]:
    """Mean number of protons lost by a molecule of acid, and mean of its square.

    n = sum(j share_j), q = sum(j^2 share_j)

    Parameters as in `shares`. Returns (n, q): n for the charge balance, q for the ionic strength.

    >>> mean_charge(4.756, (4.756,))
    (0.5, 0.5)

    **Source:** definitions; as `shares`. Breaks as `shares` does.
    """
    parts = shares(ph, pkas, log_g1)
    return (
        sum(lost * share for lost, share in enumerate(parts)),
        sum(lost * lost * share for lost, share in enumerate(parts)),
    )


def water_ions(ph: float, log_g1: float = 0.0) -> tuple[float, float]:
    """Concentrations of hydrogen and hydroxide ions.

    [H] = 10^-pH / g1, [OH] = 10^(pH - 13.995) / g1

    Parameters as in `shares`. Returns mol/L of each.

    >>> hydrogen, hydroxide = water_ions(6.9975)
    >>> abs(hydrogen - hydroxide) < 1e-12
    True

    **Source:** definition of pH; pKw of the CRC Handbook (from memory). Breaks in hot baths (pKw 12.3 at 100
    degC).
    """
    return 10.0 ** (-ph - log_g1), 10.0 ** (ph - PK_WATER - log_g1)


def carbonate_mol_l(excess_base_mol_l: float, ph: float, log_g1: float) -> float:
    """Total carbonate of a water of known alkalinity and pH.

    CT = (alkalinity - [OH] + [H]) / n

    `excess_base_mol_l`: alkalinity, mol/L. `ph`, `log_g1`: as in `shares`.
    Returns mol/L, never negative.

    >>> carbonate_mol_l(0.002, 7.5, 0.0)
    0.0021386

    **Source:** charge balance of a carbonate water; Stumm and Morgan, Aquatic Chemistry, ch. 4 (from memory).
    Breaks for water whose alkalinity is partly silicate, borate or phosphate.
    """
    hydrogen, hydroxide = water_ions(ph, log_g1)
    lost, _ = mean_charge(ph, CARBONIC_PKAS, log_g1)
    return max(0.0, (excess_base_mol_l - hydroxide + hydrogen) / lost)


# Activity of ions in a weakly mineral bath: the Davies equation at 25 degC.

DEBYE_HUCKEL_A = 0.509
"""(L/mol)^0.5, water at 25 degC: Stumm and Morgan, Aquatic Chemistry (from memory)."""


def davies_log_gamma(charge: int, ionic_strength: float) -> float:
    """Decimal logarithm of the activity coefficient of an ion.

    log g = -A z^2 (sqrt(I) / (1 + sqrt(I)) - 0.3 I), A = 0.509 at 25 degC

    `charge`: z, its sign does not matter. `ionic_strength`: I, 0 to 0.5 mol/L.
    Returns log10 of the coefficient, 0 for an uncharged molecule.
    Refused (ValueError): I outside that range.

    >>> davies_log_gamma(1, 0.1)
    -0.10702

    **Source:** C. W. Davies, Ion Association, Butterworths 1962 (from memory).
    Breaks above about 0.5 mol/L, so not for a bath with much salt.
    """
    within("ionic strength", ionic_strength, 0, 0.5, "mol/L")
    root = math.sqrt(ionic_strength)
    return -DEBYE_HUCKEL_A * charge * charge * (root / (1.0 + root) - 0.3 * ionic_strength)


def monovalent_log_gamma(ionic_strength: float, activity: bool) -> float:
    """log10 coefficient of a single charge, 0 where no correction is wanted; a charge z has z^2 times it.

    `ionic_strength`: mol/L, capped at 0.5 so that a solver may pass through wild values on its way.
    Returns log10 of the coefficient. Refuses nothing.

    >>> monovalent_log_gamma(0.1, activity=False)
    0.0

    **Source:** as `davies_log_gamma`.
    Breaks where the final ionic strength is itself above 0.5 mol/L.
    """
    return davies_log_gamma(1, min(ionic_strength, 0.5)) if activity else 0.0


# The bath as one equation: positive and negative charges are equal.

LOWEST_PH = -1.0
HIGHEST_PH = 14.0
SETTLED_MOL_L = 1e-13
"""Ionic strength is settled when it moves by less; far below any figure shown."""


class Bath(NamedTuple):
    """What is dissolved, apart from the acid whose dose may be asked for.

    `base_mol_l`: strong cations over strong anions, mol/L, which is the alkalinity.
    `carbonate_mol_l`: total carbonate. `acids`: (mol/L, pKa's) of each. `activity`: Davies or ideal.

    >>> Bath(0.002, 0.0021386, ((0.01, (4.756,)),), True).carbonate_mol_l
    0.0021386

    **Source:** the terms of electroneutrality, as `imbalance`.
    """

    base_mol_l: float
    carbonate_mol_l: float
    acids: tuple[tuple[float, tuple[float, ...]], ...]
    activity: bool


def imbalance(bath: Bath, ph: float, ionic_strength: float) -> tuple[float, float, float]:
    """Charge left over at a trial pH, how fast it falls, and the ionic strength of the ions found there.

    left over = base + [H] - [OH] - sum(c n) - CT n_carbonate
    fall per unit of pH = ln 10 ([H] + [OH] + sum(c (q - n^2)) + CT (q - n^2))
    I = (base + [H] + [OH] + sum(c q) + CT q_carbonate) / 2

    `ph`: trial pH. `ionic_strength`: mol/L, for the activity coefficients.
    Returns (mol/L, falling as the pH rises; mol/L for a unit of pH, above 0; mol/L). Refuses nothing.

    >>> left, _, _ = imbalance(Bath(0.0, 0.0, (), False), 6.9975, 0.0)
    >>> abs(left) < 1e-12
    True

    **Source:** electroneutrality; Stumm and Morgan, Aquatic Chemistry, 3rd ed. 1996, ch. 3 (from memory).
    Breaks where ions pair up, as calcium with citrate does in hard water: the pH is then a little lower.
    """
    log_g1 = monovalent_log_gamma(ionic_strength, bath.activity)
    hydrogen, hydroxide = water_ions(ph, log_g1)
    left = bath.base_mol_l + hydrogen - hydroxide
    fall = hydrogen + hydroxide
    ions = bath.base_mol_l + hydrogen + hydroxide
    for mol_l, pkas in (*bath.acids, (bath.carbonate_mol_l, CARBONIC_PKAS)):
        lost, squared = mean_charge(ph, pkas, log_g1)
        left -= mol_l * lost
        fall += mol_l * (squared - lost * lost)
        ions += mol_l * squared
    return left, math.log(10.0) * fall, ions / 2.0


def balanced_ph(bath: Bath) -> float:
    """pH at which the charges balance.

    Newton steps kept inside a shrinking bracket for the pH, fixed point outside for the ionic strength

    Returns the pH, to about 1e-12. Refuses nothing.

    >>> balanced_ph(Bath(0.0, 0.0, ((0.1, (4.756,)),), False))
    2.881

    **Source:** as `imbalance`. Breaks above an ionic strength of 0.5 mol/L (the Davies equation ends there).
    """
    ph = 7.0

    def work(ionic_strength: float) -> tuple[float, float]:
        nonlocal ph
        ph = falling_root(lambda at: imbalance(bath, at, ionic_strength)[:2], ph, LOWEST_PH, HIGHEST_PH)
        return ph, imbalance(bath, ph, ionic_strength)[2]

    return _settled(bath, work)


def dose_at_ph(bath: Bath, ph: float, pkas: Sequence[float]) -> float:
    """Acid that makes the charges balance at a pH: what is left over, by the protons a molecule gives.

    dose = left over / n, the ionic strength again by fixed point

    `ph`: the pH wanted. `pkas`: of the acid to be added.
    Returns mol/L; negative where acid would have to be taken out. Refuses nothing.

    >>> dose_at_ph(Bath(0.0, 0.0, (), False), 2.881, (4.756,))
    0.1

    **Source:** as `imbalance`. Breaks as `balanced_ph` does.
    """

    def work(ionic_strength: float) -> tuple[float, float]:
        left, _, ions = imbalance(bath, ph, ionic_strength)
        lost, squared = mean_charge(ph, pkas, monovalent_log_gamma(ionic_strength, bath.activity))
        return left / lost, max(0.0, ions + left / lost * squared / 2.0)

    return _settled(bath, work)


def _settled(bath: Bath, work: Callable[[float], tuple[float, float]]) -> float:
    """What is worked out at the ionic strength it makes; an ideal bath has no need of that."""
    return fixed_point(work, bath.base_mol_l, SETTLED_MOL_L if bath.activity else math.inf)
