"""A wet wrapped packet: how much room it takes, how thick it is, and how long its middle stays hot."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

import msgspec

from studio.craft.conduction import centre_theta_cylinder, centre_theta_slab
from studio.craft.cooling import cooling_line
from studio.craft.heat import WOOL_J_G_K, temperature
from studio.craft.limits import SOME_FIBRE_G, THICKNESS_M, Range, above
from studio.craft.pot import WATER_J_G_K
from studio.craft.solve import root_between

# Room and thickness, by the volume of fibre, liquid and air.

FIBRE_G_ML = 1.31
"""Of wool (second hand: tables of fibre density give 1.30 to 1.31)."""
WATER_G_ML = 0.998
USUAL_G_ML, LOOSE_G_ML, TIGHT_G_ML = 0.8, 0.6, 1.0
"""Of a wet packet with its air (estimate: no published bulk density of a wet roll or skein was found; wound packages
are 0.33 to 0.46 dry, which is 0.7 wet)."""
LOOSEST_G_ML = 0.4
"""Lighter than this, layers, size or weight are suspected (estimate; plausible is 0.5 to 1.1)."""
PICK_UP = Range("pick-up", 0, 1e6)
BULK_G_ML = Range("bulk density", 0, 2, "g/mL", positive=True)
ROOM_ML = Range("volume", 0, math.inf, "mL", positive=True)


def densest_g_ml(pick_up: float) -> float:
    """Wet fibre without any air, which no packet is denser than.

    rho = (1 + W) / (1 / 1.31 + W / 0.998)

    `pick_up`: W, g of liquid in a g of dry fibre, 0 to 1e6. Returns g/mL. Refused (ValueError): outside that range.

    >>> densest_g_ml(1.0), densest_g_ml(2.5)
    (1.133, 1.071)

    **Source:** volume balance; fibre 1.31 g/mL second hand. Breaks for fibre much lighter than wool.
    """
    PICK_UP(pick_up)
    return (1.0 + pick_up) / (1.0 / FIBRE_G_ML + pick_up / WATER_G_ML)


def wet_ml(dry_g: float, pick_up: float, g_ml: float = USUAL_G_ML) -> float:
    """Room that a packet takes up.

    V = m (1 + W) / rho

    `dry_g`: m, above 0 to 100 000 g. `pick_up`: W, 0 to 1e6. `g_ml`: rho, above 0 to 2 g/mL. Returns mL.
    Refused (ValueError): outside those ranges.

    >>> wet_ml(100, 1.0), wet_ml(100, 1.0, 0.6)
    (250.0, 333.33)

    **Source:** volume balance. Breaks with a hollow or loose core, which comes on top.
    """
    return SOME_FIBRE_G(dry_g) * (1.0 + PICK_UP(pick_up)) / BULK_G_ML(g_ml)


def roll_cm(volume_ml: float, length_cm: float) -> float:
    """Diameter of a roll: D = 2 sqrt(V / (pi L)).

    `volume_ml`, `length_cm`: above 0. Returns cm. Refused (ValueError): not above 0.

    >>> roll_cm(250, 25), roll_cm(312.5, 10)
    (3.568, 6.308)

    **Source:** volume of a cylinder. Breaks with a hollow core, which comes on top.
    """
    return 2.0 * math.sqrt(ROOM_ML(volume_ml) / (math.pi * above("length", length_cm, 0, math.inf, "cm")))


def flat_cm(volume_ml: float, area_cm2: float, layers: int = 1) -> float:
    """Thickness of a flat packet: t = n V / A.

    `volume_ml`: above 0. `area_cm2`: of its face, above 0; of the whole sheet laid open where it lies in `layers`,
    1 or more. Returns cm. Refused (ValueError): outside those.

    >>> flat_cm(250, 600), flat_cm(250, 2500), flat_cm(250, 2500, 8)
    (0.41667, 0.1, 0.8)

    **Source:** volume balance. Breaks where the layers lie unevenly.
    """
    above("number of layers", layers, 0, 1000)
    return layers * ROOM_ML(volume_ml) / above("area", area_cm2, 0, math.inf, "cm2")


def heat_j_m3k(pick_up: float, g_ml: float) -> float:
    """Heat that a cubic metre of a packet holds for each degree.

    rho c = (1.36 + 4.19 W) / (1 + W) x rho

    `pick_up`: W, 0 to 1e6. `g_ml`: rho, above 0 to 2 g/mL. Returns J/(m3 K). Refused (ValueError): outside those.

    >>> heat_j_m3k(1.0, densest_g_ml(1.0)), heat_j_m3k(2.0, densest_g_ml(2.0))
    (3143829.7, 3519591.3)

    **Source:** heat balance; dry wool 1.36 J/(g K): Morton and Hearle (from memory); water 4.19.
    """
    BULK_G_ML(g_ml)
    return (WOOL_J_G_K + WATER_J_G_K * PICK_UP(pick_up)) / (1.0 + pick_up) * g_ml * 1e6


# How long its middle stays hot.


class Film(msgspec.Struct, frozen=True):
    """What takes the heat out: conductivity of the wet goods, W/(m K), and of the air round them, W/(m2 K).

    **Source:** see `FAST`, `USUAL` and `SLOW`.
    """

    k_w_mk: float
    h_w_m2k: float


FAST, USUAL, SLOW = Film(0.6, 12.0), Film(0.5, 8.0), Film(0.4, 5.0)
"""Conductivity (estimate): bounds of fibre and water give 0.29 to 0.53, vapour in warm pores more, 0.47 to 0.67 with
30 % air; nobody has measured soaked wool between 60 and 100 degC. Film (estimate): free convection and radiation of a
cylinder by Churchill and Chu (from memory) 10 to 14; 10 to 12 a single packet on a rack, 5 to 8 on a towel, in a heap
or under a lid."""


class HotBody(msgspec.Struct, frozen=True):
    """A packet that was hot all through and cools from its faces.

    `shape`: `roll` or `flat packet`. `thickness_m`: diameter of the roll, thickness of the packet. `heat_j_m3k`: as
    the function gives it. `length_m`, `width_m`: infinite where unknown, which is the longest time; a roll has no
    width. `film`: what takes the heat out.

    **Source:** see `theta`.
    """

    shape: str
    thickness_m: float
    heat_j_m3k: float
    length_m: float = math.inf
    width_m: float = math.inf
    film: Film = USUAL

    def theta(self, minutes: float) -> float:
        """Excess of the middle over the room, as a share of that at the start, after so many minutes in the air.

        (T - Ta) / (T0 - Ta) = product of the series of each direction, Bi = h L / k, Fo = k t / (rho c L^2)

        `minutes`: 0 or more.

        >>> roll = HotBody("roll", 0.05, 3.5e6, film=Film(0.5, 10.0))
        >>> round(20 + 78 * roll.theta(60), 1), round(20 + 78 * roll.theta(120), 1)
        (62.0, 40.3)

        **Source:** series of `conduction` and their product for a finite body (Cengel, Heat and Mass Transfer, ch. 4).
        Breaks where wet goods lie open, which evaporation cools faster. The outside is much cooler than the middle.
        """
        k, h = self.film.k_w_mk, self.film.h_w_m2k
        alpha_t = k / self.heat_j_m3k * 60.0 * minutes
        theta = 1.0
        for number, across_m in enumerate(self._across()):
            half_m = across_m / 2.0
            if math.isfinite(half_m):
                of = centre_theta_cylinder if self.shape == "roll" and number == 0 else centre_theta_slab
                theta *= of(min(alpha_t / half_m**2, 1e6), h * half_m / k)
        return theta

    def _across(self) -> tuple[float, ...]:
        sides = (self.thickness_m, self.length_m)
        return sides if self.shape == "roll" else (*sides, self.width_m)

    def lumped_min(self) -> float:
        """Minutes in which it would lose all but 1/e of its excess, were it as hot outside as in the middle."""
        first, *others = self._across()
        faces = (4.0 if self.shape == "roll" else 2.0) / first + sum(2.0 / other for other in others)
        return self.heat_j_m3k / (self.film.h_w_m2k * faces) / 60.0

    def check(self) -> None:
        """Refused (ValueError): another shape; thickness above 0 to 1 m, other sizes above 0, rho c and film too."""
        if self.shape not in ("roll", "flat packet"):
            raise ValueError(f"A packet is a roll or a flat packet, not {self.shape!r:.40}.")
        THICKNESS_M(self.thickness_m)
        for what, value in (("length", self.length_m), ("width", self.width_m)):
            above(what, value, 0, math.inf, "m")
        above("heat capacity", self.heat_j_m3k, 0, 1e8, "J/(m3 K)")
        above("conductivity", self.film.k_w_mk, 0, 1000, "W/(m K)")
        above("heat transfer coefficient", self.film.h_w_m2k, 0, 1000, "W/(m2 K)")


@lru_cache(maxsize=64)
def centre_cool_min(body: HotBody, start_c: float, ambient_c: float, target_c: float) -> float:
    """Minutes until the middle has cooled to a temperature; nothing where it already is as cool.

    theta = (T - Ta) / (T0 - Ta), solved from the lumped time on, which is always too short

    `body`: see `HotBody`. `start_c`, `ambient_c`, `target_c`: -50 to 200 degC, target above the room. Returns min.
    Refused (ValueError): outside those ranges; a target at or below the room, which is never reached.

    >>> round(centre_cool_min(HotBody("roll", 0.05, 3.5e6, film=Film(0.5, 10.0)), 98, 20, 40), 1)
    121.0

    **Source:** as `theta`.
    """
    body.check()
    for what, value in (("start", start_c), ("room", ambient_c), ("target", target_c)):
        temperature(f"{what} temperature", value)
    if target_c <= ambient_c:
        raise ValueError(
            f"A room at {ambient_c:g} °C never cools anything to {target_c:g} °C; name a warmer target."
        )
    if start_c <= target_c:
        return 0.0
    wanted = (target_c - ambient_c) / (start_c - ambient_c)
    early = body.lumped_min() * math.log(1.0 / wanted)
    late = 2.0 * early
    while body.theta(late) > wanted:
        late *= 2.0
    return root_between(lambda minutes: wanted - body.theta(minutes), 0.99 * early, late)


SLOWEST, FASTEST = 0.05, 20.0
"""Times as fast as reckoned; what lies outside is no packet in a room (house rule)."""


def times_as_fast(body: HotBody, minutes: Sequence[float], k_per_min: float) -> float:
    """How many times as fast as `body` a packet cools, by the cooling rate its readings were fitted with.

    s k(s t) = k of the readings, k(t) being the rate of a line fitted to the series at the same minutes: for the
    middle cools slowly at first, and one rate says nothing without its minutes

    `body`: see `HotBody`. `minutes`: of the readings, two or more different ones. `k_per_min`: fitted to them, above
    0. Returns s, 0.05 to 20. Refused (ValueError): outside those.

    >>> roll = HotBody("roll", 0.05, 3.5e6)
    >>> line = cooling_line([(m, roll.theta(2 * m)) for m in (30, 60)], 0.0, 1.0)
    >>> round(times_as_fast(roll, (30, 60), line.k_per_min), 6)
    2.0

    **Source:** as `theta`; that one factor stands for air, room and wrap alike: house rule.
    Breaks where the readings were not of the middle.
    """
    body.check()

    def too_fast(share: float) -> float:
        # Of what is left of the excess alone: degrees above a room lose it in rounding long before it is gone.
        left = [(minute, body.theta(share * minute)) for minute in minutes]
        return cooling_line(left, 0.0, 1.0).k_per_min - k_per_min

    return root_between(too_fast, SLOWEST, FASTEST)
