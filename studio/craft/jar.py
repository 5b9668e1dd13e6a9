"""What really stands in a jar: its strength, how to bring it back, and more of the same (one door to `topping_up`)."""

from __future__ import annotations

from studio.craft.depth import jar_strength_percent
from studio.craft.limits import MOST_FIBRE_G, above, liquid_volume, within
from studio.craft.topping_up import Mixed, more_of_the_same, poured_together

__all__ = [
    "LOT_LIMIT_PERCENT",
    "Mixed",
    "depth_if_left_percent",
    "dye_to_add_g",
    "is_another_lot",
    "jar_strength_percent",
    "lot_difference_percent",
    "more_of_the_same",
    "poured_together",
    "water_to_add_ml",
]

LOT_LIMIT_PERCENT = 5.0
"""% by which two jars of one colour may differ in strength and still be one lot (house rule)."""
_ROUNDING = 1e-9
"""Relative; a last-bit error is not a weak jar and not another lot."""


def water_to_add_ml(dye_g: float, volume_ml: float, wanted_percent: float) -> float:
    """Water that brings a jar that is too strong down to a strength.

    water = 100 x dye / wanted strength - volume

    `dye_g`: really weighed in, 0 to 100 000 g. `volume_ml`: in the jar now, above 0 to 1 000 000 mL.
    `wanted_percent`: above 0 to 100 g per 100 mL.
    Returns mL; 0 where the jar is as wanted.
    Refused (ValueError): outside those ranges; a jar that is too weak, which needs dye (`dye_to_add_g`).

    >>> water_to_add_ml(5.5, 500, 1.0)
    50.0

    **Source:** conservation of mass with the definition of a strength (see `depth`).
    Breaks if part of the jar is used already: count the dye in what is left, not what was weighed.
    """
    strength = jar_strength_percent(dye_g, volume_ml)
    above("strength wanted", wanted_percent, 0, 100, "%")
    if strength < wanted_percent * (1.0 - _ROUNDING):
        raise ValueError(
            f"The jar is too weak ({strength:.3g} % where {wanted_percent:g} % is wanted); "
            "water makes it weaker, add dye instead."
        )
    return max(0.0, 100.0 * dye_g / wanted_percent - volume_ml)


def dye_to_add_g(dye_g: float, volume_ml: float, wanted_percent: float) -> float:
    """Dye powder that brings a jar that is too weak up to a strength.

    dye to add = wanted strength x volume / 100 - dye

    `dye_g`, `volume_ml`, `wanted_percent`: as in `water_to_add_ml`.
    Returns g; 0 where the jar is as wanted.
    Refused (ValueError): outside those ranges; a jar that is too strong, which needs water.

    >>> dye_to_add_g(4.5, 500, 1.0)
    0.5

    **Source:** conservation of mass with the definition of a strength (see `depth`).
    Breaks above a few per cent: the powder itself takes up room in the jar, which is not counted.
    """
    strength = jar_strength_percent(dye_g, volume_ml)
    above("strength wanted", wanted_percent, 0, 100, "%")
    if strength > wanted_percent * (1.0 + _ROUNDING):
        raise ValueError(
            f"The jar is too strong ({strength:.3g} % where {wanted_percent:g} % is wanted); "
            "dye makes it stronger, add water instead."
        )
    return max(0.0, wanted_percent * volume_ml / 100.0 - dye_g)


def depth_if_left_percent(strength_percent: float, used_ml: float, fibre_g: float) -> float:
    """Depth of shade on the fibre if a jar is used at the strength it really has.

    depth = strength x volume used / fibre

    `strength_percent`: of the jar, 0 to 100 g per 100 mL. `used_ml`: of this jar on this fibre, 0 to
    1 000 000 mL. `fibre_g`: the fibre it covers, above 0 to 100 000 g.
    Returns % on the weight of fibre.
    Refused (ValueError): outside those ranges.

    >>> depth_if_left_percent(1.1, 50, 50)
    1.1

    **Source:** `depth.stock_ml` solved for the depth (Broadbent 2001, p. 22, definition).
    Breaks where dye is left in the rinse: it is the depth offered, not the depth taken.
    """
    within("strength of the jar", strength_percent, 0, 100, "%")
    liquid_volume("volume used", used_ml)
    above("weight of fibre", fibre_g, 0, MOST_FIBRE_G, "g")
    return strength_percent * used_ml / fibre_g


def lot_difference_percent(strength_a: float, strength_b: float) -> float:
    """How much stronger (or, below 0, weaker) the second jar of a colour is than the first.

    difference = 100 x (b - a) / a

    `strength_a`: of the first jar, above 0 to 100 g per 100 mL. `strength_b`: of the second, 0 to 100.
    Returns % of the first strength.
    Refused (ValueError): outside those ranges.

    >>> lot_difference_percent(2.0, 2.1)
    5.0

    **Source:** house rule (the first jar is the lot the second has to match).
    Breaks as a forecast of colour: how far a difference shows depends on the depth and the hue.
    """
    above("strength of the first jar", strength_a, 0, 100, "%")
    within("strength of the second jar", strength_b, 0, 100, "%")
    return 100.0 * (strength_b - strength_a) / strength_a


def is_another_lot(strength_a: float, strength_b: float, limit_percent: float = LOT_LIMIT_PERCENT) -> bool:
    """Whether two jars differ so much that what they dye should be kept apart.

    |difference| > limit

    `strength_a`, `strength_b`: as in `lot_difference_percent`. `limit_percent`: 0 to 100 %.
    Returns true above the limit; exactly at it the jars are one lot.
    Refused (ValueError): outside those ranges.

    >>> is_another_lot(2.0, 2.1), is_another_lot(2.0, 2.2)
    (False, True)

    **Source:** house rule, `LOT_LIMIT_PERCENT`.
    Breaks as `lot_difference_percent` does.
    """
    within("lot limit", limit_percent, 0, 100, "%")
    return abs(lot_difference_percent(strength_a, strength_b)) > limit_percent + 100.0 * _ROUNDING
