"""A jar as it was mixed, and more of the same for it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio.craft.limits import above, liquid_volume, within


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
