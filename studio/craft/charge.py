"""The bath as one equation: positive and negative charges are equal; with the activity of ions and the
steps of each acid.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NamedTuple, TypeVar

from studio.craft.donnan import WOOL_WATER_L_G, BindingFibre, donnan_ratio
from studio.craft.limits import within
from studio.craft.solve import falling_root, fixed_point

Found = TypeVar("Found")

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


# The bath as one equation: positive and negative charges are equal.

LOWEST_PH = -1.0
HIGHEST_PH = 14.0
SETTLED_MOL_L = 1e-9
"""Ionic strength is settled when it moves by less; far below any figure shown."""
SETTLED_SHARE = 1e-7
"""Free calcium is, when it moves by less of itself."""
NEAR = 1e-9
"""A last Newton step, in units of pH, of a natural logarithm or of mol/L: a smooth root is then within 1e-13."""
MOST_ACID_MOL_L = 2.0
"""mol/L; more than twice 5 % vinegar, beyond any bath and any simple model (house rule)."""


@dataclass(frozen=True)
class AcidDose:
    """An acid and how much of it is in the finished bath.

    `pkas`: one to six values, rising, -2 to 14, at 25 degC and zero ionic strength. `mol_l`: 0 to 2 mol/L.
    `calcium`: log10 of K of its anions with calcium, that of one charge first; empty where it does not count.
    Refused (ValueError): outside those ranges.

    >>> AcidDose((4.756,), 0.1).mol_l
    0.1

    **Source:** limits are house rules.
    """

    pkas: tuple[float, ...]
    mol_l: float
    calcium: tuple[float, ...] = ()

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


class Bath(NamedTuple):
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


class Balance(NamedTuple):
    """What is found at a trial pH: charge left over, how fast it falls, the ionic strength, what the fibre holds.

    `left`: mol/L, falling as the pH rises. `fall`: mol/L for a unit of pH, above 0. `ions`: mol/L.
    `held`: molecules of acid in the fibre, mol to a litre of the liquid, and `bound` the protons they bring.
    `outside`: share of the last acid left in the liquid. `charge`: mean charge of that acid.

    **Source:** as `imbalance`.
    """

    left: float
    fall: float
    ions: float
    held: float
    bound: float
    outside: float
    charge: float


def imbalance(bath: Bath, ph: float, ionic_strength: float) -> Balance:
    """Charge left over at a trial pH; zero at the pH of the bath.

    left over = base + [H] - [OH] - sum(c n) - carbonate n_carbonate, c what the fibre leaves of each acid
    n counts anions that calcium holds as well: share_j grows by K_j [Ca]
    fall per unit of pH = ln 10 ([H] + [OH] + sum(c (q - n^2)) + carbonate + sites theta (1 - theta) / (2 - theta))
    I = half the sum of c z^2 over every ion

    `ph`: trial pH. `ionic_strength`: mol/L, for the activity coefficients. Refuses nothing.

    >>> abs(imbalance(Bath(0.0, activity=False), 6.9975, 0.0).left) < 1e-12
    True

    **Source:** electroneutrality; Stumm and Morgan, Aquatic Chemistry, 3rd ed. 1996, ch. 3 (from memory).
    Breaks where salts fall out, as calcium carbonate does from hard water that simmers without acid.
    """
    log_g1 = monovalent_log_gamma(ionic_strength, bath.activity)
    hydrogen, hydroxide = water_ions(ph, log_g1)
    kinds = [_Kind(acid.mol_l, acid.pkas, acid.calcium, ph, log_g1) for acid in bath.acids]
    open_air = bath.carbonate_mol_l is None
    carbonic = _Kind(bath.carbonate_mol_l or 0.0, CARBONIC_PKAS, CARBONIC_CALCIUM, ph, log_g1)
    if open_air:
        carbonic.mol_l = carbonic.outside = AIR_CO2_MOL_L / carbonic.free[0]
    free, ratio = bath.calcium_mol_l, 20.0
    for _ in range(100):
        for kind in (*kinds, carbonic):
            kind.meet(free, keeps_first=open_air and kind is carbonic)
        if bath.fibre is not None:
            ratio = donnan_ratio(hydrogen, bath.fibre, [(kind.mol_l, kind.shares) for kind in kinds], ratio)
            for kind in kinds:
                kind.lose(WOOL_WATER_L_G * bath.fibre.g_l, ratio)
        was, free = free, bath.calcium_mol_l / (1.0 + sum(kind.holds for kind in (*kinds, carbonic)))
        if abs(was - free) <= SETTLED_SHARE * bath.calcium_mol_l:
            break
    left, fall = bath.base_mol_l + hydrogen - hydroxide, hydrogen + hydroxide
    ions = bath.base_mol_l - 2.0 * bath.calcium_mol_l + 4.0 * free + hydrogen + hydroxide
    held = bound = 0.0
    for kind in (*kinds, carbonic):
        left -= kind.outside * kind.lost
        fall += kind.outside * (kind.squared - (0.0 if open_air and kind is carbonic else kind.lost**2))
        ions += kind.outside * kind.ionic
        held += kind.held
        bound += kind.bound
    if bath.fibre is not None and bound > 0.0:
        sites = bath.fibre.free_mol_l
        theta = min(bound / sites, 1.0)
        fall += sites * theta * (1.0 - theta) / (2.0 - theta)
    last = kinds[-1] if kinds else carbonic
    share = last.outside / last.mol_l if last.mol_l else 1.0
    return Balance(left, math.log(10.0) * fall, max(0.0, ions / 2.0), held, bound, share, last.lost)


class _Kind:
    """One acid at a trial pH: how its molecules are shared out, with calcium and between liquid and fibre."""

    def __init__(
        self, mol_l: float, pkas: Sequence[float], calcium: Sequence[float], ph: float, log_g1: float
    ) -> None:
        self.mol_l = self.outside = mol_l
        self.free = shares(ph, pkas, log_g1)
        # An ion of two charges and one of -j: log g 4 + j^2 - (2 - j)^2 = 4 j.
        self._grip = [0.0, *(10.0 ** (k + 4 * j * log_g1) for j, k in enumerate(calcium, 1))]
        self._grip += [0.0] * (len(self.free) - len(self._grip))
        self.shares: Sequence[float] = self.free
        self.lost = self.squared = self.ionic = self.held = self.bound = self._grasp = 0.0

    def meet(self, calcium: float, *, keeps_first: bool) -> None:
        """Share out with so much free calcium; an acid that the air keeps has all that comes of it on top."""
        held = [part * grip * calcium for part, grip in zip(self.free, self._grip, strict=True)]
        whole = 1.0 if keeps_first else 1.0 + sum(held)
        self.shares = [part / whole for part in self.free]
        self.lost = self.squared = self.ionic = self._grasp = 0.0
        for j, part in enumerate(self.shares):
            more = held[j] / whole
            self.lost += j * (part + more)
            self.squared += j * j * (part + more)
            self.ionic += j * j * part + (2 - j) ** 2 * more
            self._grasp += part * self._grip[j]

    def lose(self, water: float, ratio: float) -> None:
        """To a fibre that holds so much water for a litre of liquid, see `donnan_ratio`."""
        inside = [water * part * ratio**z if z else 0.0 for z, part in enumerate(self.shares)]
        self.outside = self.mol_l / (1.0 + sum(inside))
        self.held = self.mol_l - self.outside
        self.bound = self.outside * sum(z * part for z, part in enumerate(inside))

    @property
    def holds(self) -> float:
        """Calcium that it holds, for each mol/L of the free."""
        return self.outside * self._grasp


def balanced_ph(bath: Bath) -> float:
    """pH at which the charges balance.

    Newton steps kept inside a shrinking bracket for the pH, fixed point outside for the ionic strength

    Returns the pH, to about 1e-12. Refuses nothing.

    >>> balanced_ph(Bath(0.0, acids=(AcidDose((4.756,), 0.1),), activity=False))
    2.881

    **Source:** as `imbalance`. Breaks above an ionic strength of 0.5 mol/L (the Davies equation ends there).
    """
    return _balanced(bath)[0]


class Uptake(NamedTuple):
    """Acid that the fibre in a bath holds once it is at rest, to a litre of the liquid.

    `held_mol_l`: molecules. `bound_mol_l`: the protons they bring, which is what takes up sites: of an acid of several
    protons more than molecules.

    **Source:** as `donnan_ratio`.
    """

    held_mol_l: float
    bound_mol_l: float


def uptake(bath: Bath) -> Uptake:
    """What the fibre in a bath holds.

    >>> bath = Bath(0.0, acids=(AcidDose((-2.0,), 0.005),), fibre=BindingFibre(50.0), activity=False)
    >>> round(1000 * uptake(bath).held_mol_l, 2)
    4.23

    **Source:** as `donnan_ratio`. Breaks as it does.
    """
    return _balanced(bath)[1]


@lru_cache(maxsize=1024)
def _balanced(bath: Bath) -> tuple[float, Uptake]:
    """pH and acid in the fibre; kept, as a session works the same baths out at every step, and a home page those of
    all its plans."""
    ph = 7.0

    def work(ionic_strength: float) -> tuple[tuple[float, Uptake], float]:
        nonlocal ph
        ph = falling_root(lambda at: imbalance(bath, at, ionic_strength)[:2], ph, LOWEST_PH, HIGHEST_PH, NEAR)
        found = imbalance(bath, ph, ionic_strength)
        return (ph, Uptake(found.held, found.bound)), found.ions

    return _settled(bath, work)


@lru_cache(maxsize=1024)
def dose_at_ph(bath: Bath, ph: float, acid: AcidDose) -> float:
    """Acid that makes the charges balance at a pH, by Newton steps in the dose; the ionic strength by fixed point.

    `ph`: the pH wanted. `acid`: the one to be added, whatever its mol/L.
    Returns mol/L, in all that is in the bath and its fibre; 0 where none is needed, 2 where that is not enough.

    >>> dose_at_ph(Bath(0.0, activity=False), 2.881, AcidDose((4.756,), 0.0))
    0.1

    **Source:** as `imbalance`. Breaks as `balanced_ph` does.
    """
    dose = 0.0

    def work(ionic_strength: float) -> tuple[float, float]:
        nonlocal dose

        def left(mol_l: float) -> tuple[float, float]:
            found = imbalance(_with(bath, acid, mol_l), ph, ionic_strength)
            return found.left, found.outside * found.charge

        dose = falling_root(left, dose, 0.0, MOST_ACID_MOL_L, NEAR)
        return dose, imbalance(_with(bath, acid, dose), ph, ionic_strength).ions

    return _settled(bath, work)


def _with(bath: Bath, acid: AcidDose, mol_l: float) -> Bath:
    return bath._replace(acids=(*bath.acids, replace(acid, mol_l=mol_l)))


def _settled(bath: Bath, work: Callable[[float], tuple[Found, float]]) -> Found:
    """What is worked out at the ionic strength it makes; an ideal bath has no need of that."""
    return fixed_point(work, bath.base_mol_l, SETTLED_MOL_L if bath.activity else math.inf)
