"""A dye's curve from the dyer's own swatch: its colour at a depth that is known."""

from __future__ import annotations

from collections.abc import Sequence

from studio.craft.colour.difference import ciede2000
from studio.craft.colour.dye_curve import DyeCurve
from studio.craft.colour.kubelka_munk import LEAST_REFLECTANCE, dyed_reflectance, ks
from studio.craft.colour.screen_colour import checked_lab
from studio.craft.colour.spectrum import lab_of_reflectance
from studio.craft.colour.three_bands import heights_for, reflectance_of
from studio.craft.colour.undyed import Undyed, undyed_wool
from studio.craft.limits import above
from studio.craft.shade import MOST_DEPTH_PERCENT

LARGEST_MISS = 5.0
"""CIEDE2000 by which the curve may miss its own swatch (house rule: the limit of colours that can be told apart)."""


def curve_from_swatch(lab: Sequence[float], depth_percent: float, undyed: Undyed | None = None) -> DyeCurve:
    """The curve of a dye that gives a swatch its colour; it replaces the estimate from a published maximum.

    Three smooth steps of reflectance that have the colour of the swatch; K/S of 1 % at each wavelength
    = (K/S of the swatch - K/S of the undyed yarn) / depth, never below 0.

    `lab`: CIELAB (D65) of the dry swatch. `depth_percent`: above 0 to 20 % on the weight of fibre.
    `undyed`: the yarn it was dyed on; without it, scoured wool.
    Returns the curve. Dyed again at that depth on that yarn it misses the swatch by at most 5 CIEDE2000,
    and by nothing where the colour lies within what three steps can do; the note says so.
    Refused (ValueError): outside those ranges; a swatch lighter than the yarn or purer than any dye on it.

    >>> curve = curve_from_swatch((45, 55, 30), 1.0)
    >>> curve.basis
    'swatch'

    **Source:** Kubelka-Munk (see `kubelka_munk`); colour and depth are the dyer's, the steps a house rule.
    Breaks away from the depth of the swatch and in mixtures: the true spectrum is finer than three steps.
    """
    above("depth of the swatch", depth_percent, 0, MOST_DEPTH_PERCENT, "%")
    wanted = checked_lab(lab)
    base = (undyed or undyed_wool()).reflectance
    heights = [min(1.0, max(LEAST_REFLECTANCE, height)) for height in heights_for(wanted)]
    added = [max(0.0, ks(dyed) - ks(bare)) for dyed, bare in zip(reflectance_of(heights), base, strict=True)]
    again = [dyed_reflectance(bare, more) for bare, more in zip(base, added, strict=True)]
    miss = ciede2000(lab_of_reflectance(again), wanted)
    if miss > LARGEST_MISS:
        raise ValueError(
            f"No dye on this yarn gives L {wanted[0]:.3g}, a {wanted[1]:.3g}, b {wanted[2]:.3g}; "
            "read the swatch and the undyed yarn again, both dry and in the same light."
        )
    fit = "meets your swatch" if miss < 0.5 else f"misses your swatch by {miss:.1f} (CIEDE2000)"
    note = f"From your own swatch at {depth_percent:g} %; the curve {fit}, its shape is three broad steps."
    return DyeCurve(tuple(more / depth_percent for more in added), "swatch", note)
