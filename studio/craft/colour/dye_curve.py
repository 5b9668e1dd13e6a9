"""The light a dye takes, from its published maximum, and what fibre that is dyed with it sends back
(Kubelka and Munk).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from studio.craft.colour.observer import WAVELENGTHS_NM, Spectrum
from studio.craft.limits import REFLECTANCE, above, within

# Kubelka and Munk: what dye adds to the light a fibre takes, and the reflectance that comes of it.

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


# How wide a dye's absorption band is: measured where it was, estimated by the kind of dye where it was
# not. A published maximum says where a dye takes most light and how much, never how wide. The widths
# below are of dye in solution; on fibre a band is wider.
PHOTOCHEMCAD = (
    "half-height wavelengths computed from PhotochemCAD absorption files "
    "(Taniguchi, Lindsey et al., North Carolina State University)"
)


@dataclass(frozen=True)
class BandWidth:
    """Half the width of a band at half its height, on both sides, in wavenumbers.

    `short_side_cm1`, `long_side_cm1`: 1/cm, above 0. `origin`: `published` or `estimate`.

    **Source:** in `source`.
    """

    short_side_cm1: float
    long_side_cm1: float
    origin: Literal["published", "estimate"]
    source: str


# C.I. generic name, C.I. constitution number, peak and the two wavelengths at half height, nm.
# None: the file begins before the half height is reached. Acid Red 1 has twin peaks, 505 and 530.
_MEASURED: tuple[tuple[str, str, float, float | None, float], ...] = (
    ("acid yellow 3", "47005", 413, None, 441),
    ("acid orange 52", "13025", 466, 393, 510),
    ("acid orange 10", "16230", 478, 438, 516),
    ("acid orange 7", "15510", 486, 434, 525),
    ("acid red 88", "15620", 503, 455, 557),
    ("acid red 1", "18050", 505, 467, 553),
    ("acid red 14", "14720", 512, 450, 563),
    ("acid red 112", "27195", 513, 471, 557),
    ("acid red 87", "45380", 524.75, 509.5, 537.5),
    ("acid red 91", "45400", 527, 505, 544),
    ("acid red 51", "45430", 535, 517, 550),
    ("acid red 92", "45410", 550, 536, 562),
    ("acid red 52", "45100", 553, 532, 567),
    ("acid violet 3", "", 555, 491, 610),
    ("acid blue 92", "13390", 563, 509, 625),
    ("acid blue 93", "42780", 590, 534, 653),
    ("acid black 1", "20470", 619, 547, 652),
)

# First and last constitution number, kind of dye, half widths (short side, long side) in 1/cm, where from.
_KINDS: tuple[tuple[int, int, str, float, float, str], ...] = (
    (11000, 36999, "azo", 2100, 1700, "middle of the ten azo dyes measured, rounded"),
    (
        42000,
        44999,
        "triarylmethane",
        950,
        550,
        "from memory of food blue in water, about 60 nm with a shoulder near 590",
    ),
    (45000, 45999, "xanthene", 650, 450, "middle of the five xanthene dyes measured, rounded"),
    (47000, 47999, "quinoline", 1550, 1550, "twice the one half measured, acid yellow 3"),
    (58000, 72999, "anthraquinone", 2100, 1700, "from memory, as wide as an azo dye"),
    (73000, 73999, "indigoid", 1500, 1100, "from memory of indigo carmine in water, about 95 nm"),
)
_UNKNOWN = ("unknown", 2100.0, 1700.0, "taken as an azo dye, the commonest kind")


def kind_of_dye(ci_number: str | None) -> str:
    """The chemical kind of a dye from its Colour Index constitution number.

    `ci_number`: five digits, or None.
    Returns `azo`, `triarylmethane`, `xanthene`, `quinoline`, `anthraquinone`, `indigoid` or `unknown`.

    >>> kind_of_dye("42090"), kind_of_dye(None)
    ('triarylmethane', 'unknown')

    **Source:** Colour Index, division of the constitution numbers (from memory).
    """
    return _kind(ci_number)[0]


def band_width(ci: str = "", ci_number: str | None = None) -> BandWidth:
    """The width of a dye's main band.

    `ci`: C.I. generic name, with or without `C.I.`, any case. `ci_number`: constitution number; either may lack.
    Returns the measured width where there is one (by name or by number: a food colour and an acid dye of
    one number are one substance), else an estimate by the kind of dye.

    >>> width = band_width("C.I. Acid Orange 7")
    >>> round(width.short_side_cm1), round(width.long_side_cm1), width.origin
    (2465, 1529, 'published')
    >>> band_width(ci_number="19140").origin
    'estimate'

    **Source:** PhotochemCAD half-height wavelengths, in buffered water or ethanol; the rest `estimate`.
    Breaks on fibre, where dyes crowd together and bands widen and shift.
    """
    name = " ".join(ci.lower().replace("c.i.", " ").split())
    for measured, number, peak_nm, short_nm, long_nm in _MEASURED:
        if name == measured or (ci_number and ci_number == number):
            return from_half_heights(peak_nm, short_nm, long_nm, PHOTOCHEMCAD)
    kind, short_cm1, long_cm1, reason = _kind(ci_number)
    return BandWidth(short_cm1, long_cm1, "estimate", f"width of {kind} dyes: {reason}")


def from_half_heights(peak_nm: float, short_nm: float | None, long_nm: float, source: str) -> BandWidth:
    """A width from the two wavelengths at which a curve is half as high as at its peak.

    `short_nm` < `peak_nm` < `long_nm`, all 200 to 1100 nm; `short_nm` may be None: then the long side is
    mirrored, and the width is an estimate.
    Refused (ValueError): another order.

    >>> from_half_heights(500, 450, 560, "a curve").long_side_cm1
    2142.857

    **Source:** definition; wavenumber in 1/cm = 10 000 000 / wavelength in nm.
    """
    within("wavelength of the peak", peak_nm, 200, 1100, "nm")
    within("longer half-height wavelength", long_nm, peak_nm + 1, 1100, "nm")
    long_side = 1e7 / peak_nm - 1e7 / long_nm
    if short_nm is None:
        return BandWidth(long_side, long_side, "estimate", f"{source}; the short side mirrored")
    within("shorter half-height wavelength", short_nm, 200, peak_nm - 1, "nm")
    return BandWidth(1e7 / short_nm - 1e7 / peak_nm, long_side, "published", source)


def _kind(ci_number: str | None) -> tuple[str, float, float, str]:
    if ci_number and ci_number.isascii() and ci_number.isdigit():
        for first, last, kind, short_cm1, long_cm1, reason in _KINDS:
            if first <= int(ci_number[:9]) <= last:
                return kind, short_cm1, long_cm1, reason
    return _UNKNOWN


# The light a dye takes at each wavelength on fibre, from its published absorbance maximum.
REFERENCE_ABSORPTIVITY_L_G_CM = 50.0
"""L/(g cm); E(1%,1cm) = 500, about that of the food yellow, orange and red."""
REFERENCE_KS = 8.0
"""K/S at the peak of 1 % of pure dye of the reference absorptivity on wool (estimate).

Chosen so that 1 % is a medium shade, as suppliers' sheets call it (Gaywool: light 0.5, medium 1, deep 2 to 4 %).
A sum from the other end agrees in size: K = 2 x 2.303 x a x 0.01 g/g = 2 300 cm2/g against a scattering of
wool yarn of some hundred cm2/g (both from memory) gives 5 to 15. A swatch of your own replaces it.
"""
_SECOND_BANDS = {
    "triarylmethane": (410.0, 0.15, BandWidth(800, 800, "estimate", "from memory of food blue in water")),
    "azo": (390.0, 0.22, BandWidth(2500, 2500, "estimate", "from memory of food red in water")),
}
"""Peak nm, share of the main band, width: weak bands in the violet, without which blues turn green and reds pink."""
_NEARLY_EVEN = 1e-4
"""Sides that differ by less are treated as equal; the leaning bell divides by their difference."""
_AZO_SECOND_FROM_NM = 470.0
"""A yellow azo dye's main band covers the violet by itself (from memory)."""


@dataclass(frozen=True)
class AbsorptionBand:
    """One absorption band: a leaning bell in wavenumber, each side with its own half width at half height.

    `peak_nm`: 300 to 900. `absorptivity_l_g_cm`: decadic, L/(g cm) at the peak, above 0. `width`: see `BandWidth`.

    **Source:** the caller says whose maximum it is.
    """

    peak_nm: float
    absorptivity_l_g_cm: float
    width: BandWidth


@dataclass(frozen=True)
class DyeCurve:
    """K/S a dye adds at each of the 81 wavelengths for 1 % depth of shade.

    `basis`: `published maximum` or `swatch`. `note`: what of it is sourced and what is not, for a person.

    **Source:** in `note`.
    """

    ks_per_percent: Spectrum
    basis: Literal["published maximum", "swatch"]
    note: str


def absorptivity_l_g_cm(bands: tuple[AbsorptionBand, ...], wavelength_nm: float) -> float:
    """Absorptivity of a dye at one wavelength: the larger of its bands.

    a = peak x 2^-(ln(1 + (v - v peak)(r^2 - 1) / (W r)) / ln r)^2, v = 10^7 / nm, W the whole width at half
    height, r its short side over its long side; 0 where the logarithm has no value; a plain bell for r = 1.
    The larger, not the sum: a measured height or half height already holds what other bands add to it.

    `bands`: one or more. `wavelength_nm`: 300 to 900.
    Returns L/(g cm).
    Refused (ValueError): outside that range.

    >>> band = AbsorptionBand(486, 40.0, band_width("Acid Orange 7"))
    >>> absorptivity_l_g_cm((band,), 434), absorptivity_l_g_cm((band,), 525)
    (20.0, 20.0)

    **Source:** D. B. Siano and D. E. Metzler, Band shapes of the electronic spectra of complex molecules,
    J. Chem. Phys. 51 (1969) 1856-1861 (log-normal band; from memory); peak and width from the caller.
    Breaks in the tails and at shoulders, which no single smooth band has.
    """
    wavenumber = 1e7 / within("wavelength", wavelength_nm, 300, 900, "nm")
    return max(
        band.absorptivity_l_g_cm * _share_of_peak(wavenumber - 1e7 / band.peak_nm, band.width)
        for band in bands
    )


def _share_of_peak(away_cm1: float, width: BandWidth) -> float:
    """Height of a log-normal band, peak = 1, at a distance from its peak in 1/cm."""
    ratio = width.short_side_cm1 / width.long_side_cm1
    whole = width.short_side_cm1 + width.long_side_cm1
    if abs(ratio - 1.0) < _NEARLY_EVEN:
        return float(2.0 ** -((2.0 * away_cm1 / whole) ** 2))
    inside = 1.0 + away_cm1 * (ratio * ratio - 1.0) / (whole * ratio)
    if inside <= 0.0:
        return 0.0
    return float(2.0 ** -((math.log(inside) / math.log(ratio)) ** 2))


def dye_bands(
    peak_nm: float, absorptivity_l_g_cm: float, *, ci: str = "", ci_number: str | None = None
) -> tuple[AbsorptionBand, ...]:
    """The bands of a dye of published maximum: the main one and, where the kind of dye has it, a weak second.

    `peak_nm`: 380 to 780. `absorptivity_l_g_cm`: pure dye at the peak, above 0 to 1000 (E(1%,1cm) / 10).
    `ci`, `ci_number`: as in `band_width`; the width is carried over in wavenumbers if the peak differs.
    Returns one or two bands.
    Refused (ValueError): outside those ranges.

    >>> [band.peak_nm for band in dye_bands(630, 163, ci_number="42090")]
    [630, 410.0]

    **Source:** peak and absorptivity from the caller; width and second band by `band_width` and from memory.
    """
    within("wavelength of the peak", peak_nm, 380, 780, "nm")
    above("absorptivity", absorptivity_l_g_cm, 0, 1000, "L/(g cm)")
    main = AbsorptionBand(peak_nm, absorptivity_l_g_cm, band_width(ci, ci_number))
    kind = kind_of_dye(ci_number)
    kind = "azo" if kind == "unknown" else kind
    if kind not in _SECOND_BANDS or (kind == "azo" and peak_nm < _AZO_SECOND_FROM_NM):
        return (main,)
    second_nm, share, width = _SECOND_BANDS[kind]
    return main, AbsorptionBand(second_nm, share * absorptivity_l_g_cm, width)


def curve_from_maximum(
    peak_nm: float,
    absorptivity_l_g_cm: float,
    *,
    ci: str = "",
    ci_number: str | None = None,
    dye_content_percent: float = 100.0,
) -> DyeCurve:
    """The curve of a dye on wool from its published absorbance maximum.

    K/S of 1 % = 8 x (a / 50) x (dye content / 100)

    `dye_content_percent`: pure dye in the powder, above 0 to 100 %. The rest: as `dye_bands`.
    Returns the curve with a note on what is sourced.
    Refused (ValueError): outside those ranges.

    >>> curve = curve_from_maximum(505, 50.0)
    >>> curve.ks_per_percent[25]  # 505 nm
    8.0

    **Source:** maximum from the caller's publication; width `published` or `estimate`; K/S for 1 % `estimate`.
    Breaks where dye stays in the bath, crowds on the fibre or changes with pH, as food blue does.
    """
    above("dye content", dye_content_percent, 0, 100, "%")
    bands = dye_bands(peak_nm, absorptivity_l_g_cm, ci=ci, ci_number=ci_number)
    scale = REFERENCE_KS / REFERENCE_ABSORPTIVITY_L_G_CM * dye_content_percent / 100.0
    values = tuple(scale * _at(bands, nm) for nm in WAVELENGTHS_NM)
    width = "measured in solution" if bands[0].width.origin == "published" else "an estimate"
    note = (
        f"Peak at {peak_nm:g} nm as published; the width of the band is {width}, "
        "and how deep 1 % looks on wool is an estimate."
    )
    return DyeCurve(values, "published maximum", note)


_at = absorptivity_l_g_cm
