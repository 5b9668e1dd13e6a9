"""The bath as one equation: positive and negative charges are equal; with the activity of ions and the
steps of each acid.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import lru_cache

import msgspec
from msgspec.structs import replace

from studio.craft.ions import (
    AIR_CO2_MOL_L,
    CARBONIC_CALCIUM,
    CARBONIC_PKAS,
    WOOL_WATER_L_G,
    BindingFibre,
    donnan_ratio,
    monovalent_log_gamma,
    shares,
    water_ions,
)
from studio.craft.limits import within
from studio.craft.solve import falling_root

# The bath as one equation: positive and negative charges are equal.

LOWEST_PH = -1.0
HIGHEST_PH = 14.0
SETTLED_SHARE = 1e-6
"""Ionic strength and free calcium are settled when they move by less of themselves, far below any figure shown."""
SETTLED_LEFT = 0.1
"""Far from the balance they are settled when they move by less than this much of what is out of balance."""
NEAR = 1e-8
"""A last Newton step, in units of pH or of mol/L: a smooth root is then within 1e-13."""
MOST_ACID_MOL_L = 2.0
"""mol/L; more than twice 5 % vinegar, beyond any bath and any simple model (house rule)."""


class AcidDose(msgspec.Struct, frozen=True):
    """An acid and how much of it is in the finished bath.

    `pkas`: at 25 degC and zero ionic strength. `mol_l`: mol/L. `calcium`: log10 of K of its anions with calcium, that
    of one charge first; empty where it does not count.

    >>> AcidDose((4.756,), 0.1).mol_l
    0.1

    **Source:** the terms of electroneutrality, as `imbalance`.
    """

    pkas: tuple[float, ...]
    mol_l: float
    calcium: tuple[float, ...] = ()


def checked_dose(dose: AcidDose) -> AcidDose:
    """Refuse (ValueError) other pKa values than `checked_pkas` takes, and a dose outside 0 to 2 mol/L.

    >>> checked_dose(AcidDose((4.756,), 5.0))
    Traceback (most recent call last):
    ValueError: The concentration of acid must be from 0 to 2 mol/L, not 5.

    **Source:** limits are house rules.
    """
    checked_pkas(dose.pkas)
    within("concentration of acid", dose.mol_l, 0, MOST_ACID_MOL_L, "mol/L")
    return dose


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


class Bath(msgspec.Struct, frozen=True):
    """What is dissolved, apart from the acid whose dose may be asked for.

    `base_mol_l`: strong cations over strong anions, mol/L, which is the alkalinity. `carbonate_mol_l`: total carbonate;
    None where the bath stands open and the air keeps its carbon dioxide. `acids`: each that is in it.
    `calcium_mol_l`: of the strong cations, what is calcium. `fibre`: what binds acid in it, or None.
    `activity`: Davies or ideal.

    >>> Bath(0.002, 0.0021386, (AcidDose((4.756,), 0.01),)).carbonate_mol_l
    0.0021386

    **Source:** the terms of electroneutrality, as `imbalance`.
    """

    base_mol_l: float
    carbonate_mol_l: float | None = 0.0
    acids: tuple[AcidDose, ...] = ()
    calcium_mol_l: float = 0.0
    fibre: BindingFibre | None = None
    activity: bool = True


class Balance(msgspec.Struct, frozen=True):
    """What is found at a trial pH: charge left over, how fast it falls, the ionic strength, what the fibre holds.

    `left`: mol/L, falling as the pH rises. `fall`: mol/L for a unit of pH, above 0.
    `positive`: mol/L of charge on one side of it, of which `hydrogen` goes with the pH.
    `held`: molecules of acid in the fibre, mol to a litre of the liquid, and `bound` the protons they bring.
    `outside`: share of the last acid left in the liquid. `charge`: mean charge of that acid.
    `ions`: mol/L. `calcium`: mol/L of it that is free. `ratio`: as of `donnan_ratio`.

    **Source:** as `imbalance`.
    """

    left: float
    fall: float
    positive: float
    hydrogen: float
    held: float
    bound: float
    outside: float
    charge: float
    ions: float
    calcium: float
    ratio: float


def imbalance(bath: Bath, ph: float, near: Balance | None = None) -> Balance:
    """Charge left over at a trial pH; zero at the pH of the bath.

    left over = base + [H] - [OH] - sum(c n) - carbonate n_carbonate, c what the fibre leaves of each acid
    n counts anions that calcium holds as well: share_j grows by K_j [Ca]
    fall per unit of pH = ln 10 ([H] + [OH] + sum(c (q - n^2)) + carbonate + sites theta (1 - theta) / (2 - theta))
    I = half the sum of c z^2 over every ion

    `ph`: trial pH. `near`: another trial, whose ions are gone on from; they settle here all the same. Refuses nothing.

    >>> abs(imbalance(Bath(0.0, activity=False), 6.9975).left) < 1e-12
    True

    **Source:** electroneutrality; Stumm and Morgan, Aquatic Chemistry, 3rd ed. 1996, ch. 3 (from memory).
    Breaks where salts fall out, as calcium carbonate does from hard water that simmers without acid.
    """
    open_air = bath.carbonate_mol_l is None
    ions, free, ratio = bath.base_mol_l, bath.calcium_mol_l, 20.0
    if near is not None:
        ions, free, ratio = near.ions, near.calcium, near.ratio
    for _ in range(100):
        log_g1 = monovalent_log_gamma(ions, bath.activity)
        hydrogen, hydroxide = water_ions(ph, log_g1)
        carbonic = _Kind(bath.carbonate_mol_l, CARBONIC_PKAS, CARBONIC_CALCIUM, ph, log_g1, free)
        kinds = [_Kind(acid.mol_l, acid.pkas, acid.calcium, ph, log_g1, free) for acid in bath.acids]
        if bath.fibre is not None:
            ratio = donnan_ratio(hydrogen, bath.fibre, [(kind.mol_l, kind.shares) for kind in kinds], ratio)
            for kind in kinds:
                kind.lose(WOOL_WATER_L_G * bath.fibre.g_l, ratio)
        dissolved = (carbonic, *kinds)  # the last is the one whose dose may be asked for
        was, free = free, bath.calcium_mol_l / (1.0 + sum(kind.outside * kind.holds for kind in dissolved))
        before, ions = ions, bath.base_mol_l - 2.0 * bath.calcium_mol_l + 4.0 * free + hydrogen + hydroxide
        ions = max(0.0, ions + sum(kind.outside * kind.ionic for kind in dissolved)) / 2.0
        positive = bath.base_mol_l + hydrogen
        left = positive - hydroxide - sum(kind.outside * kind.lost for kind in dissolved)
        settled = max(SETTLED_SHARE, SETTLED_LEFT * abs(left) / positive)
        as_before = not bath.activity or abs(before - ions) <= settled * before
        if as_before and abs(was - free) <= settled * was:
            break
    fall = hydrogen + hydroxide
    for kind in dissolved:
        fall += kind.outside * (kind.squared - (0.0 if open_air and kind is carbonic else kind.lost**2))
    bound = sum(kind.bound for kind in kinds)
    if bath.fibre is not None and bound > 0.0:
        sites = bath.fibre.free_mol_l
        theta = min(bound / sites, 1.0)
        fall += sites * theta * (1.0 - theta) / (2.0 - theta)
    return Balance(
        left=left,
        fall=math.log(10.0) * fall,
        positive=positive,
        hydrogen=hydrogen,
        held=sum(kind.held for kind in kinds),
        bound=bound,
        outside=kind.outside / kind.mol_l if kind.mol_l else 1.0,
        charge=kind.lost,
        ions=ions,
        calcium=free,
        ratio=ratio,
    )


class _Kind:
    """One acid at a trial pH: how its molecules are shared out, with calcium and between liquid and fibre.

    `shares`: by charge, of those that calcium does not hold. `lost`, `squared`: mean charge of a molecule, and of its
    square, those that calcium holds counted in; `ionic`: of the square as ions are then left. `holds`: calcium, for
    each mol/L of the free. An acid that the air keeps (None mol/L) has what calcium holds on top.
    """

    def __init__(
        self,
        mol_l: float | None,
        pkas: Sequence[float],
        grip: Sequence[float],
        ph: float,
        log_g1: float,
        calcium: float,
    ) -> None:
        parts = shares(ph, pkas, log_g1)
        grasp = lost = squared = ionic = 0.0
        for j, part in enumerate(parts):
            # An ion of two charges and one of -j: log g 4 + j^2 - (2 - j)^2 = 4 j.
            grasped = part * 10.0 ** (grip[j - 1] + 4 * j * log_g1) if 0 < j <= len(grip) else 0.0
            more = grasped * calcium
            grasp += grasped
            lost += j * (part + more)
            squared += j * j * (part + more)
            ionic += j * j * part + (2 - j) ** 2 * more
        self.mol_l = self.outside = AIR_CO2_MOL_L / parts[0] if mol_l is None else mol_l
        whole = 1.0 if mol_l is None else 1.0 + grasp * calcium
        self.shares = [part / whole for part in parts]
        self.holds, self.lost = grasp / whole, lost / whole
        self.squared, self.ionic = squared / whole, ionic / whole
        self.held = self.bound = 0.0

    def lose(self, water: float, ratio: float) -> None:
        """To a fibre that holds so much water for a litre of liquid, see `donnan_ratio`."""
        inside = [water * part * ratio**z if z else 0.0 for z, part in enumerate(self.shares)]
        self.outside = self.mol_l / (1.0 + sum(inside))
        self.held = self.mol_l - self.outside
        self.bound = self.outside * sum(z * part for z, part in enumerate(inside))


class AtRest(msgspec.Struct, frozen=True):
    """A bath whose charges balance, and the acid that its fibre holds then, to a litre of the liquid.

    `held_mol_l`: molecules. `bound_mol_l`: the protons they bring, which is what takes up sites: of an acid of several
    protons more than molecules.

    **Source:** as `donnan_ratio`.
    """

    ph: float
    held_mol_l: float
    bound_mol_l: float


@lru_cache(maxsize=1024)
def balanced(bath: Bath) -> AtRest:
    """The bath at the pH at which its charges balance.

    Newton steps kept inside a shrinking bracket for the pH; at each, ionic strength and calcium by fixed point

    Returns the pH to about 1e-6. Refuses nothing. Kept, as a session works the same baths out at every step, and a
    home page those of all its plans.

    >>> balanced(Bath(0.0, acids=(AcidDose((4.756,), 0.1),), activity=False)).ph
    2.881
    >>> bath = Bath(0.0, acids=(AcidDose((-2.0,), 0.005),), fibre=BindingFibre(50.0), activity=False)
    >>> round(1000 * balanced(bath).held_mol_l, 2)
    4.23

    **Source:** as `imbalance` and `donnan_ratio`. Breaks above an ionic strength of 0.5 mol/L (the Davies equation ends
    there).
    """
    # The logarithm of both sides of the balance runs nearly straight in the pH.

    def apart(found: Balance) -> tuple[float, float]:
        negative, gone = found.positive - found.left, math.log(10.0) * found.hydrogen
        fall = gone / found.positive + (found.fall - gone) / negative
        return math.log(found.positive / negative), fall

    ph, found = at_rest(lambda ph, near: imbalance(bath, ph, near), apart, 6.0, LOWEST_PH, HIGHEST_PH)
    return AtRest(ph, found.held, found.bound)


@lru_cache(maxsize=1024)
def dose_at_ph(bath: Bath, ph: float, acid: AcidDose) -> float:
    """Acid that makes the charges balance at a pH, by Newton steps in the dose.

    `ph`: the pH wanted. `acid`: the one to be added, whatever its mol/L.
    Returns mol/L, in all that is in the bath and its fibre; 0 where none is needed, 2 where that is not enough.

    >>> dose_at_ph(Bath(0.0, activity=False), 2.881, AcidDose((4.756,), 0.0))
    0.1

    **Source:** as `imbalance`. Breaks as `balanced` does.
    """
    return at_rest(
        lambda dose, near: imbalance(_with(bath, acid, dose), ph, near),
        lambda found: (found.left, found.outside * found.charge),
        0.0,
        0.0,
        MOST_ACID_MOL_L,
    )[0]


def _with(bath: Bath, acid: AcidDose, mol_l: float) -> Bath:
    return replace(bath, acids=(*bath.acids, replace(acid, mol_l=mol_l)))


def at_rest(
    trial: Callable[[float, Balance | None], Balance],
    falling: Callable[[Balance], tuple[float, float]],
    guess: float,
    low: float,
    high: float,
) -> tuple[float, Balance]:
    """What is sought in a bath, and the balance there.

    `trial`: the balance with so much of it, from the trial before. `falling`: what is to be 0 of it, and its fall.
    `guess`, `low`, `high`: as of `falling_root`.

    >>> pure = Bath(0.0, activity=False)
    >>> at_rest(lambda ph, near: imbalance(pure, ph, near), lambda found: (found.left, found.fall), 6, 0, 14)[0]
    6.9975

    **Source:** as `falling_root`.
    """
    found: Balance | None = None

    def left(tried: float) -> tuple[float, float]:
        nonlocal found
        found = trial(tried, found)
        return falling(found)

    root = falling_root(left, guess, low, high, NEAR)
    assert found is not None
    return root, found
