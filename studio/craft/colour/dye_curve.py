"""The light a dye takes at each wavelength on fibre, from its published absorbance maximum."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from studio.craft.colour.band_widths import BandWidth, band_width, kind_of_dye
from studio.craft.colour.observer import WAVELENGTHS_NM, Spectrum
from studio.craft.limits import above, within

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
