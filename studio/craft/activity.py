"""Activity of ions in a weakly mineral bath: the Davies equation at 25 degC."""

from __future__ import annotations

import math

from studio.craft.limits import within

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
