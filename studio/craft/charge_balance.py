"""The bath as one equation: positive and negative charges are equal."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from studio.craft.activity import monovalent_log_gamma
from studio.craft.ionisation import CARBONIC_PKAS, carbonate_mol_l, mean_charge, water_ions
from studio.craft.solve import falling_root, fixed_point

LOWEST_PH = -1.0
HIGHEST_PH = 14.0
SETTLED_MOL_L = 1e-13
"""Ionic strength is settled when it moves by less; far below any figure shown."""


@dataclass(frozen=True)
class Bath:
    """What is dissolved, apart from the acid whose dose may be asked for.

    `base_mol_l`: strong cations over strong anions, mol/L, which is the alkalinity.
    `carbonate_mol_l`: total carbonate where it stays in; `air_co2_atm`: CO2 pressure it is in balance with,
    or None. `acids`: (mol/L, pKa's) of each. `salt_mol_l`: indifferent one-to-one salt. `activity`: Davies
    or ideal.

    >>> Bath(0.002, 0.0021386, None, ((0.01, (4.756,)),), 0.0, True).air_co2_atm is None
    True

    **Source:** the terms of electroneutrality, as `imbalance`.
    """

    base_mol_l: float
    carbonate_mol_l: float
    air_co2_atm: float | None
    acids: tuple[tuple[float, tuple[float, ...]], ...]
    salt_mol_l: float
    activity: bool


def imbalance(bath: Bath, ph: float, ionic_strength: float) -> tuple[float, float, float]:
    """Charge left over at a trial pH, how fast it falls, and the ionic strength of the ions found there.

    left over = base + [H] - [OH] - sum(c n) - CT n_carbonate
    fall per unit of pH = ln 10 ([H] + [OH] + sum(c (q - n^2)) + CT (q - n^2)), with q in place of q - n^2
    where a gas keeps the uncharged CO2 in balance and not the total
    I = (base + [H] + [OH] + sum(c q) + CT q_carbonate) / 2 + salt

    `ph`: trial pH. `ionic_strength`: mol/L, for the activity coefficients.
    Returns (mol/L, falling as the pH rises; mol/L for a unit of pH, above 0; mol/L). Refuses nothing.

    >>> left, _, _ = imbalance(Bath(0.0, 0.0, None, (), 0.0, False), 6.9975, 0.0)
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
    for mol_l, pkas in bath.acids:
        lost, squared = mean_charge(ph, pkas, log_g1)
        left -= mol_l * lost
        fall += mol_l * (squared - lost * lost)
        ions += mol_l * squared
    carbonate = bath.carbonate_mol_l
    lost, squared = mean_charge(ph, CARBONIC_PKAS, log_g1)
    if bath.air_co2_atm is not None:
        carbonate = carbonate_mol_l(bath.base_mol_l, ph, log_g1, bath.air_co2_atm)
        fall += carbonate * lost * lost
    left -= carbonate * lost
    fall += carbonate * (squared - lost * lost)
    ions += carbonate * squared
    return left, math.log(10.0) * fall, ions / 2.0 + bath.salt_mol_l


def balanced_ph(bath: Bath) -> float:
    """pH at which the charges balance.

    Newton steps kept inside a shrinking bracket for the pH, fixed point outside for the ionic strength

    Returns the pH, to about 1e-12. Refuses nothing.

    >>> balanced_ph(Bath(0.0, 0.0, None, ((0.1, (4.756,)),), 0.0, False))
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

    >>> dose_at_ph(Bath(0.0, 0.0, None, (), 0.0, False), 2.881, (4.756,))
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
    return fixed_point(work, bath.base_mol_l + bath.salt_mol_l, SETTLED_MOL_L if bath.activity else math.inf)
