"""Several stocks in one colour, more of the same, and diluting a strong liquid."""

from __future__ import annotations

import math
from collections.abc import Sequence

from studio.craft.depth import stock_ml
from studio.craft.limits import above, liquid_volume, within


def mixture_stocks_ml(
    fibre_g: float, depth_percent: float, parts: Sequence[tuple[float, float]]
) -> tuple[float, ...]:
    """Stocks for one colour mixed from several dyes.

    stock_i = fibre x depth x part_i / sum(part) / strength_i

    `fibre_g`: 0 to 100 000 g. `depth_percent`: of all dyes together, 0 to 20 %.
    `parts`: (part of the dye by weight, strength of its stock in g per 100 mL) for each dye; the parts may be
    per cent, fractions or plain parts (3 to 1), none negative and not all zero.
    Returns mL of each stock, in the order given.
    Refused (ValueError): no part, a bad part or strength, a weight or depth out of range.

    >>> [round(ml, 1) for ml in mixture_stocks_ml(200, 1, [(85, 1), (10, 1), (5, 0.5)])]
    [170.0, 20.0, 20.0]

    **Source:** the recipe of 0.85, 0.1 and 0.05 % on 200 g credited to PRO Chemical and Dye in P. Burch,
    All About Hand Dyeing, questions and answers; arithmetic.
    Breaks for the look of the shade: dyes of unequal strength do not mix by weight as they mix by eye.
    """
    if not parts:
        raise ValueError("The mixture names no dye; give each dye its part and the strength of its stock.")
    total = math.fsum(within("part of the mixture", part, 0, 1e6) for part, _ in parts)
    if total == 0:
        raise ValueError("The parts of the mixture are all zero; give at least one dye a part.")
    return tuple(stock_ml(fibre_g, depth_percent, strength) * part / total for part, strength in parts)


def same_proportions_ml(parts_ml: Sequence[float], wanted_ml: float) -> tuple[float, ...]:
    """What to pour of each liquid to mix another volume to the same proportions.

    poured_i = wanted x part_i / sum(part)

    `parts_ml`: what was poured the first time, each 0 to 1 000 000 mL, not all zero. `wanted_ml`: 0 to 1 000
    000.
    Returns mL of each, in the order given.
    Refused (ValueError): no part, a bad part or volume, all parts zero.

    >>> same_proportions_ml([30, 10, 60], 50)
    (15.0, 5.0, 30.0)

    **Source:** arithmetic.
    Breaks if a stock has aged or settled since the first mixing.
    """
    total = math.fsum(liquid_volume("volume of a part", part) for part in parts_ml)
    if total == 0:
        raise ValueError("There is nothing to keep the proportions of; give the volumes that were mixed.")
    liquid_volume("volume wanted", wanted_ml)
    return tuple(wanted_ml * (part / total) for part in parts_ml)


def dilution_ml(strong_percent: float, wanted_percent: float, wanted_ml: float) -> float:
    """Strong liquid to measure out for a weaker one; the rest is water.

    strong = wanted volume x wanted strength / strong strength (C1 V1 = C2 V2)

    `strong_percent`: above 0 to 110 g per 100 mL. `wanted_percent`: 0 to `strong_percent`.
    `wanted_ml`: 0 to 1 000 000 mL of finished liquid.
    Returns mL of the strong liquid.
    Refused (ValueError): out of range, or wanted stronger than what there is.

    >>> dilution_ml(56, 5, 1000)
    89.29

    **Source:** conservation of mass; 89.3 mL is the worked value for 1 L of 5 % from 56 %.
    Breaks where a strength is by weight (glacial acetic acid): turn it into g per 100 mL first.
    """
    above("strength of the strong liquid", strong_percent, 0, 110, "%")
    within("strength wanted", wanted_percent, 0, 110, "%")
    if wanted_percent > strong_percent:
        raise ValueError(
            f"A {strong_percent:g} % liquid cannot be diluted to {wanted_percent:g} %; it is too weak."
        )
    return liquid_volume("volume wanted", wanted_ml) * wanted_percent / strong_percent
