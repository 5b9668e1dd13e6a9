"""The light a dye takes, from its published maximum, and what fibre that is dyed with it sends back
(Kubelka and Munk, Saunderson).
"""

from __future__ import annotations

import math

import msgspec

from studio.craft.colour.observer import WAVELENGTHS_NM, Spectrum
from studio.craft.limits import REFLECTANCE, above, within

# What dye adds to the light a fibre takes, and the reflectance that comes of it through the shine of its surface.

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
    Breaks where light is thrown back by the surface and never meets the dye: take that off first, `below_surface`.
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


SURFACE = 0.02
"""Share of the light that the surface of wool throws back before it meets any dye (estimate).

The darkest of 204 nylon cloths measured reflects 0.030 at any wavelength, of 204 cotton cloths 0.019, three dyed
wools 0.029 to 0.050 (public data set refl_L1; G. Patin, microfading 2.1.1, 2026).
"""


def at_surface(inside: float) -> float:
    """Reflectance as it is seen and measured, from that of the layer below the surface.

    R measured = 0.02 + (1 - 0.02) R inside: K/S as it is measured levels off near 24, however much dye there is.

    `inside`: 0 to 1.
    Returns the reflectance, 0.02 to 1.
    Refused (ValueError): outside that range.

    >>> at_surface(reflectance(2.0))
    0.188142

    **Source:** J. L. Saunderson, Calculation of the color of pigmented plastics, J. Opt. Soc. Am. 32 (1942) 727-736
    (from memory), k1 = 0.02; k2 = 0, because yarn has no plane inner surface (house rule).
    Breaks for lustrous and for felted yarn, and where the shine itself is coloured.
    """
    return SURFACE + (1.0 - SURFACE) * REFLECTANCE(inside)


def below_surface(measured: float) -> float:
    """Reflectance of the layer below the surface, from the one measured; the inverse of `at_surface`.

    R inside = (R measured - 0.02) / (1 - 0.02), never below 0.001

    `measured`: 0 to 1.
    Returns the reflectance, 0.001 to 1.
    Refused (ValueError): outside that range.

    >>> below_surface(0.188142)
    0.171573

    **Source:** as for `at_surface`; the floor of 0.001 is a house rule.
    Breaks for deep shades: near the floor a small error of measurement is a large amount of dye.
    """
    return max((REFLECTANCE(measured) - SURFACE) / (1.0 - SURFACE), LEAST_REFLECTANCE)


def dyed_reflectance(undyed: float, dye_ks: float) -> float:
    """Reflectance of fibre with dye on it: below the surface, the K/S of fibre and of every dye add up.

    K/S = K/S of the undyed fibre + K/S of the dyes

    `undyed`: reflectance of the fibre without dye, 0 to 1. `dye_ks`: sum over the dyes, 0 or more.
    Returns the reflectance, 0.02 to 1.
    Refused (ValueError): outside those ranges.

    >>> dyed_reflectance(0.80, 2.0)
    0.186601

    **Source:** as for `ks` and `at_surface`: additivity on a substrate, the scattering is the fibre's alone.
    Breaks where dyes change one another on the fibre, and where dye fills the fibre and stays in the bath.
    """
    return at_surface(reflectance(ks(below_surface(undyed)) + dye_ks))


# The shape of a dye's spectrum: measured in solution where it was, estimated by the kind of dye where it was
# not. A published maximum says where a dye takes most light and how much, never how wide or beside what.
Further = tuple[float, float, float]
"""A further band: height as a share of the peak, distance from the peak to the short side in 1/cm, whole width
at half height in 1/cm."""
Shape = tuple[float, float, tuple[Further, ...]]
"""The main band's half widths at half height, on the short and the long side, in 1/cm; the further bands."""

_EOSIN_TAIL = (0.034, 3165.0, 6000.0)
"""Eosin takes 0.034 of its peak at 450 nm (PhotochemCAD): narrow as its band is, that is what turns it red."""

# C.I. generic name, C.I. constitution number, peak and the two wavelengths at half height, nm; further bands:
# the second of two Gaussians fitted to the curve, where two fit it better than one leaning bell does. Of acid
# yellow 3 the file begins above half height: 378 nm is the fitted bell's. Acid red 1 has twin peaks, 505 and 532.
# The last bands of acid orange 7, acid red 1 and 52 are fitted to the colours their curves give on white at depth.
_MEASURED: tuple[tuple[str, str, float, float, float, tuple[Further, ...]], ...] = (
    ("acid yellow 3", "47005", 413, 378, 441, ()),
    ("acid orange 52", "13025", 466, 393, 510, ()),
    ("acid orange 10", "16230", 478, 438, 516, ()),
    ("acid orange 7", "15510", 486, 434, 525, ((0.01, -500, 4000),)),
    ("acid red 88", "15620", 503, 455, 557, ((0.33, 2836, 5366),)),
    ("acid red 1", "18050", 505, 467, 553, ((0.985, -1005, 1428), (0.40, 3000, 8000))),
    ("acid red 14", "14720", 512, 450, 563, ((0.37, 3083, 5655),)),
    ("acid red 112", "27195", 513, 471, 557, ()),
    ("acid red 87", "45380", 524.75, 509.5, 537.5, ((0.30, 955, 2032), _EOSIN_TAIL)),
    ("acid red 91", "45400", 527, 505, 544, (_EOSIN_TAIL,)),
    ("acid red 51", "45430", 535, 517, 550, ((0.32, 943, 2058), _EOSIN_TAIL)),
    ("acid red 92", "45410", 550, 536, 562, ((0.29, 1060, 1970), _EOSIN_TAIL)),
    ("acid red 52", "45100", 553, 532, 567, ((0.36, 968, 1956), (0.02, 4139, 6000))),
    ("acid violet 3", "", 555, 491, 610, ((0.18, 5489, 8081),)),
    ("acid blue 92", "13390", 563, 509, 625, ((0.18, 3291, 6856),)),
    ("acid blue 93", "42780", 590, 534, 653, ()),
    ("acid black 1", "20470", 619, 547, 652, ((0.22, 6087, 8861),)),
)

_AZO: Shape = (2100.0, 1700.0, ((0.22, 5500.0, 5000.0),))
"""Middle of those measured, rounded; an unknown dye is taken as one, the commonest kind."""
_NARROW: Shape = (950.0, 550.0, ((0.15, 8000.0, 1600.0),))
"""From memory of food blue in water, about 60 nm wide with a shoulder near 590."""

# First and last constitution number (divisions of the Colour Index from memory) and shape of a kind of dye.
_KINDS: tuple[tuple[int, int, Shape], ...] = (
    (11000, 36999, _AZO),
    (42000, 42499, _NARROW),  # triarylmethanes with two amino groups: turquoise, green
    # With three, violet and blue: three dyed wools (ISO 105-B08 blue references; G. Patin, microfading 2.1.1, 2026).
    (42500, 42999, (1400.0, 1000.0, ((0.15, 8000.0, 1600.0),))),
    (43000, 44999, _NARROW),
    # Xanthenes: middle of those measured, rounded.
    (45000, 45999, (650.0, 450.0, ((0.31, 950.0, 2000.0), _EOSIN_TAIL))),
    (47000, 47999, (2250.0, 1550.0, ())),  # quinolines: acid yellow 3
    (58000, 72999, (2100.0, 1700.0, ())),  # anthraquinones: from memory, as wide as an azo dye
    (73000, 73999, (1500.0, 1100.0, ())),  # indigoids: from memory of indigo carmine, about 95 nm wide
)


def band_shape(ci: str = "", ci_number: str | None = None) -> Shape:
    """The shape of a dye's spectrum: the width of its main band, and its further bands.

    `ci`: C.I. generic name, with or without `C.I.`, any case. `ci_number`: constitution number; either may lack.
    Returns the measured shape where there is one (by name or by number: a food colour and an acid dye of
    one number are one substance), else an estimate by the kind of dye.

    >>> short_cm1, long_cm1, further = band_shape("C.I. Acid Orange 7")
    >>> round(short_cm1), round(long_cm1), further
    (2465, 1529, ((0.01, -500, 4000),))

    **Source:** half heights and bands computed from PhotochemCAD absorption files (Taniguchi, Lindsey et al.,
    North Carolina State University), in buffered water or ethanol; of triarylmethanes on wool; the rest `estimate`.
    Breaks on fibre, where dyes crowd together, bands widen and shift by 5 to 35 nm to the red, and shine of their own.
    """
    name = " ".join(ci.lower().replace("c.i.", " ").split())
    for measured, index, peak_nm, short_nm, long_nm, further in _MEASURED:
        if name == measured or (ci_number and ci_number == index):
            peak = 1e7 / peak_nm
            return 1e7 / short_nm - peak, peak - 1e7 / long_nm, further
    number = int(ci_number[:9]) if ci_number and ci_number.isascii() and ci_number.isdigit() else 0
    return next((shape for first, last, shape in _KINDS if first <= number <= last), _AZO)


# The light a dye takes at each wavelength on fibre, from its published absorbance maximum.
REFERENCE_ABSORPTIVITY_L_G_CM = 50.0
"""L/(g cm); E(1%,1cm) = 500, about that of the food yellow, orange and red."""
REFERENCE_KS = 13.0
"""K/S at the peak of 1 % of pure dye of the reference absorptivity on wool (estimate).

Chosen so that 1 % is a medium shade, as suppliers' sheets call it (Gaywool: light 0.5, medium 1, deep 2 to 4 %):
through the shine of the surface it measures 8. A sum from the other end agrees in size: K = 2 x 2.303 x a x
0.01 g/g = 2 300 cm2/g against a scattering of wool yarn of some hundred cm2/g (both from memory) gives 5 to 15.
A swatch of your own replaces it.
"""
_NEARLY_EVEN = 1e-4
"""Sides that differ by less are treated as equal; the leaning bell divides by their difference."""


class AbsorptionBand(msgspec.Struct, frozen=True):
    """One absorption band: a leaning bell in wavenumber, each side with its own half width at half height.

    `peak_nm`: 300 to 900. `absorptivity_l_g_cm`: decadic, L/(g cm) at the peak, above 0.
    `short_side_cm1`, `long_side_cm1`: 1/cm, above 0.

    **Source:** the caller says whose maximum it is.
    """

    peak_nm: float
    absorptivity_l_g_cm: float
    short_side_cm1: float
    long_side_cm1: float


FROM_MAXIMUM = (
    "Peaks are as published; the shapes of the bands are from solution or estimates, and how deep 1 % looks on "
    "wool is an estimate: a swatch of your own replaces it."
)


class DyeCurve(msgspec.Struct, frozen=True):
    """K/S a dye adds at each of the 81 wavelengths for 1 % depth of shade.

    `note`: what of it is sourced and what is not, for a person.

    **Source:** in `note`.
    """

    ks_per_percent: Spectrum
    note: str


def absorptivity_l_g_cm(bands: tuple[AbsorptionBand, ...], wavelength_nm: float) -> float:
    """Absorptivity of a dye at one wavelength: the larger of its bands.

    a = peak x 2^-(ln(1 + (v - v peak)(r^2 - 1) / (W r)) / ln r)^2, v = 10^7 / nm, W the whole width at half
    height, r its short side over its long side; 0 where the logarithm has no value; a plain bell for r = 1.
    The larger, not the sum: a measured height or half height already holds what other bands add to it.

    `bands`: one or more. `wavelength_nm`: 300 to 900.
    Returns L/(g cm).
    Refused (ValueError): outside that range.

    >>> bands = dye_bands(486, 40.0, ci="Acid Orange 7")
    >>> absorptivity_l_g_cm(bands, 434), absorptivity_l_g_cm(bands, 525)
    (20.0, 20.0)

    **Source:** D. B. Siano and D. E. Metzler, Band shapes of the electronic spectra of complex molecules,
    J. Chem. Phys. 51 (1969) 1856-1861 (log-normal band; from memory); peak and width from the caller.
    Breaks in the far tails, which rule the colour of a deep shade and are known for few dyes.
    """
    wavenumber = 1e7 / within("wavelength", wavelength_nm, 300, 900, "nm")
    return max(
        band.absorptivity_l_g_cm * _share_of_peak(wavenumber - 1e7 / band.peak_nm, band) for band in bands
    )


def _share_of_peak(away_cm1: float, band: AbsorptionBand) -> float:
    """Height of a log-normal band, peak = 1, at a distance from its peak in 1/cm."""
    ratio = band.short_side_cm1 / band.long_side_cm1
    whole = band.short_side_cm1 + band.long_side_cm1
    if abs(ratio - 1.0) < _NEARLY_EVEN:
        return float(2.0 ** -((2.0 * away_cm1 / whole) ** 2))
    inside = 1.0 + away_cm1 * (ratio * ratio - 1.0) / (whole * ratio)
    if inside <= 0.0:
        return 0.0
    return float(2.0 ** -((math.log(inside) / math.log(ratio)) ** 2))


def dye_bands(
    peak_nm: float, absorptivity_l_g_cm: float, *, ci: str = "", ci_number: str | None = None
) -> tuple[AbsorptionBand, ...]:
    """The bands of a dye of published maximum: the main one, then the further ones.

    `peak_nm`: 380 to 780. `absorptivity_l_g_cm`: pure dye at the peak, above 0 to 1000 (E(1%,1cm) / 10).
    `ci`, `ci_number`: as in `band_shape`; the shape is carried over in wavenumbers if the peak differs.
    Returns one to three bands.
    Refused (ValueError): outside those ranges.

    >>> [round(band.peak_nm) for band in dye_bands(630, 163, ci_number="42090")]
    [630, 419]

    **Source:** peak and absorptivity from the caller; the shape by `band_shape`.
    """
    within("wavelength of the peak", peak_nm, 380, 780, "nm")
    above("absorptivity", absorptivity_l_g_cm, 0, 1000, "L/(g cm)")
    short_cm1, long_cm1, further = band_shape(ci, ci_number)
    beside = (
        AbsorptionBand(1e7 / (1e7 / peak_nm + away), share * absorptivity_l_g_cm, whole / 2, whole / 2)
        for share, away, whole in further
    )
    return AbsorptionBand(peak_nm, absorptivity_l_g_cm, short_cm1, long_cm1), *beside


def curve_from_maximum(
    peak_nm: float,
    absorptivity_l_g_cm: float,
    *,
    ci: str = "",
    ci_number: str | None = None,
    dye_content_percent: float = 100.0,
) -> DyeCurve:
    """The curve of a dye on wool from its published absorbance maximum.

    K/S of 1 % = 13 x (a / 50) x (dye content / 100)

    `dye_content_percent`: pure dye in the powder, above 0 to 100 %. The rest: as `dye_bands`.
    Returns the curve.
    Refused (ValueError): outside those ranges.

    >>> curve = curve_from_maximum(505, 50.0)
    >>> curve.ks_per_percent[25]  # 505 nm
    13.0

    **Source:** maximum from the caller's publication; width `published` or `estimate`; K/S for 1 % `estimate`.
    Breaks where dye stays in the bath, crowds on the fibre or changes with pH, as food blue does.
    """
    above("dye content", dye_content_percent, 0, 100, "%")
    bands = dye_bands(peak_nm, absorptivity_l_g_cm, ci=ci, ci_number=ci_number)
    scale = REFERENCE_KS / REFERENCE_ABSORPTIVITY_L_G_CM * dye_content_percent / 100.0
    values = tuple(scale * _at(bands, nm) for nm in WAVELENGTHS_NM)
    return DyeCurve(values, FROM_MAXIMUM)


_at = absorptivity_l_g_cm
