"""How the middle of a wrapped packet warms up in steam."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from studio.craft.bessel import bisect
from studio.craft.conduction import centre_theta_cylinder, centre_theta_slab
from studio.craft.limits import above, within

WET_WOOL_ALPHAS_M2_S = (1.6e-7, 1.0e-7)
"""m2/s, fast and slow end for wet wool (estimate): mixture bounds of water, fibre and air; nobody has measured it."""
HEAT_THROUGH_C = 85.0
"""degC the middle must reach: the low end of published bath temperatures, 85 to 93 degC (house rule)."""


@dataclass(frozen=True)
class Heating:
    """Minutes until the middle is hot: at the fast and at the slow end of the diffusivity interval.

    >>> Heating(16.3, 26.1).slow_min
    26.1

    **Source:** estimate; see `heat_through`.
    """

    fast_min: float
    slow_min: float


def heat_through(
    shape: str,
    thickness_m: float,
    length_m: float = math.inf,
    start_c: float = 20.0,
    steam_c: float = 98.0,
    target_c: float = HEAT_THROUGH_C,
    alphas: tuple[float, float] = WET_WOOL_ALPHAS_M2_S,
) -> Heating:
    """Minutes from full steam until the middle of a packet is hot, as an interval.

    theta(alpha t) = (Ts - T target) / (Ts - T0), solved for alpha t by bisection and divided by each alpha;
    a roll is a finite cylinder, a flat packet a slab heated from both faces

    `shape`: `roll` or `flat packet`. `thickness_m`: diameter of the roll or thickness of the packet, above 0
    to 1 m. `length_m`: of the roll, above 0; infinite (the default) is the longest time; no effect on a
    packet.
    `start_c`, `target_c`: -20 to 150 degC. `steam_c`: above the target, to 150 degC.
    `alphas`: fast and slow diffusivity, 1e-9 to 1e-5 m2/s.
    Returns `Heating`, both 0 where the packet is already that hot.
    Refused (ValueError): outside those ranges, another shape, steam not hotter than the target.

    >>> heating = heat_through("roll", 0.04)
    >>> round(heating.fast_min, 1), round(heating.slow_min, 1)
    (16.3, 26.1)

    **Source:** estimate: exact series (see `conduction`) on an estimated diffusivity. No published figure
    ties steaming minutes to the thickness of a packet.
    Breaks on the slow side for a loose open roll, which steam enters; fair for a soaked tight roll in film.
    Air left in the pot lowers the steam temperature and lengthens the time.
    """
    if shape not in ("roll", "flat packet"):
        raise ValueError(f"A packet is a roll or a flat packet, not {shape!r:.40}.")
    half_m = above("thickness", thickness_m, 0, 1, "m") / 2.0
    half_length_m = above("length", length_m, 0, math.inf, "m") / 2.0
    for what, value in (("start", start_c), ("steam", steam_c), ("target", target_c)):
        within(f"{what} temperature", value, -20, 150, "degC")
    if steam_c <= target_c:
        raise ValueError(
            f"Steam at {steam_c:.1f} degC never brings the middle to {target_c:g} degC; name a lower target."
        )
    fast, slow = _alpha(max(alphas)), _alpha(min(alphas))
    if start_c >= target_c:
        return Heating(0.0, 0.0)
    wanted = (steam_c - target_c) / (steam_c - start_c)
    if shape == "roll":
        alpha_t = _when(lambda x: _roll_theta(x, half_m, half_length_m), wanted, half_m)
    else:
        alpha_t = _when(lambda x: centre_theta_slab(x / half_m**2), wanted, half_m)
    return Heating(alpha_t / fast / 60.0, alpha_t / slow / 60.0)


def _alpha(value_m2_s: float) -> float:
    return within("diffusivity", value_m2_s, 1e-9, 1e-5, "m2/s")


def _roll_theta(alpha_t_m2: float, radius_m: float, half_length_m: float) -> float:
    above("radius", radius_m, 0, 0.5, "m")
    above("half length", half_length_m, 0, math.inf, "m")
    fo_slab = min(alpha_t_m2 / half_length_m**2, 1e6)
    return centre_theta_cylinder(min(alpha_t_m2 / radius_m**2, 1e6)) * centre_theta_slab(fo_slab)


def _when(theta: Callable[[float], float], wanted: float, half_m: float) -> float:
    """alpha t at which a falling theta has reached the wanted value."""
    enough = half_m**2
    while theta(enough) > wanted:
        enough *= 2.0
    return bisect(lambda alpha_t: wanted - theta(alpha_t), 0.0, enough)
