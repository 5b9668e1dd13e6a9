"""Acid that wool takes out of the liquid around it: a Donnan equilibrium."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from studio.craft.solve import falling_root

# Acid that wool takes out of the liquid: one kind of site, anions that go in with the protons, no cation in the fibre.

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


class BindingFibre(NamedTuple):
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

    return math.exp(falling_root(left, math.log(guess), -12.0, 25.0, near=1e-9))
