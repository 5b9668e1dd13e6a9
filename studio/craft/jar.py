"""What really stands in a jar: its strength, how to bring it back, and more of the same."""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio.craft.depth import jar_strength_percent
from studio.craft.limits import MOST_FIBRE_G, above, fibre_weight, liquid_volume, within

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
    return strength_percent * used_ml / fibre_weight(fibre_g)


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


@dataclass(frozen=True)
class Mixed:
    """Liquid mixed in a jar: stocks as (mL, g per 100 mL), water and thickener in mL.

    `volume_ml`: all of it, volumes counted as adding up. `dye_g`: dye in the stocks. `strength_percent`: of
    the mixture. Each volume is 0 to 1 000 000 mL, each strength 0 to 100.
    Refused (ValueError): outside those ranges; a jar with nothing in it.

    >>> jar = Mixed(stocks=((30.0, 1.0),), water_ml=20.0, thickener_ml=10.0)
    >>> jar.volume_ml, jar.dye_g, jar.strength_percent
    (60.0, 0.3, 0.5)

    **Source:** conservation of mass.
    Breaks for thickener stirred in as powder: that is weight, not volume.
    """

    stocks: tuple[tuple[float, float], ...]
    water_ml: float = 0.0
    thickener_ml: float = 0.0

    def __post_init__(self) -> None:
        for volume_ml, strength_percent in self.stocks:
            liquid_volume("volume of stock", volume_ml)
            within("strength of the stock", strength_percent, 0, 100, "%")
        liquid_volume("volume of water", self.water_ml)
        liquid_volume("volume of thickener", self.thickener_ml)
        above("volume in the jar", self.volume_ml, 0, math.inf, "mL")

    @property
    def volume_ml(self) -> float:
        return math.fsum((*(ml for ml, _ in self.stocks), self.water_ml, self.thickener_ml))

    @property
    def dye_g(self) -> float:
        return math.fsum(ml * percent for ml, percent in self.stocks) / 100.0

    @property
    def strength_percent(self) -> float:
        return 100.0 * self.dye_g / self.volume_ml


def more_of_the_same(jar: Mixed, wanted_ml: float) -> Mixed:
    """What to pour for more of a colour, in the proportions the jar really has.

    poured_i = wanted x part_i / sum(part)

    `jar`: as it was really mixed. `wanted_ml`: above 0 to 1 000 000 mL.
    Returns `Mixed` of that volume and the same strength, stocks in the same order.
    Refused (ValueError): outside that range.

    >>> more_of_the_same(Mixed(((30.0, 1.0),), 20.0, 10.0), 12.0)
    Mixed(stocks=((6.0, 1.0),), water_ml=4.0, thickener_ml=2.0)

    **Source:** arithmetic, as `mixing.same_proportions_ml`.
    Breaks if a stock has been made again since: compare the lots, and pour from the stock of the first.
    """
    above("volume wanted", wanted_ml, 0, 1_000_000, "mL")
    share = wanted_ml / jar.volume_ml
    stocks = tuple((ml * share, percent) for ml, percent in jar.stocks)
    return Mixed(stocks, jar.water_ml * share, jar.thickener_ml * share)


def poured_together(first: Mixed, second: Mixed) -> Mixed:
    """Two mixed liquids in one jar.

    volumes and dye add up; strength = 100 x (dye_1 + dye_2) / (volume_1 + volume_2)

    `first`, `second`: what is in the jar, and what is poured to it.
    Returns `Mixed`, the stocks of the first before those of the second.
    Refused (ValueError): a part that passes 1 000 000 mL.

    >>> poured_together(Mixed(((10.0, 2.0),)), Mixed(((10.0, 1.0),))).strength_percent
    1.5

    **Source:** conservation of mass.
    Breaks if the jar is not stirred.
    """
    return Mixed(
        first.stocks + second.stocks,
        first.water_ml + second.water_ml,
        first.thickener_ml + second.thickener_ml,
    )
