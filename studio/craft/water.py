"""Tap water and acids as the dyer knows them, turned into the bath the charge balance works on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from studio.craft.charge import (
    CARBONIC_PKAS,
    Bath,
    carbonate_mol_l,
    mean_charge,
    monovalent_log_gamma,
    water_ions,
)
from studio.craft.limits import within
from studio.craft.solve import fixed_point

MOST_ACID_MOL_L = 2.0
"""mol/L; more than twice 5 % vinegar, beyond any bath and any simple model (house rule)."""


@dataclass(frozen=True)
class Water:
    """Tap water as the dyer knows it.

    `alkalinity_meq_l`: 0 to 20 meq/L (from a strip or the supplier's report by `alkalinity_meq_l()`).
    `ph`: as it leaves the tap, 5 to 10; without alkalinity it has no say and the water counts as pure.
    Refused (ValueError): outside those ranges.

    >>> Water(2.0, 7.5).ph
    7.5

    **Source:** charge balance of a carbonate water; the ranges are house rules.
    """

    alkalinity_meq_l: float
    ph: float = 7.5

    def __post_init__(self) -> None:
        within("alkalinity of the water", self.alkalinity_meq_l, 0, 20, "meq/L")
        within("pH of the water", self.ph, 5, 10)


@dataclass(frozen=True)
class AcidDose:
    """An acid and how much of it is in the finished bath.

    `pkas`: one to six values, rising, -2 to 14, at 25 degC and zero ionic strength. `mol_l`: 0 to 2 mol/L.
    Refused (ValueError): outside those ranges.

    >>> AcidDose((4.756,), 0.1).mol_l
    0.1

    **Source:** limits are house rules.
    """

    pkas: tuple[float, ...]
    mol_l: float

    def __post_init__(self) -> None:
        checked_pkas(self.pkas)
        within("concentration of acid", self.mol_l, 0, MOST_ACID_MOL_L, "mol/L")


def checked_pkas(pkas: Sequence[float]) -> None:
    """Refuse (ValueError) anything but one to six rising pKa values, -2 to 14. **Source:** house rule.

    >>> checked_pkas((6.396, 3.128))
    Traceback (most recent call last):
    ValueError: The pKa values of an acid must rise; give the first proton first.
    """
    if not 1 <= len(pkas) <= 6:
        raise ValueError(f"An acid has one to six pKa values, not {len(pkas)}.")
    for pka in pkas:
        within("pKa", pka, -2, 14)
    if list(pkas) != sorted(pkas):
        raise ValueError("The pKa values of an acid must rise; give the first proton first.")


def bath_of(water: Water, doses: Sequence[AcidDose], open_to_air: bool, activity: bool) -> Bath:
    """The bath that a water and its acids make, with the carbonate the water brings.

    CT = (alkalinity - [OH] + [H]) / n_carbonate at the pH of the tap; none without alkalinity or in an open bath

    Parameters as in `studio.craft.acid.ph`. Returns the bath. Refuses nothing.

    >>> bath_of(Water(2.0, 7.5), (), False, False).carbonate_mol_l
    0.0021386

    **Source:** as `carbonate_mol_l`. Breaks for water whose alkalinity is partly silicate, borate or
    phosphate.
    """
    base_mol_l = water.alkalinity_meq_l / 1000.0
    no_carbonate = open_to_air or base_mol_l == 0
    return Bath(
        base_mol_l,
        0.0 if no_carbonate else _tap_carbonate(water.ph, base_mol_l, activity),
        tuple((dose.mol_l, dose.pkas) for dose in doses),
        activity,
    )


def _tap_carbonate(tap_ph: float, base_mol_l: float, activity: bool) -> float:
    """Total carbonate of the tap water, its own ionic strength found by fixed point."""

    def work(ionic_strength: float) -> tuple[float, float]:
        log_g1 = monovalent_log_gamma(ionic_strength, activity)
        carbonate = carbonate_mol_l(base_mol_l, tap_ph, log_g1)
        _, squared = mean_charge(tap_ph, CARBONIC_PKAS, log_g1)
        ions = base_mol_l + sum(water_ions(tap_ph, log_g1)) + carbonate * squared
        return carbonate, ions / 2.0

    return fixed_point(work, base_mol_l, 1e-13)
