"""Dye and its stock: depth, strength and drops; what is in a jar and how long it keeps; how far a weighing
is trusted.
"""

from __future__ import annotations

import math

import msgspec

from studio.craft.limits import FIBRE_G, MOST_FIBRE_G, SOME_FIBRE_G, Range, above, liquid_volume, within

# The amount of colour: dye and stock from depth of shade, several stocks in one colour, and recipes by
# the drop.

DROPS = Range("number of drops", 0, 100_000)

MOST_DEPTH_PERCENT = 20.0
"""% on weight of fibre; five times the deepest published shade, 4 % (house rule, catches a slipped point)."""


def checked_depth(value_percent: float) -> float:
    """A depth of shade, 0 to `MOST_DEPTH_PERCENT`; refused (ValueError) outside. **Source:** house rule.

    >>> checked_depth(2.0)
    2.0
    """
    return within("depth of shade", value_percent, 0, MOST_DEPTH_PERCENT, "%")


def _strength(value_percent: float) -> float:
    return above("strength of the stock", value_percent, 0, 100, "%")


def dye_g(fibre_g: float, depth_percent: float) -> float:
    """Dye powder for a depth of shade.

    dye = fibre x depth / 100

    `fibre_g`: 0 to 100 000 g. `depth_percent`: 0 to 20 % on the weight of the fibre it covers.
    Returns g.
    Refused (ValueError): outside those ranges.

    >>> dye_g(125, 2)
    2.5

    **Source:** Gaywool Dyes, Depth of shade, auxiliaries, stock solutions and water ratios (supplier's
    sheet), examples 1 and 2; Broadbent 2001, p. 22 (definition).
    Breaks where a label counts the pure dye and the powder is diluted: depth is of powder as sold.
    """
    return FIBRE_G(fibre_g) * checked_depth(depth_percent) / 100.0


def stock_ml(fibre_g: float, depth_percent: float, stock_percent: float) -> float:
    """Stock solution for a depth of shade.

    stock = fibre x depth / strength

    `fibre_g`: 0 to 100 000 g. `depth_percent`: 0 to 20 %. `stock_percent`: above 0 to 100 g per 100 mL.
    Returns mL.
    Refused (ValueError): outside those ranges.

    >>> stock_ml(454, 1, 1)
    454.0

    **Source:** Determining the Depth of Your Dye Shade (extract of a hand-dyeing book, Wiley), table of
    454 g examples.
    Breaks with a stock made as so many g plus 100 mL of water: the gap is 0.6 % at 1 % and grows with
    strength.
    """
    return FIBRE_G(fibre_g) * checked_depth(depth_percent) / _strength(stock_percent)


def dye_in_stock_g(volume_ml: float, stock_percent: float) -> float:
    """Dye in a volume of stock, and so the powder to weigh for making it up.

    dye = volume x strength / 100

    `volume_ml`: 0 to 1 000 000 mL of finished solution. `stock_percent`: above 0 to 100 g per 100 mL.
    Returns g.
    Refused (ValueError): outside those ranges.

    >>> dye_in_stock_g(500, 1)
    5.0

    **Source:** Ashford, Learn to Dye: microwave dyeing yarn (supplier's sheet), list of 1 % solutions.
    Breaks if the powder does not all dissolve: a sediment is dye that is not in the millilitres.
    """
    return liquid_volume("volume of stock", volume_ml) * _strength(stock_percent) / 100.0


def depth_percent(dye_g: float, fibre_g: float) -> float:
    """Depth of shade that a weight of dye gives on a weight of fibre.

    depth = 100 x dye / fibre

    `dye_g`: 0 to 100 000 g. `fibre_g`: above 0 to 100 000 g.
    Returns % on the weight of fibre.
    Refused (ValueError): outside those ranges.

    >>> depth_percent(9, 300)
    3.0

    **Source:** Broadbent 2001, p. 22: a 1.00 % dyeing is 1.00 g of dye on 100 g of fibre.
    Breaks where dye is left in the rinse: it is the depth offered, not the depth taken.
    """
    within("weight of dye", dye_g, 0, MOST_FIBRE_G, "g")
    SOME_FIBRE_G(fibre_g)
    return 100.0 * dye_g / fibre_g


def least_stock_percent(fibre_g: float, depth_percent: float, liquid_ml: float) -> float:
    """Weakest stock that still reaches the depth within the liquid the fibre can hold.

    strength = fibre x depth / liquid

    `fibre_g`: 0 to 100 000 g. `depth_percent`: 0 to 20 %. `liquid_ml`: above 0 to 1 000 000 mL.
    Returns g per 100 mL; above 100 means no stock can do it.
    Refused (ValueError): outside those ranges.

    >>> least_stock_percent(50, 2, 40)
    2.5

    **Source:** the pad rule of Broadbent 2001, p. 193, eq. 6, solved for the strength.
    Breaks if some of the liquid is squeezed out again while wrapping.
    """
    above("liquid for this colour", liquid_ml, 0, 1_000_000, "mL")
    return FIBRE_G(fibre_g) * checked_depth(depth_percent) / liquid_ml


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
    DROPS(drops)
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
    DROPS(drops)
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


# What stands in a jar: how strong it is, when two jars are two lots, how long to keep it.

LOT_LIMIT_PERCENT = 5.0
"""% by which two jars of one colour may differ in strength and still be one lot (house rule)."""
_ROUNDING = 1e-9
"""Relative; a last-bit error is not a weak jar and not another lot."""


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


# Leftover stock and paint: how long to keep it, and how strong it is when it is used again.
class AgeLimit(msgspec.Struct, frozen=True):
    """How long a leftover is kept: `days` to use it by, and the `source`.

    `standing`: `published` where `days` is a source's own figure, `house rule` where we chose it.

    **Source:** in each, see `AGE_LIMITS`.
    """

    days: float
    source: str
    standing: str


WEIL = "George Weil (UK), Dye recipes using acid dyes, no year: about 6 months"
GAY = (
    "Gaywool Dyes (Australia), Depth of shade, auxiliaries, stock solutions and water ratios, no year: "
    "mostly 3 to 6 months away from light, some only 1 to 2 weeks"
)

AGE_LIMITS = {
    "stock": AgeLimit(
        90.0, f"{GAY}; {WEIL}; a month counted as 30 days, the shorter figure taken", "published"
    ),
    "short-lived stock": AgeLimit(7.0, f"{GAY}; the shorter figure taken", "published"),
    "paint": AgeLimit(
        7.0,
        "no published figure for mixed paint; kept like the shortest-lived stock",
        "house rule",
    ),
    "thickened paint": AgeLimit(
        3.0,
        "no published figure; a gum feeds mould, so less than half as long as paint without",
        "house rule",
    ),
}
"""By kind: `stock` (dye and water), `short-lived stock` (a dye known to spoil), `paint` (mixed for painting, with or
without acid), `thickened paint` (with a gum)."""


def use_by_days(kind: str) -> AgeLimit:
    """How many days a kind of leftover is kept, with the source.

    `kind`: a key of `AGE_LIMITS`.
    Returns `AgeLimit`.
    Refused (ValueError): another kind.

    >>> use_by_days("stock").days
    90.0

    **Source:** in the answer.
    Breaks for a jar that smells, has mould on it or was not kept cool and dark: age is not all.
    """
    if kind not in AGE_LIMITS:
        raise ValueError(f"A leftover is one of {', '.join(AGE_LIMITS)}, not {kind!r:.40}.")
    return AGE_LIMITS[kind]


# How far a weighing can be trusted on the dyer's own scale, and when a stock is the better way.

LEAST_STEPS = 50.0
"""A weighing of fewer steps of the scale is advised against: 19 of 20 are then off by up to 1.6 %. House rule."""


class Doubt(msgspec.Struct, frozen=True):
    """How far a weighing may be off, in g. **Source:** `weighing_doubt`."""

    standard_g: float
    """Standard uncertainty."""
    most_of_20_g: float
    """19 weighings of 20 are nearer than this (95 % coverage)."""


def weighing_doubt(resolution_g: float) -> Doubt:
    """How far a weight may be off that is read twice on a display: the empty cup set to zero, then the full one.

    Each reading is rounded to the last step d, so each errs by a rectangle of width d and their difference by a
    triangle of base 2 d: u = d / sqrt(6), 95 % of it within (1 - sqrt(0.05)) d = 0.776 d, all of it within d.

    `resolution_g`: last step of the display d, above 0 to 1000 g. Returns `Doubt`. Refused (ValueError): outside
    that range.

    >>> weighing_doubt(0.1)
    Doubt(standard_g=0.0408, most_of_20_g=0.0776)

    **Source:** Guide to the expression of uncertainty in measurement, JCGM 100:2008, F.2.2.1 (resolution is a
    rectangle) and 4.3.9 (a triangle), both from memory.
    Breaks on a scale that drifts, sits unlevel or hides the first grams; a scale that keeps its zero finer than it
    shows lies nearer, at d / sqrt(12).
    """
    step = _step_g(resolution_g)
    return Doubt(step / math.sqrt(6.0), (1.0 - math.sqrt(0.05)) * step)


def _step_g(resolution_g: float) -> float:
    return above("resolution of the scale", resolution_g, 0, 1000, "g")


ROUND_ML = (50.0, 100.0, 250.0)
"""Volumes that a bottle or a measuring jug is marked at, and a jar on a shelf holds. House rule."""


def round_stock_ml(resolution_g: float, stock_percent: float, least_ml: float) -> float | None:
    """The least round volume of stock whose dye is `LEAST_STEPS` steps of the scale or more; None above
    250 mL.

    dye = stock x volume / 100

    `resolution_g`: as in `weighing_doubt`. `stock_percent`: above 0 to 100 g per 100 mL. `least_ml`: mL that are
    needed. Returns mL.
    Refused (ValueError): outside those ranges.

    >>> round_stock_ml(0.1, 2, 40)
    250.0

    **Source:** arithmetic; the volumes are a house rule.
    Breaks for a dye that does not keep as a stock, or dissolves worse than that.
    """
    enough_g = LEAST_STEPS * _step_g(resolution_g)
    strength = _strength(stock_percent)
    fits = (ml for ml in ROUND_ML if ml >= least_ml and strength * ml / 100.0 >= enough_g * (1 - 1e-9))
    return next(fits, None)
