"""Ions in a bath: how far an acid has given up its protons, how active an ion is, and the acid that wool takes out."""

from __future__ import annotations

import math
from collections.abc import Sequence

import msgspec

from studio.craft.limits import within
from studio.craft.solve import falling_root

# How far an acid has given up its protons, and how much carbonate a water holds.

PK_WATER = 13.995
"""25 degC: CRC Handbook of Chemistry and Physics (from memory)."""
CARBONIC_PKAS = (6.352, 10.329)
"""25 degC, CO2 and H2CO3 together: by the equations of L. N. Plummer and E. Busenberg, Geochim. Cosmochim. Acta 46
(1982) 1011-1040 (read in its record)."""


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


CARBONIC_CALCIUM = (1.11, 3.22)
"""log10 of K for Ca with HCO3 and with CO3, 25 degC: by the same equations."""
AIR_CO2_MOL_L = 10.0 ** (-1.468 - 3.4)
"""mol/L dissolved in water at 25 degC that stands open to the air: log KH -1.468, Plummer and Busenberg 1982; 10^-3.4
atm of carbon dioxide in the air (as PHREEQC examples take it, from memory)."""


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


# Acid that wool takes out of the liquid around it, a Donnan equilibrium: one kind of site, anions that go in with the
# protons, no cation in the fibre.

WOOL_SITES_MOL_G = 0.82e-3
"""mol/g, most acid wool binds: J. Steinhardt and M. Harris, J. Res. NBS 24 (1940) 335, RP1286 (abstract)."""
WOOL_WATER_L_G = 0.33e-3
"""L/g of swollen fibre that ions may use (estimate: 0.28 to 0.33 brings the midpoints inside the fibre of R. H. Peters
and J. B. Speakman, J. Soc. Dyers Colour. 65 (1949), abstract, to those read outside it)."""
WOOL_BINDING = 1.991e4
"""(L/mol)^2; puts half the uptake without salt at pH 2.30, as read of hydrochloric acid (Sen-i Gakkaishi 15(4), 292,
abstract). Computed."""
LEAST_WOOL_BINDING = 5e3
"""(L/mol)^2; the same of pH 2.0, the other end of what was read. Computed. With the water of the fibre above the first
has its own midpoint inside the fibre at pH 4.69, the second at 4.09: Peters and Speakman read 4.15 to 4.35, between."""


class BindingFibre(msgspec.Struct, frozen=True):
    """Fibre that binds acid, and how much of it to a litre of the liquid around it.

    `g_l`: dry, g/L. `sites_mol_g`: what it can bind. `binding`: theta^2 / (1 - theta) = binding [H] [A], (L/mol)^2.
    `filled_mol_g`: sites that dye holds; how firmly the others hold is not changed by it.

    >>> BindingFibre(50.0).sites_mol_g
    0.00082

    **Source:** as `donnan_ratio`.
    """

    g_l: float
    sites_mol_g: float = WOOL_SITES_MOL_G
    binding: float = WOOL_BINDING
    filled_mol_g: float = 0.0

    @property
    def free_mol_l(self) -> float:
        """Sites that are left, to a litre of the liquid."""
        return max(1e-12, self.sites_mol_g - self.filled_mol_g) * self.g_l


def donnan_ratio(
    hydrogen: float,
    fibre: BindingFibre,
    acids: Sequence[tuple[float, Sequence[float]]],
    guess: float = 20.0,
) -> float:
    """How many times more concentrated a single-charged anion is inside the fibre than around it; z charges: ^z.

    sites / (1 + r K / [H]) = V sum(z [A_z] r^z), K = V / (binding sites), the anions shared out between both

    `hydrogen`: [H] around it, mol/L. `acids`: (mol/L in all, share of it with 0, 1, 2 ... charges) of each.
    `guess`: above 0, to begin with.
    Returns r. Refuses nothing; without acid 1.

    >>> round(donnan_ratio(0.01, BindingFibre(1e-9), [(0.01, (0.0, 1.0))]), 1)
    181.7

    **Source:** Gibbs-Donnan with one kind of site, as N. H. Kazmi and A. R. Mathieson, J. Appl. Polym. Sci. 27 (1982)
    found it to fit wool (abstract); the constants are computed from anchors that were read.
    Breaks for salt in the bath (its cations go in too), near pH 6 (histidine), hot (anchors are of 0 to 25 degC), and
    for weak acid taken up whole.
    """
    water, sites = WOOL_WATER_L_G * fibre.g_l, fibre.free_mol_l
    if not any(total for total, _ in acids):
        return 1.0
    constant = WOOL_WATER_L_G / (fibre.binding * fibre.sites_mol_g)

    def left(log_r: float) -> tuple[float, float]:
        r = math.exp(log_r)
        theta = 1.0 / (1.0 + r * constant / hydrogen)
        excess, fall = sites * theta, sites * theta * (1.0 - theta)
        for total, parts in acids:
            whole, charge, squared, power = 1.0, 0.0, 0.0, water
            for z, part in enumerate(parts):
                if z:
                    power *= r
                    whole += part * power
                    charge += z * part * power
                    squared += z * z * part * power
            excess -= total * charge / whole
            fall += total * (squared / whole - (charge / whole) ** 2)
        return excess, fall

    return math.exp(falling_root(left, math.log(guess), -12.0, 25.0, near=1e-6))
