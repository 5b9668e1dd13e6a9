"""Kubelka and Munk: what dye adds to the light a fibre takes, and the reflectance that comes of it."""

from __future__ import annotations

import math

from studio.craft.limits import REFLECTANCE, within

LEAST_REFLECTANCE = 0.001
"""Below this a reflectance is no measurement any more, and K/S runs away (house rule)."""


def ks(reflectance: float) -> float:
    """Light taken over light scattered, K/S, of an opaque layer, from its reflectance.

    K/S = (1 - R)^2 / (2 R)

    `reflectance`: R at one wavelength, 0 to 1; below 0.001 it is counted as 0.001.
    Returns K/S, 0 to 499, no unit.
    Refused (ValueError): outside that range.

    >>> ks(0.25)
    1.125
    >>> ks(0.0) == ks(0.001)
    True

    **Source:** P. Kubelka and F. Munk, Zeitschrift fuer technische Physik 12 (1931) 593-601 (from memory);
    Broadbent, Basic Principles of Textile Coloration, 2001, chapter 26 (chapter from memory).
    Breaks for deep shades: part of the light is thrown back by the surface and never meets the dye.
    """
    counted = max(REFLECTANCE(reflectance), LEAST_REFLECTANCE)
    return (1.0 - counted) ** 2 / (2.0 * counted)


def reflectance(ks_value: float) -> float:
    """Reflectance of an opaque layer from its K/S; the inverse of `ks`.

    R = 1 + k - sqrt(k^2 + 2 k), worked out as 1 / (1 + k + sqrt(k^2 + 2 k)), which loses no digits

    `ks_value`: k, 0 or more.
    Returns R at that wavelength, 0.001 to 1.
    Refused (ValueError): below 0, infinite, nan.

    >>> reflectance(2.0)
    0.171573

    **Source:** as for `ks`; the floor of 0.001 is a house rule.
    Breaks as `ks` does.
    """
    k = within("K/S", ks_value, 0, 1e12)
    return max(1.0 / (1.0 + k + math.sqrt(k * k + 2.0 * k)), LEAST_REFLECTANCE)


def dyed_reflectance(undyed: float, dye_ks: float) -> float:
    """Reflectance of fibre with dye on it: the K/S of fibre and of every dye add up.

    K/S = K/S of the undyed fibre + K/S of the dyes

    `undyed`: reflectance of the fibre without dye, 0 to 1. `dye_ks`: sum over the dyes, 0 or more.
    Returns the reflectance, 0.001 to 1.
    Refused (ValueError): outside those ranges.

    >>> dyed_reflectance(0.80, 2.0)
    0.17007

    **Source:** as for `ks`: additivity on a substrate, the scattering is the fibre's alone.
    Breaks where dyes change one another on the fibre, and for deep shades.
    """
    return reflectance(ks(undyed) + dye_ks)
