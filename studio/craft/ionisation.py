"""How far an acid has given up its protons, and how much carbonate a water holds."""

from __future__ import annotations

import math
from collections.abc import Sequence

PK_WATER = 13.995
"""25 degC: CRC Handbook of Chemistry and Physics (from memory)."""
CARBONIC_PKAS = (6.352, 10.329)
"""25 degC, CO2 and H2CO3 together: 6.35 and 10.33 in LibreTexts, table E1; third decimal from memory."""
LOG_CO2_SOLUBILITY = -1.468
"""log10 of mol/(L atm) at 25 degC: the constant of the carbonate system in PHREEQC's phreeqc.dat."""


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


def carbonate_mol_l(
    excess_base_mol_l: float, ph: float, log_g1: float, air_co2_atm: float | None = None
) -> float:
    """Total carbonate: of a water of known alkalinity and pH, or of a bath in balance with a gas.

    from the water: CT = (alkalinity - [OH] + [H]) / n; from a gas: CT = KH p / share_0

    `excess_base_mol_l`: alkalinity, mol/L. `ph`, `log_g1`: as in `shares`. `air_co2_atm`: pressure of CO2,
    atm; None takes the carbonate from the water.
    Returns mol/L, never negative.

    >>> carbonate_mol_l(0.002, 7.5, 0.0)
    0.0021386

    **Source:** charge balance of a carbonate water; Stumm and Morgan, Aquatic Chemistry, ch. 4 (from memory).
    Breaks for water whose alkalinity is partly silicate, borate or phosphate.
    """
    if air_co2_atm is not None:
        dissolved = math.pow(10.0, LOG_CO2_SOLUBILITY) * air_co2_atm
        return dissolved / shares(ph, CARBONIC_PKAS, log_g1)[0]
    hydrogen, hydroxide = water_ions(ph, log_g1)
    lost, _ = mean_charge(ph, CARBONIC_PKAS, log_g1)
    return max(0.0, (excess_base_mol_l - hydroxide + hydrogen) / lost)
