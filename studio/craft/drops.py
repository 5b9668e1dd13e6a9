"""Drops: recipes by the drop, and the dyer's own dropper."""

from __future__ import annotations

from studio.craft.limits import above, liquid_volume, within


def scaled_drops(drops: float, in_ml: float, wanted_ml: float) -> float:
    """Drops for another volume of the same drop recipe.

    drops wanted = drops x wanted volume / recipe volume

    `drops`: 0 to 100 000. `in_ml`: volume the recipe is for, above 0 to 1 000 000 mL.
    `wanted_ml`: 0 to 1 000 000 mL.
    Returns drops, not rounded.
    Refused (ValueError): outside those ranges.

    >>> scaled_drops(10, 180, 90)
    5.0

    **Source:** arithmetic; drop recipes themselves are common practice.
    Breaks with another bottle: drops differ from dropper to dropper.
    """
    within("number of drops", drops, 0, 100_000)
    above("volume of the recipe", in_ml, 0, 1_000_000, "mL")
    return drops * liquid_volume("volume wanted", wanted_ml) / in_ml


def drops_ml(drops: float, drops_per_ml: float = 20.0) -> float:
    """Volume of a number of drops.

    volume = drops / drops per mL

    `drops`: 0 to 100 000. `drops_per_ml`: the dyer's own dropper, 5 to 60.
    Returns mL.
    Refused (ValueError): outside those ranges.

    >>> drops_ml(20)
    1.0

    **Source:** USP 32, general chapter 1101, medicine dropper: 20 drops of water are 0.9 to 1.1 g.
    Breaks for thick liquids and tilted bottles: count your own drops into a measure.
    """
    within("number of drops", drops, 0, 100_000)
    within("drops in a millilitre", drops_per_ml, 5, 60)
    return drops / drops_per_ml


def dropper_drops_per_ml(drops: float, volume_ml: float) -> float:
    """Drops in a millilitre of the dyer's own dropper, from counting drops into a measure.

    drops per mL = drops / volume

    `drops`: 1 to 100 000. `volume_ml`: above 0 to 1000 mL.
    Returns drops per mL.
    Refused (ValueError): outside those ranges.

    >>> dropper_drops_per_ml(35, 2)
    17.5

    **Source:** calibration of a dropper as taught in pharmacy practice (35 drops to 2 mL, 17.5 a mL).
    Breaks below about 20 drops: one drop more or less is then over 5 %.
    """
    within("number of drops", drops, 1, 100_000)
    above("volume counted into", volume_ml, 0, 1000, "mL")
    return drops / volume_ml
