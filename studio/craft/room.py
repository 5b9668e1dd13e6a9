"""How much paint was used, and whether the rest reaches the bare bands."""

from __future__ import annotations

from dataclasses import dataclass

from studio.craft.limits import MOST_FIBRE_G, above, liquid_volume, within


def used_ml(before_g: float, after_g: float, density_g_ml: float = 1.0) -> float:
    """Paint used, from the weight of its jar before and after.

    used = (before - after) / density

    `before_g`, `after_g`: jar and paint, 0 to 100 000 g. `density_g_ml`: 0.5 to 2; paint is nearly water.
    Returns mL.
    Refused (ValueError): outside those ranges; a jar that got heavier.

    >>> used_ml(412, 380)
    32.0

    **Source:** conservation of mass; density 1 is an estimate (a 4 % dye solution is within 2 % of it).
    Breaks if paint was poured in between the weighings: count that in as well.
    """
    within("weight of the jar before", before_g, 0, MOST_FIBRE_G, "g")
    within("weight of the jar after", after_g, 0, MOST_FIBRE_G, "g")
    within("density of the paint", density_g_ml, 0.5, 2, "g/mL")
    if after_g > before_g:
        raise ValueError(
            f"The jar weighs more after painting ({after_g:g} g) than before ({before_g:g} g); weigh it again."
        )
    return (before_g - after_g) / density_g_ml


@dataclass(frozen=True)
class Reach:
    """Paint left against paint still needed.

    `rate_ml`: used for each row so far. `needed_ml`: for what is bare. `left_ml`: in the jar. `short_ml`: too
    little by that, 0 where it reaches. `reaches_rows`: rows that can still be painted at this rate, no more
    than are bare. `reaches`: whether that is all of them.

    **Source:** estimate; see `reach`.
    """

    rate_ml: float
    needed_ml: float
    left_ml: float
    short_ml: float
    reaches_rows: float
    reaches: bool


def reach(used_ml: float, painted_rows: float, bare_rows: float, left_ml: float) -> Reach:
    """Whether the paint left reaches over the bands still bare, at the rate it was used so far.

    needed = used / painted rows x bare rows

    `used_ml`: of this colour so far, above 0 to 1 000 000 mL. `painted_rows`: it went on, above 0 to 1e6; a
    row painted twice counts twice. `bare_rows`: still to paint, 0 to 1e6. Rows may be shares, cm or g of
    fibre, the same for both. `left_ml`: in the jar, 0 to 1 000 000 mL.
    Returns `Reach`.
    Refused (ValueError): outside those ranges, so before anything was used.

    >>> reach(used_ml=24, painted_rows=12, bare_rows=18, left_ml=30)
    Reach(rate_ml=2.0, needed_ml=36.0, left_ml=30, short_ml=6.0, reaches_rows=15.0, reaches=False)

    **Source:** proportion; that the hand goes on as it began is an estimate.
    Breaks after one or two bands only: the first band is rarely painted like the rest.
    """
    above("volume used so far", used_ml, 0, 1_000_000, "mL")
    above("number of rows painted", painted_rows, 0, 1e6)
    within("number of bare rows", bare_rows, 0, 1e6)
    liquid_volume("volume left", left_ml)
    rate_ml = used_ml / painted_rows
    needed_ml = rate_ml * bare_rows
    reaches = left_ml >= needed_ml * (1.0 - 1e-9)
    return Reach(
        rate_ml=rate_ml,
        needed_ml=needed_ml,
        left_ml=left_ml,
        short_ml=0.0 if reaches else needed_ml - left_ml,
        reaches_rows=bare_rows if reaches else left_ml / rate_ml,
        reaches=reaches,
    )
