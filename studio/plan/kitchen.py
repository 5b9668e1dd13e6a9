"""Which figures a kitchen measures, so that they are told in ounces and spoons where those are read."""

from __future__ import annotations

import re

_IN_A_KITCHEN = {
    "g": re.compile(r"(fibre\.weight|paint\.squeezed|paint\.[^.]+\.fibre)(-\d+)?"),
    "mL": re.compile(
        r"[^.]+\.(water|acid|bound|bath|evaporation|steamed|pot_water|pot_needed)(\.(spread|first|rest))?(-\d+)?"
    ),
}
"""By the unit, the figures of what a kitchen measures: fibre on its scale, water and vinegar with its cups and spoons.
Dye, stock, paint and gum are what a fine scale and a syringe show."""


def in_a_kitchen(figure_id: str, unit: str) -> bool:
    """Whether grams or millilitres of that figure are told in ounces or in spoons where those are read.

    >>> in_a_kitchen("fibre.weight", "g"), in_a_kitchen("presoak.acid", "mL"), in_a_kitchen("paint.rust.water", "mL")
    (True, True, False)
    """
    return unit in _IN_A_KITCHEN and _IN_A_KITCHEN[unit].fullmatch(figure_id) is not None
