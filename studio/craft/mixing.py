"""Several stocks in one colour, more of the same, and diluting a strong liquid."""

from __future__ import annotations

from studio.craft.limits import above, liquid_volume, within


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
