"""The soak's water with its acid, closed or open to the air."""

from __future__ import annotations

import msgspec

from studio.craft import acid as craft
from studio.craft.water import AcidDose, Water
from studio.plan.settled import Settled


class Soak(msgspec.Struct, frozen=True, kw_only=True):
    """pH of a soak, and whether its carbon dioxide has left."""

    ph: float
    mol_l: float
    """Acid in it."""
    open: bool


def water_of(settled: Settled) -> Water:
    """The plan's water."""
    return Water(craft.alkalinity_meq_l(settled.alkalinity.value), settled.water_ph.value)


def soak_with(mol_l: float, pkas: tuple[float, ...], water: Water, *, open_to_air: bool) -> Soak:
    """The soak with so much acid.

    Carbon dioxide leaves only where the acid covers the alkalinity; short of that the soak counts as closed.
    ValueError where the acid is beyond what the model takes.
    """
    doses = (AcidDose(pkas, mol_l),) if mol_l > 0 else ()
    if open_to_air:
        try:
            return Soak(ph=craft.ph(doses, water, open_to_air=True), mol_l=mol_l, open=True)
        except ValueError:
            pass
    return Soak(ph=craft.ph(doses, water), mol_l=mol_l, open=False)


def soak_at(target_ph: float, pkas: tuple[float, ...], water: Water, *, open_to_air: bool) -> Soak:
    """The soak brought to a pH; ValueError where the acid cannot bring this water there."""
    if open_to_air:
        try:
            mol_l = craft.dose_for_ph(target_ph, pkas, water, open_to_air=True)
            return Soak(ph=target_ph, mol_l=mol_l, open=True)
        except ValueError:
            pass
    return Soak(ph=target_ph, mol_l=craft.dose_for_ph(target_ph, pkas, water), open=False)
