"""The fibre: the share of a blend that takes dye, the bath it lies in, what it holds, and whether the
paint reaches.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import msgspec

from studio.craft.limits import FIBRE_G, MOST_FIBRE_G, above, liquid_volume, within

# What a blend takes of a dye, and how much of its weight is moisture.

BLEND_SLACK_PERCENT = 0.5
"""%; a blend may miss 100 by this much, because labels are rounded to whole per cent (house rule)."""


def _checked_blend(blend: Mapping[str, float]) -> None:
    if not blend:
        raise ValueError("The blend names no fibre; give each fibre its share in per cent.")
    for name, share in blend.items():
        within(f"share of {name}", share, 0, 100, "%")
    total = math.fsum(blend.values())
    if abs(total - 100.0) > BLEND_SLACK_PERCENT:
        raise ValueError(f"The shares of the blend add up to {total:g} %, they must add up to 100 %.")


def dyeable_percent(blend: Mapping[str, float], takes: Mapping[str, str]) -> float:
    """Share of a blend that takes this class of dye, well or weakly.

    dyeable = sum of the shares whose fibre answers `yes` or `weak`; the rest stays undyed.

    `blend`: fibre name to share, % of the weight, 0 to 100, together 100 +-0.5.
    `takes`: fibre name to `yes`, `weak` or `no` for the dye class in question.
    Returns % of the weight, 0 to 100.
    Refused (ValueError): no fibre, a share outside 0 to 100, a total that is not 100, a fibre `takes` lacks.

    >>> dyeable_percent({"wool": 75, "polyester": 25}, {"wool": "yes", "polyester": "no"})
    75.0

    **Source:** arithmetic on the label; which fibre takes which dye is A. D. Broadbent, Basic Principles of
    Textile Coloration, Society of Dyers and Colourists 2001, fig. 1.9, and the fibre table.
    Breaks where two fibres take the dye unequally (nylon against wool): the share is of fibre, not of colour.
    """
    _checked_blend(blend)
    for name in blend:
        if takes.get(name) not in ("yes", "weak", "no"):
            raise ValueError(f"It is not known whether {name} takes this dye; say yes, weak or no.")
    return min(100.0, math.fsum(share for name, share in blend.items() if takes[name] != "no"))


# Bath size, water held by damp fibre, the room left in it for dye liquid, and whether the paint that is
# left reaches.


def bath_ml(fibre_g: float, liquor_ratio: float) -> float:
    """Water for a bath at a liquor ratio.

    bath = fibre x ratio (1 g of water counted as 1 mL)

    `fibre_g`: 0 to 100 000 g dry. `liquor_ratio`: mL for each g, 1 to 200.
    Returns mL.
    Refused (ValueError): outside those ranges.

    >>> bath_ml(500.0, 20)
    10000.0

    **Source:** Broadbent, Basic Principles of Textile Coloration, SDC 2001 (definition, from memory);
    G. Weil, Using Procion MX Dyes on Wool (supplier's sheet): 10 L for 500 g.
    Breaks for very loose fibre, which needs enough water to lie covered whatever the ratio.
    """
    return FIBRE_G(fibre_g) * within("liquor ratio", liquor_ratio, 1, 200, "mL for each g")


def held_percent(wet_g: float, dry_g: float) -> float:
    """Water held by damp fibre, from its weight before and after wetting.

    held = 100 (wet - dry) / dry

    `wet_g`: squeezed weight, from `dry_g` to 100 000 g. `dry_g`: air-dry weight, above 0 to 100 000 g.
    Returns g of water on 100 g of dry fibre.
    Refused (ValueError): outside those ranges, or wet lighter than dry.

    >>> held_percent(150, 100)
    50.0

    **Source:** definition of wet pick-up, Broadbent 2001, p. 193.
    Breaks if the two weighings are of different pieces, or drip between squeezing and weighing.
    """
    above("dry weight", dry_g, 0, MOST_FIBRE_G, "g")
    within("squeezed weight", wet_g, 0, MOST_FIBRE_G * 11, "g")
    if wet_g < dry_g:
        raise ValueError(
            f"The squeezed weight ({wet_g:g} g) is less than the dry weight ({dry_g:g} g); weigh both again."
        )
    return 100.0 * (wet_g - dry_g) / dry_g


def free_capacity_ml(dry_g: float, target_pickup_percent: float, held_percent: float) -> float:
    """Dye liquid that squeezed fibre can still take up to a target wet pick-up.

    capacity = dry x (target - held) / 100, nothing where the fibre already holds more

    `dry_g`: 0 to 100 000 g. `target_pickup_percent`, `held_percent`: 0 to 1000 % of the dry weight.
    Returns mL, never negative.
    Refused (ValueError): outside those ranges.

    >>> free_capacity_ml(100, 150, 50)
    100.0

    **Source:** conservation of mass with the wet pick-up of Broadbent 2001, p. 193; no published figure for
    the target of hand painting was found, the dyer's own is best.
    Breaks where liquid runs off or is pressed out by the wrapping: then less stays than goes in.
    """
    within("target pick-up", target_pickup_percent, 0, 1000, "%")
    within("water held", held_percent, 0, 1000, "%")
    return max(0.0, FIBRE_G(dry_g) * (target_pickup_percent - held_percent) / 100.0)


def share_ml(capacity_ml: float, fibre_g: float, total_fibre_g: float) -> float:
    """Liquid for one zone of a painted piece.

    share = capacity x fibre of the zone / fibre of the whole piece

    `capacity_ml`: room in the whole piece, 0 to 1 000 000 mL. `fibre_g`: of the zone, 0 to `total_fibre_g`.
    `total_fibre_g`: above 0 to 100 000 g.
    Returns mL.
    Refused (ValueError): outside those ranges.

    >>> share_ml(100, 25, 100)
    25.0

    **Source:** proportion by weight; common practice.
    Breaks where the piece was squeezed unevenly: the wetter end takes less.
    """
    above("weight of the whole piece", total_fibre_g, 0, MOST_FIBRE_G, "g")
    within("weight of the zone", fibre_g, 0, total_fibre_g, "g")
    return liquid_volume("room for liquid", capacity_ml) * (fibre_g / total_fibre_g)


# How much paint was used, and whether the rest reaches the bare bands.
class Reach(msgspec.Struct, frozen=True):
    """Paint left against paint still needed.

    `rate_ml`: used for each row so far. `needed_ml`: for what is bare. `left_ml`: in the jar. `short_ml`: too
    little by that, 0 where it reaches. `reaches`: whether it is enough.

    **Source:** estimate; see `reach`.
    """

    rate_ml: float
    needed_ml: float
    left_ml: float
    short_ml: float
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
    Reach(rate_ml=2.0, needed_ml=36.0, left_ml=30, short_ml=6.0, reaches=False)

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
        reaches=reaches,
    )
