"""Room for paint in the fibre as it was really squeezed, and whether the paint reaches the bare bands."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from studio.craft.limits import MOST_FIBRE_G, above, liquid_volume, within
from studio.craft.liquor import free_capacity_ml, held_percent

LEAST_HELD_PERCENT = 17.0
"""g of water on 100 g of air-dry wool that no squeezing takes out: wool holds 33 % of its bone-dry weight in
saturated air (J. Soc. Cosmet. Chem. 17 (1966), p. 773), of which air-dry wool has about 14 already:
100 x (1.33 / 1.14 - 1) (estimate). A hand stops far above it."""


@dataclass(frozen=True)
class Room:
    """Room for paint against the paint that is planned; the parts in the order of the colours.

    `capacity_ml`: what the fibre still takes. `planned_ml`: paint of all colours. `over_ml`: too much by that
    (0 where it fits), `spare_ml`: room left over (0 where it does not). Two ways out where it is too much,
    either is enough: `leave_out_ml` of each colour, or `squeeze_g` more water out, down to `squeeze_to_g`;
    `squeezing_is_enough` tells whether fibre can get that dry at all. `kept_share`: of the paint (and so of
    the depth of shade) that is left after leaving out, 0 to 1.

    **Source:** estimate; see `over_capacity`.
    """

    capacity_ml: float
    planned_ml: float
    over_ml: float
    spare_ml: float
    leave_out_ml: tuple[float, ...]
    kept_share: float
    squeeze_g: float
    squeeze_to_g: float
    squeezing_is_enough: bool


def over_capacity(
    paint_ml: Sequence[float], dry_g: float, squeezed_g: float, target_pickup_percent: float
) -> Room:
    """Paint too much for the fibre as it was squeezed, and the two ways out.

    over = sum(paint) - dry x (target - held) / 100; left out of colour i = over x paint_i / sum(paint), or
    that many grams more squeezed out (1 g of water makes room for 1 mL)

    `paint_ml`: planned for each colour, 0 to 1 000 000 mL each. `dry_g`: above 0 to 100 000 g.
    `squeezed_g`: from `dry_g`. `target_pickup_percent`: all liquid the piece may hold, 0 to 1000 % of the dry
    weight.
    Returns `Room`.
    Refused (ValueError): outside those ranges; a squeezed weight below the dry weight.

    >>> room = over_capacity([60, 40], dry_g=100, squeezed_g=170, target_pickup_percent=150)
    >>> room.capacity_ml, room.over_ml, room.leave_out_ml, room.squeeze_to_g
    (80.0, 20.0, (12.0, 8.0), 150.0)

    **Source:** conservation of mass, as `liquor.free_capacity_ml`; leaving out in proportion is a house rule.
    Breaks where the piece holds less at one end: the wetter end overflows first.
    """
    capacity_ml = free_capacity_ml(dry_g, target_pickup_percent, held_percent(squeezed_g, dry_g))
    planned_ml = math.fsum(liquid_volume("paint of a colour", ml) for ml in paint_ml)
    over_ml = max(0.0, planned_ml - capacity_ml)
    # Fibre squeezed too wet has less than no room: the water above the target must go as well.
    above_target_g = max(0.0, squeezed_g - dry_g * (1.0 + target_pickup_percent / 100.0))
    squeeze_g = over_ml + above_target_g if over_ml > 0 else 0.0
    share = over_ml / planned_ml if planned_ml > 0 else 0.0
    least_g = dry_g * (1.0 + LEAST_HELD_PERCENT / 100.0)
    return Room(
        capacity_ml=capacity_ml,
        planned_ml=planned_ml,
        over_ml=over_ml,
        spare_ml=max(0.0, capacity_ml - planned_ml),
        leave_out_ml=tuple(ml * share for ml in paint_ml),
        kept_share=1.0 - share,
        squeeze_g=squeeze_g,
        squeeze_to_g=squeezed_g - squeeze_g,
        squeezing_is_enough=squeeze_g == 0.0 or squeezed_g - squeeze_g >= least_g,
    )


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
